/**
 * The order list in its first form: position against reorder point, rounded to pack and minimum. Position counts what is
 * on the shelf and on order less everything open jobs want, so that a part short for a job is bought even before the
 * reorder point would ask for it. (s, S) here: an order is placed when position is at or below s, up to S.
 */
export interface OrderNeedFacts {
  partId: number
  /** All minor units of the part's stock unit. */
  onHand: number
  onOrder: number
  /** Accepted on open jobs and not yet taken. */
  wantedByJobs: number
  reorderPoint: number | null
  orderUpTo: number | null
}

export interface OfferFacts {
  supplierId: number
  partId: number
  pack: number
  minimum: number
  priceMinor: number
  preferred: boolean
}

/** What position stands at: on hand - wanted by jobs + on order. May be negative. */
export function stockPosition(facts: Pick<OrderNeedFacts, 'onHand' | 'onOrder' | 'wantedByJobs'>): number {
  return facts.onHand - facts.wantedByJobs + facts.onOrder
}

/** How much is missing, before packs; 0 when nothing is to be ordered. */
export function orderNeed(facts: OrderNeedFacts): number {
  const position = stockPosition(facts)
  if (facts.reorderPoint !== null && facts.orderUpTo !== null && position <= facts.reorderPoint)
    return Math.max(0, facts.orderUpTo - position)
  return Math.max(0, -position)
}

/** Rounds up to the supplier's minimum and then to whole packs. Example: 7 in packs of 5, minimum 10, is 10. */
export function orderRound(need: number, offer: Pick<OfferFacts, 'pack' | 'minimum'>): number {
  if (need <= 0) return 0
  return Math.ceil(Math.max(need, offer.minimum) / offer.pack) * offer.pack
}

/** The preferred offer, else the cheapest per stock unit; ties go to the lower supplier id so that the list is steady. */
export function offerChoose(offers: readonly OfferFacts[]): OfferFacts | null {
  const ranked = [...offers].sort(
    (a, b) => Number(b.preferred) - Number(a.preferred) || a.priceMinor - b.priceMinor || a.supplierId - b.supplierId,
  )
  return ranked[0] ?? null
}

export interface ReasonFacts extends OrderNeedFacts {
  /** Job that took the last ones, and the jobs still waiting. */
  lastJob: number | null
  waitingJobs: readonly number[]
  show: (quantity: number) => string
}

/** Why the line is on the list, as a storekeeper would say it: "2 left after job 214, reorder point 4". */
export function orderReason(facts: ReasonFacts): string {
  const left = facts.onHand === 0 ? 'none left' : `${facts.show(facts.onHand)} left`
  const parts = [facts.lastJob === null ? left : `${left} after job ${facts.lastJob}`]
  if (facts.wantedByJobs > 0)
    parts.push(
      `${facts.show(facts.wantedByJobs)} wanted for ${facts.waitingJobs.length === 1 ? 'job' : 'jobs'} ${facts.waitingJobs.join(', ')}`,
    )
  if (facts.onOrder > 0) parts.push(`${facts.show(facts.onOrder)} on order`)
  if (facts.reorderPoint !== null) parts.push(`reorder point ${facts.show(facts.reorderPoint)}`)
  return parts.join(', ')
}

/** Carriage on a goods total: 0 from the carriage-paid threshold on. */
export function carriageOn(
  goodsMinor: number,
  supplier: { carriageMinor: number; carriagePaidFromMinor: number | null },
): number {
  if (goodsMinor === 0) return 0
  return supplier.carriagePaidFromMinor !== null && goodsMinor >= supplier.carriagePaidFromMinor
    ? 0
    : supplier.carriageMinor
}
