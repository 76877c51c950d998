import { type SupersessionLink, supersessionResolve } from '../catalogue/supersession.ts'
import { hoursByMonth } from '../demand/exposure.ts'
import { demandHistory, type HistoryMovement, type Month, monthsBetween, replacedBy } from '../demand/history.ts'
import { leadMonths, YEAR_MONTHS, type YearPart } from '../demand/past-year.ts'
import { offerBest } from '../price/offer-best.ts'
import { type LeadBook, leadBook, leadTime } from '../replenish/lead-time.ts'
import { dateOf, monthsAdd, type PlainDate } from '../service/plain-date.ts'
import { database } from './client.ts'
import { type FittedLine, fittedLinesRead, fittedOn, lastWhole, movementsRead } from './demand-history.ts'
import { LEAD_DAYS, leadsObserved } from './level-proposal.ts'
import { offersNow } from './offer-price.ts'

/** Parts whose ledger is read in one go: a large shop has more of it than fits. */
const PARTS_AT_ONCE = 500

export interface PastYearFacts {
  /** The judged months, the last whole one at the end. */
  months: Month[]
  parts: YearPart[]
  /** Parts in pieces that moved, but of which nothing was ever taken: in no figure. */
  neverTaken: number
  /** Parts that are poured or cut: in no figure either. */
  notInPieces: number
}

interface PartRow {
  id: number
  unit: string
  partClass: string
  price: number | null
  reorderPoint: number | null
  orderUpTo: number | null
}

/** Every part with a ledger, and those that replace one; what a piece is worth at moving average, else as it was bought last. */
function partRowsRead(): Promise<PartRow[]> {
  return database().$queryRaw<PartRow[]>`
    SELECT p."id", p."unit", p."partClass", l."reorderPoint", l."orderUpTo",
      CASE WHEN v."quantity" > 0 THEN 1.0 * v."valueMinor" / v."quantity" ELSE p."costMinor" END AS "price"
    FROM "Part" p LEFT JOIN "PartValue" v ON v."partId" = p."id" LEFT JOIN "StockLevel" l ON l."partId" = p."id"
    WHERE EXISTS (SELECT 1 FROM "Movement" m WHERE m."partId" = p."id")
      OR EXISTS (SELECT 1 FROM "Supersession" s WHERE s."newPartId" = p."id")
    ORDER BY p."id"`
}

/** The links of one family of numbers: what replaces the part, what that replaces in its turn. */
function familyLinks(partId: number, byPart: ReadonlyMap<number, SupersessionLink[]>): SupersessionLink[] {
  const seen = new Set([partId])
  const links = new Set<SupersessionLink>()
  for (const at of seen)
    for (const link of byPart.get(at) ?? []) {
      links.add(link)
      seen.add(link.oldPartId).add(link.newPartId)
    }
  return [...links]
}

async function linksByPart(): Promise<Map<number, SupersessionLink[]>> {
  const rows = await database().supersession.findMany({ orderBy: { id: 'asc' } })
  const byPart = new Map<number, SupersessionLink[]>()
  for (const row of rows) {
    const link = { ...row, interchange: row.interchange as SupersessionLink['interchange'] }
    for (const id of new Set([row.oldPartId, row.newPartId])) byPart.set(id, [...(byPart.get(id) ?? []), link])
  }
  return byPart
}

/** Months from order to delivery and the price where nothing else says it, of each part with an offer. */
async function offersRead(now: Date): Promise<Map<number, { leadDays: number; price: number }>> {
  const offered = await database().offer.groupBy({ by: ['partId'], where: { withdrawnAt: null } })
  const byPart = await offersNow(
    database(),
    offered.map(({ partId }) => partId),
    dateOf(now),
  )
  const suppliers = await database().supplier.findMany({ select: { id: true, leadTimeDays: true } })
  const stated = new Map(suppliers.map(({ id, leadTimeDays }) => [id, leadTimeDays]))
  const books = new Map<number, LeadBook>()
  const found = new Map<number, { leadDays: number; price: number }>()
  for (const [partId, of] of byPart) {
    // Only what is counted by the piece is asked about.
    const best = offerBest(of, 1, 1)
    if (!best) continue
    const { supplierId } = best.offer
    const book = books.get(supplierId) ?? leadBook(await leadsObserved(supplierId, now), stated.get(supplierId)!)
    books.set(supplierId, book)
    found.set(partId, { leadDays: leadTime(book, partId).meanDays, price: best.homeUnitMinor ?? 0 })
  }
  return found
}

