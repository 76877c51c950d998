import { orderDayNext } from '../buying/order-day.ts'
import { supersessionResolve } from '../catalogue/supersession.ts'
import { dateSays } from '../measure/date.ts'
import { quantityScale } from '../measure/quantity.ts'
import { daysAdd, type PlainDate } from '../service/plain-date.ts'
import { offerChoose } from './order-list.ts'
import { WEEKDAYS } from './plan-problem.ts'
import { type ShopLevel, shopLevels } from './plan-shop-level.ts'
import { type Labels, shopLabels } from './plan-shop-name.ts'
import type { ShopDrafted, ShopFault, ShopNames, ShopNeed, ShopOffer, ShopPart, ShopState } from './plan-shop-state.ts'
import { forWinterSays, type ShopWinterNeed } from './plan-shop-winter.ts'

export interface ShopProblem {
  /** As `planRead` takes it. */
  problem: Record<string, unknown>
  names: ShopNames
  faults: ShopFault[]
  drafted: ShopDrafted[]
}

/** Where nobody sells a part, so that there is no usual day; common practice, no source. */
const DAYS_UNKNOWN = 14
/** A day that a shelf is filled up later counts as such a share of the price; common practice, no source. */
const LEVEL_LATE_SHARE = 0.01
/** A job that can wait counts such a share of a machine that stands. */
const CAN_WAIT_SHARE = 0.1

/**
 * A workshop as a problem of the order plan. Jobs come with their day, or the day on which the usual supplier would bring it;
 * a level asks for all up to its order-up-to level once the position is at its reorder point, and is filled by the part and what
 * supersedes it only: an alternative or a kit on the shelf would not lift its position, and it would be ordered again tomorrow.
 * Winter plans come with the weeks of their machines; jobs of those machines are jobs here, and no part of the winter's needs.
 */
export function shopProblem(state: ShopState): ShopProblem {
  const labels = shopLabels(state)
  const faults: ShopFault[] = [...state.faults]
  const isReplaced = new Set(state.links.map(({ oldPartId }) => oldPartId))
  const parts = new Map(state.parts.map((part) => [part.id, part]))
  const offers = state.offers.filter((offer) => isOrderable(offer, { parts, isReplaced, labels, faults }))
  const usual = usualDays(state, offers)
  const levels = shopLevels(state, usual.on)
  const winter = winterBeyond(state.winter, levels)
  const isWanted = new Set([...state.needs, ...winter, ...levels].map(({ partId }) => partId))
  const kits = state.kits.filter(
    ({ kitId, holds }) => !isWanted.has(kitId) && holds.length > 0 && holds.every(({ partId }) => parts.has(partId)),
  )
  const kitOf = new Map(kits.map((kit) => [kit.kitId, kit]))
  const sold = soldItems(offers, kitOf, labels)
  lateDocuments(state, labels, faults)
  noLeadTime(state, offers, faults)
  return {
    problem: {
      format: 'cotterbook-order-plan',
      currency: state.currency,
      today: state.today,
      parts: state.parts.map((part) => partItem(part, kits, { parts, labels, today: state.today })),
      needs: [
        ...state.needs.map((need) => jobItem(need, state, { parts, labels, usual })),
        ...winter.map((need) => winterItem(need, state, { parts, labels })),
        ...levels.map((level) => levelItem(level, { parts, labels, usual })),
      ],
      suppliers: state.suppliers
        .filter(({ id }) => offers.some(({ supplierId }) => supplierId === id))
        .map(({ id, leadDays, orderDays, carriageMinor, carriagePaidFromMinor, minimumOrderMinor }) => ({
          id: labels.supplier(id),
          leadDays,
          carriageMinor,
          carriagePaidFromMinor,
          minimumOrderMinor,
          ...(orderDays.length === 0 ? {} : { orderDays: orderDays.map((day) => WEEKDAYS[day - 1]) }),
        })),
      ...sold.items,
      supersessions: supersessionItems(state, { parts, labels, faults }),
      alternatives: state.alternatives.map(({ wantedPartId, usedPartId, bothWays }) => ({
        part: labels.part(usedPartId),
        fills: labels.part(wantedPartId),
        bothWays,
      })),
      ...byHandItems(state, sold.known, { labels, faults }),
    },
    names: {
      ...labels.names,
      offers: sold.names,
      jobs: Object.fromEntries(state.needs.map(({ job, jobId }) => [String(job), jobId])),
      winters: Object.fromEntries(
        winter.map((need) => {
          const { id, planId, partId, quantity } = need
          return [id, { planId, partId, quantity, says: forWinterSays(need) }]
        }),
      ),
    },
    faults,
    drafted: state.parts.flatMap(({ id, incoming }) =>
      incoming.flatMap(({ draftId, quantity, on }) =>
        draftId === null ? [] : [{ draftId, part: labels.part(id), quantity, on }],
      ),
    ),
  }
}

