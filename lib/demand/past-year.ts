import type { MonthUse } from './history.ts'
import type { Method, PartHistory } from './method.ts'
import { levelsSpread } from './spread.ts'
import { type StockRun, stockRun } from './stock-run.ts'
import { type Protection, protection, type TargetKind, targetLevel } from './target-level.ts'
import { monthsTold, takenIn } from './told.ts'

/** Months that are judged: each of them by levels that were set from what was known before it. */
export const YEAR_MONTHS = 12
/** The shelf is looked at once a month here: finer than a month the history of a slow part says nothing. */
const REVIEW_MONTHS = 1
const DAYS_PER_MONTH = 30.44

/** Whole months, as near as they come: two weeks are there with the next look at the shelf, a month and more are one later. */
export const leadMonths = (days: number): number => Math.round(days / DAYS_PER_MONTH)

/** A part of the shop with its whole history; quantities in stock units. */
export interface YearPart {
  id: string
  partClass: string
  /** Without a gap up to the last whole month. */
  months: readonly MonthUse[]
  /** Piece-hours of the same months; null where no machine of ours is known to have it. */
  exposure: readonly number[] | null
  /** What a piece on the shelf is worth. */
  price: number
  /** Months from order to delivery, 0 where the order of one month's end is there early in the next. */
  leadMonths: number
  /** The level kept now; null where it is bought when a job wants it. */
  kept: { reorderPoint: number; orderUpTo: number } | null
  /** What really lay there at the end of each judged month. */
  onHand: readonly number[]
}

/** Sums over parts; `add` of two of them is the sum over both. */
export interface YearSum {
  parts: number
  wanted: number
  served: number
  periods: number
  periodsMet: number
  periodsEmpty: number
  /** Over the ends of the months. */
  pieces: number
  value: number
  orders: number
}

export const YEAR_NONE: YearSum = {
  parts: 0,
  wanted: 0,
  served: 0,
  periods: 0,
  periodsMet: 0,
  periodsEmpty: 0,
  pieces: 0,
  value: 0,
  orders: 0,
}

export function yearAdd(a: YearSum, b: YearSum): YearSum {
  const sum = { ...a }
  for (const name of Object.keys(YEAR_NONE) as (keyof YearSum)[]) sum[name] += b[name]
  return sum
}

/** What the sums say: shares, and means over the months. */
export function yearSays({ wanted, served, periods, periodsMet, periodsEmpty, pieces, value, orders }: YearSum) {
  return {
    fill: wanted > 0 ? served / wanted : 1,
    cycle: periods > 0 ? periodsMet / periods : 1,
    empty: periods > 0 ? periodsEmpty / periods : 0,
    pieces: pieces / YEAR_MONTHS,
    value: value / YEAR_MONTHS,
    orders,
  }
}

/** Use by month with the judged year at its end: a part that came later was not asked for before. */
function yearUse({ months }: Pick<YearPart, 'months'>): number[] {
  const before = Math.max(0, YEAR_MONTHS - months.length)
  return [...Array.from({ length: before }, () => 0), ...months.map((month) => takenIn(month))]
}

/** What was known of a part at the start of a judged month: without those months in which the shelf was empty and less was taken. */
export function knownBefore({ id, partClass, months, exposure }: YearPart, judged: number): PartHistory {
  const end = months.length - YEAR_MONTHS + judged
  const before = months.slice(0, Math.max(0, end))
  // Nothing was known of it yet: one month in which it did not run.
  if (before.length === 0) return { id, partClass, quantities: [0], exposure: [0] }
  const told = monthsTold(before)
  const quantities = before.map((month) => takenIn(month)).filter((_, at) => told[at])
  return exposure === null
    ? { id, partClass, quantities }
    : { id, partClass, quantities, exposure: exposure.slice(0, end).filter((_, at) => told[at]) }
}

export interface YearAim {
  kind: TargetKind
  /** Rising. */
  targets: readonly number[]
  /** One target for all parts together, with the least money on the shelf; else each part has to reach it. */
  isSpread: boolean
}

function levelsOf(given: readonly Protection[], prices: readonly number[], aim: YearAim): number[][] {
  return aim.isSpread
    ? levelsSpread(given, prices, aim.kind, aim.targets)
    : aim.targets.map((target) => given.map((one) => targetLevel(one, aim.kind, target)))
}

