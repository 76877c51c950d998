import { quantityFormat, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { offerBest } from '../price/offer-best.ts'
import type { PartPast } from '../replenish/all-forecasts.ts'
import { type LeadBook, leadBook, leadTime } from '../replenish/lead-time.ts'
import { criticalityOf, type LevelSettings } from '../replenish/level-settings.ts'
import { proposalOf } from '../replenish/part-facts.ts'
import type { Forecast } from '../replenish/proposal.ts'
import { type LevelAsked, type RunProposal, runProposal } from '../replenish/run-proposal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { batchRule } from '../stock/batch.ts'
import { database, Prisma } from './client.ts'
import { LEAD_DAYS, leadsObserved } from './level-proposal.ts'
import { breaksAtHome, offersNow } from './offer-price.ts'
import { packedRead } from './packed.ts'

/** What is on file of a part, packed into one value: a row of many columns takes several times as long to come over. */
type PackedPart = [
  id: number,
  partClass: string,
  unit: StockUnit,
  criticality: string,
  costMinor: number | null,
  asksBatch: 0 | 1 | null,
  asksUseBy: 0 | 1 | null,
  shelfLifeMonths: number | null,
  reorderPoint: number | null,
  orderUpTo: number | null,
  untilOn: string | null,
  perPlace: number | null,
]

const yes = (value: 0 | 1 | null) => (value === null ? null : value === 1)

function grouped<T>(all: readonly T[], by: (one: T) => number): Map<number, T[]> {
  const groups = new Map<number, T[]>()
  for (const one of all) {
    const known = groups.get(by(one))
    if (known) known.push(one)
    else groups.set(by(one), [one])
  }
  return groups
}

/** What all parts have in common, read once: lead times of the suppliers, and which classes spoil. */
export async function runCommon(now: Date) {
  const [observed, suppliers, rules] = await Promise.all([
    leadsObserved(null, now),
    database().supplier.findMany({ select: { id: true, leadTimeDays: true } }),
    database().partClassRule.findMany(),
  ])
  const bySupplier = grouped(observed, (one) => one.supplierId)
  return {
    books: new Map(suppliers.map(({ id, leadTimeDays }) => [id, leadBook(bySupplier.get(id) ?? [], leadTimeDays)])),
    noBook: leadBook([], LEAD_DAYS),
    rules: new Map(rules.map((rule) => [rule.partClass, rule])),
  }
}

export type RunCommon = Awaited<ReturnType<typeof runCommon>>

/** Reckons some parts, whose pasts and forecasts stand side by side, by what is on file of them now. */
export async function partsReckon(
  some: readonly { past: PartPast; forecast: Forecast }[],
  { common, settings, today }: { common: RunCommon; settings: LevelSettings; today: PlainDate },
): Promise<RunProposal[]> {
  const json = JSON.stringify(some.map(({ past }) => past.partId))
  const [parts, offered] = await Promise.all([
    packedRead<PackedPart>(Prisma.sql`
      SELECT json_array(p."id", p."partClass", p."unit", p."criticality", p."costMinor", p."asksBatch", p."asksUseBy",
        p."shelfLifeMonths", l."reorderPoint", l."orderUpTo", h."untilOn", (SELECT MIN(i."quantity") FROM "PartsListLine" i
        WHERE i."partId" = p."id" AND i."retiredAt" IS NULL AND i."quantity" > 0)) AS "packed"
      FROM json_each(${json}) j JOIN "Part" p ON p."id" = j.value LEFT JOIN "StockLevel" l ON l."partId" = p."id"
      LEFT JOIN "LevelHold" h ON h."partId" = p."id"`),
    offersNow(
      database(),
      some.map(({ past }) => past.partId),
      today,
    ),
  ])
  const rows = new Map(parts.map((part) => [part[0], part]))
  return some.flatMap(({ past, forecast }) => {
    const row = rows.get(past.partId)
    // Somebody may have taken the part out since its ledger was read.
    if (!row) return []
    const [, partClass, unit, criticality, costMinor, asksBatch, asksUseBy, shelfLifeMonths, ...kept] = row
    const [reorderPoint, orderUpTo, untilOn, perPlace] = kept
    const offer = offerBest(offered.get(past.partId) ?? [], 1, quantityScale(unit))?.offer ?? null
    const book: LeadBook = (offer && common.books.get(offer.supplierId)) || common.noBook
    const own = { asksBatch: yes(asksBatch), asksUseBy: yes(asksUseBy), shelfLifeMonths }
    const read = {
      unit,
      criticality: criticalityOf(criticality),
      costMinor,
      offer: offer && { ...offer, prices: breaksAtHome(offer) },
      lead: leadTime(book, past.partId),
      perPlace,
      shelfLifeMonths: batchRule(own, common.rules.get(partClass)).shelfLifeMonths,
    }
    const asked: LevelAsked = {
      partId: past.partId,
      before: reorderPoint === null || orderUpTo === null ? null : { reorderPoint, orderUpTo },
      isHeld: untilOn !== null && untilOn >= today,
      ...proposalOf(read, { months: [], takings: past.takings, forecast }, settings),
    }
    return [runProposal(asked, settings, (minor) => quantityFormat(minor, unit))]
  })
}