interface Said {
  parts: ReadonlyMap<number, ShopPart>
  labels: Labels
  faults: ShopFault[]
}

/** What is replaced or no longer made is not ordered; a price of nothing is one that nobody entered. */
function isOrderable(
  { supplierId, partId, prices }: ShopOffer,
  { parts, isReplaced, labels, faults }: Said & { isReplaced: ReadonlySet<number> },
): boolean {
  const part = parts.get(partId)
  if (!part || part.discontinued || isReplaced.has(partId)) return false
  if (prices.every(({ priceMinor }) => priceMinor > 0)) return true
  faults.push({
    at: `${labels.part(partId)} from ${labels.supplier(supplierId)}`,
    why: 'its price is 0',
    next: 'Enter the price; the offer was left out.',
    partId,
    supplierId,
  })
  return false
}

interface Usual {
  /** Day on which the offer that the order list would take brings the part. */
  on: (partId: number) => PlainDate
  priceMinor: (partId: number) => number | null
}

function usualDays({ today, suppliers, links }: ShopState, offers: readonly ShopOffer[]): Usual {
  const bySupplier = new Map(suppliers.map((supplier) => [supplier.id, supplier]))
  const byPart = new Map<number, ShopOffer[]>()
  for (const offer of offers) byPart.set(offer.partId, [...(byPart.get(offer.partId) ?? []), offer])
  const chosen = (partId: number) =>
    offerChoose(
      (byPart.get(supersessionResolve(partId, links).partId) ?? []).map((offer) => ({
        ...offer,
        priceMinor: offer.prices[0]!.priceMinor,
      })),
    )
  return {
    on(partId) {
      const supplier = bySupplier.get(chosen(partId)?.supplierId ?? -1)
      if (!supplier) return daysAdd(today, DAYS_UNKNOWN)
      return daysAdd(orderDayNext(today, supplier.orderDays), supplier.leadDays)
    },
    priceMinor: (partId) => chosen(partId)?.priceMinor ?? null,
  }
}

type PlanKits = ShopState['kits']

/** Stock of a kit that nobody wants as a kit is a bag of its parts. */
function partItem(
  part: ShopPart,
  kits: PlanKits,
  { parts, labels, today }: Omit<Said, 'faults'> & { today: PlainDate },
) {
  const inKits = kits.flatMap(({ kitId, holds }) => {
    const kit = parts.get(kitId)
    const held = holds.find(({ partId }) => partId === part.id)?.quantity
    // One that is kept by a level is kept whole.
    if (!kit || kit.level !== null || held === undefined) return []
    const free = Math.max(0, kit.onHand - kit.allocated)
    const document = labels.part(kitId)
    return [
      ...(free > 0 ? [{ quantity: free * held, on: today, is: 'in a kit', document }] : []),
      ...kit.incoming.map(({ quantity, on }) => ({ quantity: quantity * held, on, is: 'in a kit', document })),
    ]
  })
  return {
    id: labels.part(part.id),
    unit: part.unit,
    free: Math.max(0, part.onHand - part.allocated),
    incoming: [...part.incoming.map(({ orderId: _, draftId: __, ...rest }) => rest), ...inKits],
  }
}