const sumOf = (run: StockRun, price: number): YearSum => ({
  parts: 1,
  wanted: run.wanted,
  served: run.served,
  periods: run.periods,
  periodsMet: run.periodsMet,
  periodsEmpty: run.periodsEmpty,
  pieces: run.onHand,
  value: run.onHand * price,
  orders: run.orders,
})

/**
 * The past year of every part under levels of one method, set anew before each month from what was known then: for each aim, for each
 * of its targets, one sum a part in the order of the parts.
 */
export function yearOfMethod(method: Method, parts: readonly YearPart[], aims: readonly YearAim[]): YearSum[][][] {
  // Pieces that cost nothing would be bought without end.
  const prices = parts.map(({ price }) => Math.max(1, price))
  // By month, aim, target and part.
  const levels = Array.from({ length: YEAR_MONTHS }, (_, judged) => {
    const outlooks = method.outlooks(parts.map((part) => knownBefore(part, judged)))
    const given = outlooks.map((outlook, at) => protection(outlook, parts[at]!.leadMonths, REVIEW_MONTHS))
    return aims.map((aim) => levelsOf(given, prices, aim))
  })
  return aims.map((aim, nth) =>
    aim.targets.map((_, which) =>
      parts.map((part, at) => {
        const quantities = yearUse(part)
        const from = quantities.length - YEAR_MONTHS
        // What is ordered at the end of a month goes by what is known then, as the coming month is begun with.
        const levelAt = (end: number) => levels[Math.min(YEAR_MONTHS - 1, end + 1 - from)]![nth]![which]![at]!
        const run = stockRun({
          quantities,
          from,
          levelAt,
          leadPeriods: part.leadMonths,
          reviewPeriods: REVIEW_MONTHS,
          start: 'steady',
        })
        return sumOf(run, part.price)
      }),
    ),
  )
}

/** The past year of a part under one level held all the time; without one everything waits for its order. */
export function yearOfLevel(part: YearPart, level: YearPart['kept']): YearSum {
  const quantities = yearUse(part)
  const run = stockRun({
    quantities,
    from: quantities.length - YEAR_MONTHS,
    levelAt: () => level?.orderUpTo ?? 0,
    ...(level ? { reorderAt: () => level.reorderPoint } : {}),
    leadPeriods: part.leadMonths,
    reviewPeriods: REVIEW_MONTHS,
    start: 'steady',
  })
  return sumOf(run, part.price)
}

/** As it really was. Who waited the ledger does not know: served and met stay empty. */
export function yearReal({ onHand, price, ...part }: YearPart): YearSum {
  const pieces = onHand.reduce((sum, one) => sum + one, 0)
  const wanted = yearUse(part)
    .slice(-YEAR_MONTHS)
    .reduce((sum, one) => sum + one, 0)
  return {
    ...YEAR_NONE,
    parts: 1,
    wanted,
    periods: onHand.length,
    periodsEmpty: onHand.filter((one) => one <= 0).length,
    pieces,
    value: pieces * price,
  }
}

/** The last twelve months of one part under a level; quantities in the unit of the months and of the level. */
export interface YearUnder {
  wanted: number
  /** Of it there at once. */
  served: number
  /** Months that ended with somebody waiting. */
  monthsShort: number
  /** On the shelf at the end of a month, mean. */
  meanOnHand: number
  orders: number
}

/** Null where nothing was asked for in those months; without a level everything waits for its order. */
export function yearUnder(
  months: readonly MonthUse[],
  level: YearPart['kept'],
  { leadDays, withPlanned }: { leadDays: number; withPlanned: boolean },
): YearUnder | null {
  const counted = withPlanned ? months : months.map((month) => ({ ...month, planned: 0 }))
  const part = { id: '', partClass: '', months: counted, exposure: null, price: 0, kept: level, onHand: [] }
  const { wanted, served, periods, periodsMet, pieces, orders } = yearOfLevel(
    { ...part, leadMonths: leadMonths(leadDays) },
    level,
  )
  if (wanted === 0) return null
  return { wanted, served, monthsShort: periods - periodsMet, meanOnHand: pieces / YEAR_MONTHS, orders }
}
