import type { StockUnit } from '../measure/quantity.ts'
import { quantityScale } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { type LeadObserved, type LeadTime, leadBook, leadTime } from '../replenish/lead-time.ts'
import { FILL_TARGETS } from '../replenish/level.ts'
import { type OfferFacts, offerChoose } from '../replenish/order-list.ts'
import type { ProposalChoice, ProposalFacts } from '../replenish/proposal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { database } from './client.ts'
import { type PartDemand, partDemand } from './demand-history.ts'

/** Where no supplier says one; common practice, no source. */
export const LEAD_DAYS = 14

export interface PartLevelFacts {
  partId: number
  number: string
  description: string
  unit: StockUnit
  criticality: keyof typeof FILL_TARGETS
  level: { reorderPoint: number; orderUpTo: number; reason: string } | null
  demand: PartDemand
  supplier: string | null
  lead: LeadTime
  facts: ProposalFacts
  choice: ProposalChoice
}

/**
 * How long the order lines of a supplier took: mean day of their pieces where all have come, and the age of those that have not.
 * Lines without a receipt that were cancelled tell nothing.
 */
export async function leadsObserved(supplierId: number, now: Date): Promise<LeadObserved[]> {
  const rows = await database().$queryRaw<
    { partId: number | bigint; isOpen: number | bigint; days: number | null; age: number }[]
  >`
    SELECT l."partId", (l."received" + l."cancelled" < l."quantity" AND o."state" = 'ordered') AS "isOpen",
      SUM(m."quantity" * (julianday(m."at") - julianday(o."orderedAt"))) / SUM(m."quantity") AS "days",
      julianday(${now.toISOString()}) - julianday(o."orderedAt") AS "age"
    FROM "PurchaseOrderLine" l JOIN "PurchaseOrder" o ON o."id" = l."orderId"
    LEFT JOIN "Movement" m ON m."orderLineId" = l."id" AND m."kind" = 'receive'
      AND NOT EXISTS (SELECT 1 FROM "Movement" r WHERE r."reversesId" = m."id")
    WHERE o."supplierId" = ${supplierId} GROUP BY l."id" ORDER BY l."id"`
  return rows.flatMap(({ partId, isOpen, days, age }): LeadObserved[] => {
    const of = { supplierId, partId: Number(partId) }
    if (Number(isOpen) === 1) return [{ ...of, days: Math.max(0, age), open: true }]
    return days === null ? [] : [{ ...of, days: Math.max(0, days) }]
  })
}

/** All that the level of a part is reckoned from. Refuses with 'stock/unknown-part'. */
export async function partLevelFacts(partId: number, today: PlainDate, now: Date): Promise<PartLevelFacts> {
  const db = database()
  const part = await db.part.findUnique({
    where: { id: partId },
    include: { level: true, offers: { include: { supplier: true } } },
  })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  const chosen = offerChoose(part.offers as OfferFacts[])
  const offer = part.offers.find((one) => one.supplierId === chosen?.supplierId) ?? null
  const [demand, observed, lines] = await Promise.all([
    partDemand(partId, today),
    offer ? leadsObserved(offer.supplierId, now) : [],
    db.partsListLine.aggregate({ where: { partId, retiredAt: null, quantity: { gt: 0 } }, _min: { quantity: true } }),
  ])
  const lead = leadTime(leadBook(observed, offer?.supplier.leadTimeDays ?? LEAD_DAYS), partId)
  const criticality = part.criticality in FILL_TARGETS ? (part.criticality as keyof typeof FILL_TARGETS) : 'essential'
  const { number, description, level } = part
  const unit = part.unit as StockUnit
  return {
    partId,
    number,
    description,
    unit,
    criticality,
    level,
    demand,
    supplier: offer?.supplier.name ?? null,
    lead,
    facts: {
      scale: quantityScale(unit),
      months: demand.months,
      takings: demand.takings.map((taking) => taking.quantity),
      perPlace: lines._min.quantity,
      leadSdDays: lead.sdDays,
      pack: offer?.pack ?? 1,
      minimum: offer?.minimum ?? 1,
    },
    choice: {
      aim: { kind: 'fill', share: FILL_TARGETS[criticality] },
      leadDays: Math.round(lead.meanDays),
      priceMinor: offer?.priceMinor ?? part.costMinor ?? 0,
      withPlanned: true,
    },
  }
}