function jobItem(
  need: ShopNeed,
  { today, standingDayMinor }: ShopState,
  { parts, labels, usual }: Omit<Said, 'faults'> & { usual: Usual },
) {
  const { unit, incoming } = parts.get(need.partId)!
  // A job without a day waits for what is on order for it: it is not bought twice because it takes its time.
  const someDay = [usual.on(need.partId), ...incoming.map(({ on }) => on)].sort().at(-1)!
  const day = need.priority === 3 ? standingDayMinor * CAN_WAIT_SHARE : standingDayMinor
  return {
    id: `need ${need.id}`,
    part: labels.part(need.partId),
    quantity: need.quantity,
    by: need.needOn === null ? someDay : need.needOn < today ? today : need.needOn,
    for: { job: String(need.job), machine: need.machine },
    // The machine stands once, however many pieces it waits for.
    late: { perDayMinor: Math.max(1, Math.round((day * quantityScale(unit)) / need.quantity)) },
  }
}

/**
 * What the winter may take on condition, beyond what a level brings: a level is there for what may be wanted, and the winter plan
 * counts all free stock as its own, so the two are not added up.
 */
function winterBeyond(winter: readonly ShopWinterNeed[], levels: readonly ShopLevel[]): ShopWinterNeed[] {
  const held = new Map(levels.map(({ endId, endQuantity }) => [endId, endQuantity]))
  return winter.flatMap((need) => {
    if (need.isCertain) return [need]
    const shared = Math.min(need.quantity, held.get(need.partId) ?? 0)
    held.set(need.partId, (held.get(need.partId) ?? 0) - shared)
    return shared === need.quantity ? [] : [{ ...need, quantity: need.quantity - shared }]
  })
}

/** A machine waits for its winter service as a job that can wait does: its week can be moved. */
function winterItem(
  need: ShopWinterNeed,
  { today, standingDayMinor }: ShopState,
  { parts, labels }: Omit<Said, 'faults'>,
) {
  const { unit } = parts.get(need.partId)!
  const day = standingDayMinor * CAN_WAIT_SHARE
  return {
    id: need.id,
    part: labels.part(need.partId),
    quantity: need.quantity,
    by: need.on < today ? today : need.on,
    for: { service: forWinterSays(need) },
    late: { perDayMinor: Math.max(1, Math.round((day * quantityScale(unit)) / need.quantity)) },
  }
}

function levelItem(
  { partId, quantity, by, says }: ShopLevel,
  { labels, usual }: Omit<Said, 'faults'> & { usual: Usual },
) {
  return {
    id: `level ${partId}`,
    part: labels.part(partId),
    quantity,
    by,
    for: { level: says },
    late: { perDayMinor: Math.max(1, Math.round((usual.priceMinor(partId) ?? 0) * LEVEL_LATE_SHARE)) },
    itself: true,
  }
}

interface Sold {
  items: { offers: unknown[]; kits: unknown[] }
  names: ShopNames['offers']
  /** Name of the offer of a supplier for a part. */
  known: ReadonlyMap<string, string>
}

function soldItems(offers: readonly ShopOffer[], kitOf: ReadonlyMap<number, PlanKits[number]>, labels: Labels): Sold {
  const sold: Sold = { items: { offers: [], kits: [] }, names: {}, known: new Map() }
  const known = new Map<string, string>()
  for (const { supplierId, partId, ...rest } of offers) {
    const id = labels.offer(supplierId, partId)
    const item = { ...rest, id, supplier: labels.supplier(supplierId) }
    const kit = kitOf.get(partId)
    if (kit) {
      const holds = kit.holds.map((one) => ({ part: labels.part(one.partId), quantity: one.quantity }))
      sold.items.kits.push({ ...item, holds })
    } else sold.items.offers.push({ ...item, part: labels.part(partId) })
    sold.names[id] = { supplierId, partId }
    known.set(`${supplierId}/${partId}`, id)
  }
  return { ...sold, known }
}

