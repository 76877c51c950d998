import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { offerBest } from '../price/offer-best.ts'
import { Refusal } from '../refusal.ts'
import { forecastRead } from '../replenish/forecast-kept.ts'
import { type LeadObserved, type LeadTime, leadBook, leadTime } from '../replenish/lead-time.ts'
import { type Criticality, criticalityOf, type LevelSettings } from '../replenish/level-settings.ts'
import { proposalOf } from '../replenish/part-facts.ts'
import type { ProposalChoice, ProposalFacts } from '../replenish/proposal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { batchRules } from './batch.ts'
import { database, Prisma, type Tx } from './client.ts'
import { type PartDemand, partDemand } from './demand-history.ts'
import { levelSettings } from './level-settings.ts'
import { breaksAtHome, offersNow } from './offer-price.ts'

/** Where no supplier says one; common practice, no source. */
export const LEAD_DAYS = 14

export interface PartLevelFacts {
  partId: number
  number: string
  description: string
  unit: StockUnit
  criticality: Criticality
  level: { reorderPoint: number; orderUpTo: number; reason: string } | null
  demand: PartDemand
  supplier: string | null
  lead: LeadTime
  settings: LevelSettings
  facts: ProposalFacts
  choice: ProposalChoice
}

/**
 * How long the order lines of a supplier took, or of all where none is named: mean day of their pieces where all have come, and the
 * age of those that have not. Lines without a receipt that were cancelled tell nothing.
 */
export async function leadsObserved(supplierId: number | null, now: Date, reader?: Tx): Promise<LeadObserved[]> {
  const ofWhom = supplierId === null ? Prisma.empty : Prisma.sql`WHERE o."supplierId" = ${supplierId}`
  const db = reader ?? (database() as unknown as Tx)
  const rows = await db.$queryRaw<
    {
      supplierId: number | bigint
      partId: number | bigint
      isOpen: number | bigint
      days: number | null
      age: number
    }[]
  >`
    SELECT o."supplierId", l."partId", (l."received" + l."cancelled" < l."quantity" AND o."state" = 'ordered') AS "isOpen",
      SUM(m."quantity" * (julianday(m."at") - julianday(o."orderedAt"))) / SUM(m."quantity") AS "days",
      julianday(${now.toISOString()}) - julianday(o."orderedAt") AS "age"
    FROM "PurchaseOrderLine" l JOIN "PurchaseOrder" o ON o."id" = l."orderId"
    LEFT JOIN "Movement" m ON m."orderLineId" = l."id" AND m."kind" = 'receive'
      AND NOT EXISTS (SELECT 1 FROM "Movement" r WHERE r."reversesId" = m."id")
    ${ofWhom} GROUP BY l."id" ORDER BY l."id"`
  return rows.flatMap(({ supplierId: of, partId, isOpen, days, age }): LeadObserved[] => {
    const line = { supplierId: Number(of), partId: Number(partId) }
    if (Number(isOpen) === 1) return [{ ...line, days: Math.max(0, age), open: true }]
    return days === null ? [] : [{ ...line, days: Math.max(0, days) }]
  })
}

/** All that the level of a part is reckoned from. Refuses with 'stock/unknown-part'. */
export async function partLevelFacts(partId: number, today: PlainDate, now: Date): Promise<PartLevelFacts> {
  const db = database()
  const part = await db.part.findUnique({
    where: { id: partId },
    include: { level: true, levelProposal: true },
  })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  const unit = part.unit as StockUnit
  const offers = (await offersNow(db, [partId], today)).get(partId) ?? []
  const offer = offerBest(offers, 1, quantityScale(unit))?.offer ?? null
  const [demand, observed, lines, settings, supplier, rules] = await Promise.all([
    partDemand(partId, today),
    offer ? leadsObserved(offer.supplierId, now) : [],
    db.partsListLine.aggregate({ where: { partId, retiredAt: null, quantity: { gt: 0 } }, _min: { quantity: true } }),
    levelSettings(),
    offer ? db.supplier.findUnique({ where: { id: offer.supplierId } }) : null,
    batchRules(db as unknown as Tx, [partId]),
  ])
  const lead = leadTime(leadBook(observed, supplier?.leadTimeDays ?? LEAD_DAYS), partId)
  const criticality = criticalityOf(part.criticality)
  const { number, description, level, costMinor, levelProposal } = part
  return {
    partId,
    number,
    description,
    unit,
    criticality,
    level,
    demand,
    supplier: offer?.supplier ?? null,
    lead,
    settings,
    ...proposalOf(
      {
        unit,
        criticality,
        costMinor,
        offer: offer && { ...offer, prices: breaksAtHome(offer) },
        lead,
        perPlace: lines._min.quantity,
        shelfLifeMonths: rules.get(partId)?.shelfLifeMonths ?? null,
      },
      {
        months: demand.months,
        takings: demand.takings.map((taking) => taking.quantity),
        forecast: levelProposal ? forecastRead(levelProposal.forecast) : null,
      },
      settings,
    ),
  }
}
