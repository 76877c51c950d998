import { DAY_MS, daysAdd, daysBetween, monthsAdd, type PlainDate } from '../service/plain-date.ts'
import { hoursRan, type Ran, type Reading, trendPerDay } from '../service/running.ts'
import type { DaySpan } from './season.ts'

/** Earlier years whose same months are looked at. */
export const RUNNING_YEARS = 3
/** Readings further apart say nothing of the months between them; common practice, no source. */
const APART_DAYS_MOST = 62

/** Hours that a machine is expected to run in a stretch of days, tenths of an hour. */
export interface WindowRunning {
  expected: number
  /** As many as it would run at the trend of the whole year; null where too little was read. */
  byYear: number | null
  /** Earlier years whose readings told it; 0: the trend of the year, for want of them. */
  years: number
}

/** The instants that readings are wanted around, to tell the running in a stretch of days that begins today or later. */
export function runningDays({ from, until }: DaySpan): PlainDate[] {
  const after = daysAdd(until, 1)
  return Array.from({ length: RUNNING_YEARS }, (_, at) => [
    monthsAdd(from, -12 * (at + 1)),
    monthsAdd(after, -12 * (at + 1)),
  ]).flat()
}

/** Tenths run since the first reading, on a straight line between the two readings around a day; null where they are too far apart. */
function ranOn(ran: readonly Ran[], day: PlainDate): number | null {
  const at = Date.parse(day)
  const before = ran.findLast((one) => one.at.getTime() <= at)
  const after = ran.find((one) => one.at.getTime() >= at)
  if (!before || !after) return null
  const span = after.at.getTime() - before.at.getTime()
  if (span > APART_DAYS_MOST * DAY_MS) return null
  return span === 0
    ? before.ranTenths
    : before.ranTenths + ((at - before.at.getTime()) / span) * (after.ranTenths - before.ranTenths)
}

/**
 * What a machine runs in a stretch of days: the mean of the same days of up to three earlier years, as far as readings around both
 * ends of them tell it; else as it ran over the whole last year.
 *
 * Example: 40 h between 1 November and 1 March of one winter, 60 h in the next: 50 h, though it ran 600 h in the year.
 */
export function windowRunning(readings: readonly Reading[], span: DaySpan, today: PlainDate): WindowRunning {
  const ran = hoursRan(readings)
  const days = runningDays(span)
  const found: number[] = []
  for (let at = 0; at < days.length; at += 2) {
    const [from, after] = [ranOn(ran, days[at]!), ranOn(ran, days[at + 1]!)]
    if (from !== null && after !== null) found.push(after - from)
  }
  const perDay = trendPerDay(ran, today)
  const byYear = perDay === null ? null : perDay * (daysBetween(span.from, span.until) + 1)
  const mean = found.reduce((sum, one) => sum + one, 0) / found.length
  return { expected: found.length > 0 ? mean : (byYear ?? 0), byYear, years: found.length }
}

/** A machine that has a part, with so many pieces of it. */
export interface FittedRunning {
  fitted: number
  running: WindowRunning
}

/**
 * How much of the failures of a year's running fall into the stretch: piece-hours expected in it over those that the trend of the
 * year would have. Machines of which no year is known tell nothing; 1 where none does.
 */
export function runningShare(machines: readonly FittedRunning[]): number {
  let [expected, byYear] = [0, 0]
  for (const { fitted, running } of machines) {
    if (running.byYear === null) continue
    expected += fitted * running.expected
    byYear += fitted * running.byYear
  }
  return byYear > 0 ? expected / byYear : 1
}