/** Where a part was replaced twice, the link entered last counts, as on the order list. */
function supersessionItems({ links }: ShopState, { parts, labels, faults }: Said) {
  const last = new Map(links.map((link) => [link.oldPartId, link]))
  return [...last.values()].flatMap(({ oldPartId, newPartId, ratio, interchange }) => {
    const [old, fresh] = [parts.get(oldPartId), parts.get(newPartId)]
    if (!old || !fresh) return []
    const isBack = interchange === 'both-ways'
    if (isBack && ratio > 1 && old.onHand > 0)
      faults.push({
        at: labels.part(oldPartId),
        why: `${ratio} of ${labels.part(newPartId)} go for one, so what lies of it was kept for its own jobs`,
        next: 'Use it up by hand where the new one is wanted.',
        partId: oldPartId,
      })
    return [{ old: labels.part(oldPartId), new: labels.part(newPartId), per: ratio, bothWays: isBack && ratio === 1 }]
  })
}

function byHandItems(
  { byHand }: ShopState,
  known: ReadonlyMap<string, string>,
  { labels, faults }: Pick<Said, 'labels' | 'faults'>,
) {
  const budget = byHand.find(({ kind }) => kind === 'budget')?.amount
  const fixed: unknown[] = []
  const forbidden: unknown[] = []
  for (const { kind, supplierId, partId, amount } of byHand) {
    if (supplierId === null) continue
    if (kind === 'no-supplier') {
      if ([...known.keys()].some((key) => key.startsWith(`${supplierId}/`)))
        forbidden.push({ supplier: labels.supplier(supplierId) })
      continue
    }
    if (partId === null) continue
    const offer = known.get(`${supplierId}/${partId}`)
    if (offer !== undefined && kind === 'no-offer') forbidden.push({ offer })
    else if (offer !== undefined && amount !== null) fixed.push({ offer, quantity: amount })
    else if (kind === 'quantity')
      faults.push({
        at: labels.offer(supplierId, partId),
        why: 'a quantity is set by hand, but it can no longer be ordered so',
        next: 'Undo what was set by hand; the plan was made without it.',
        partId,
      })
  }
  return { fixed, forbidden, ...(budget === undefined || budget === null ? {} : { budgetMinor: budget }) }
}

/** Who was never asked how long it takes is reckoned as a counter where one waits for the goods. */
function noLeadTime({ suppliers }: ShopState, offers: readonly ShopOffer[], faults: ShopFault[]): void {
  const selling = new Set(offers.map(({ supplierId }) => supplierId))
  for (const { id, name, leadDays } of suppliers)
    if (leadDays === 0 && selling.has(id))
      faults.push({
        at: name,
        why: 'it has no lead time, so its goods are reckoned as there on the day they are ordered',
        next: 'Enter its lead time, unless it sells over the counter.',
        supplierId: id,
      })
}

/** What should have come is expected today, and what a job wanted before today is late whatever is ordered: a person has to know. */
function lateDocuments({ today, parts, needs }: ShopState, labels: Labels, faults: ShopFault[]): void {
  const said = new Set<string>()
  for (const part of parts)
    for (const { on, document, orderId } of part.incoming) {
      if (on >= today || orderId === null || said.has(document)) continue
      said.add(document)
      faults.push({
        at: `${labels.part(part.id)} on ${document}`,
        why: `it should have come on ${dateSays(on)}; the plan expects it today`,
        next: 'Ask the supplier when it comes, or give up the rest of the order.',
        orderId,
      })
    }
  for (const { job, jobId, needOn } of needs) {
    if (needOn === null || needOn >= today || said.has(`job ${job}`)) continue
    said.add(`job ${job}`)
    faults.push({
      at: `job ${job}`,
      why: `its day, ${dateSays(needOn)}, is over; the plan reckons with today`,
      next: 'Give the job a new day.',
      jobId,
    })
  }
}