/** Hours of each machine in each of the months, reckoned once for all parts. */
async function hoursRead(months: readonly Month[]) {
  const machines = await database().machine.findMany({
    include: { readings: { orderBy: { at: 'asc' }, select: { at: true, hourTenths: true, reason: true } } },
    orderBy: { id: 'asc' },
  })
  return machines.map((machine) => ({ ...machine, hours: hoursByMonth(machine, months) }))
}

/** What lay on the shelf, free to take, at the end of each of the months. */
function onHandAt(movements: readonly HistoryMovement[], months: readonly Month[]): number[] {
  return months.map((month) => {
    const end = monthsAdd(`${month}-01`, 1)
    return movements.reduce((sum, one) => (one.isFree && one.day < end ? sum + one.quantity * one.ratio : sum), 0)
  })
}

function exposureOf(
  machines: Awaited<ReturnType<typeof hoursRead>>,
  lines: readonly FittedLine[],
  ratios: ReadonlyMap<number, number>,
  many: number,
): number[] | null {
  const sums = Array.from({ length: many }, () => 0)
  for (const machine of machines) {
    const fitted = fittedOn(machine, lines, ratios)
    if (fitted === 0) continue
    const hours = machine.hours.slice(machine.hours.length - many)
    for (const [at, ran] of hours.entries()) sums[at] = (sums[at] ?? 0) + ran * fitted
  }
  return sums.some((ran) => ran > 0) ? sums : null
}

/** All parts in pieces of which something was ever taken, each with its whole history up to the last whole month before `today`. */
export async function pastYearFacts(today: PlainDate, now: Date): Promise<PastYearFacts> {
  const through = lastWhole(today)
  const months = monthsBetween(monthsAdd(`${through}-01`, 1 - YEAR_MONTHS).slice(0, 7), through)
  const [rows, byPart, offers] = await Promise.all([partRowsRead(), linksByPart(), offersRead(now)])
  const inPieces = rows.filter((row) => row.unit === 'each')
  // What was replaced is asked for under the number of today.
  const asked = inPieces.filter((row) => supersessionResolve(row.id, familyLinks(row.id, byPart)).partId === row.id)
  const facts: PastYearFacts = { months, parts: [], neverTaken: 0, notInPieces: rows.length - inPieces.length }
  const first = await database().movement.aggregate({ _min: { at: true } })
  const all = monthsBetween((first._min.at ?? now).toISOString().slice(0, 7), through)
  const machines = await hoursRead(all)
  for (let at = 0; at < asked.length; at += PARTS_AT_ONCE) {
    const families = asked.slice(at, at + PARTS_AT_ONCE).map((row) => {
      const own = replacedBy(row.id, familyLinks(row.id, byPart))
      return { row, ratios: new Map(own.map(({ partId, ratio }) => [partId, ratio])) }
    })
    const ids = families.flatMap(({ ratios }) => [...ratios.keys()])
    const [movements, lines] = await Promise.all([movementsRead(ids.map(alone), null), fittedLinesRead(ids)])
    const movementsOf = byPartId(movements)
    const linesOf = byPartId(lines)
    for (const { row, ratios } of families) {
      const own = [...ratios].flatMap(([id, ratio]) =>
        (movementsOf.get(id) ?? []).map((movement) => ({ ...movement, ratio })),
      )
      own.sort((a, b) => a.id - b.id)
      const history = demandHistory(own, through)
      if (history.months.length === 0) continue
      if (history.takings.length === 0) {
        facts.neverTaken += 1
        continue
      }
      const { id, partClass, reorderPoint, orderUpTo } = row
      const ofPart = [...ratios.keys()].flatMap((one) => linesOf.get(one) ?? [])
      const offer = offers.get(id)
      facts.parts.push({
        id: String(id),
        partClass,
        months: history.months,
        exposure: ofPart.length === 0 ? null : exposureOf(machines, ofPart, ratios, history.months.length),
        price: row.price ?? offer?.price ?? 0,
        leadMonths: leadMonths(offer?.leadDays ?? LEAD_DAYS),
        kept: reorderPoint === null || orderUpTo === null ? null : { reorderPoint, orderUpTo },
        onHand: onHandAt(own, months),
      })
    }
  }
  return facts
}

function byPartId<T extends { partId: number }>(rows: readonly T[]): Map<number, T[]> {
  const byPart = new Map<number, T[]>()
  for (const row of rows) {
    const of = byPart.get(row.partId)
    if (of) of.push(row)
    else byPart.set(row.partId, [row])
  }
  return byPart
}

const alone = (partId: number) => ({ partId, ratio: 1 })
