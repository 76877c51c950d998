import { DAY_MS, monthsAdd } from '../service/plain-date.ts'
import { hoursRan, type Ran, type Reading, trendPerDay } from '../service/running.ts'
import type { Month } from './history.ts'

/** A machine that has the part, and how many of it are fitted. */
export interface Installed {
  /** Pieces of today's part, in its unit. */
  fitted: number
  readings: readonly Reading[]
  /** Year of the machine; it ran no hours before. Null where nobody knows. */
  year: number | null
}

/** Hours a day over all readings; the meter’s own figure since the year of the machine where there is but one reading. */
function perDayBefore(ran: readonly Ran[], year: number | null): number {
  const first = ran[0]
  const last = ran.at(-1)
  if (!first || !last) return 0
  const days = (last.at.getTime() - first.at.getTime()) / DAY_MS
  if (days >= 1) return last.ranTenths / days
  const age = year === null ? 0 : (first.at.getTime() - Date.UTC(year, 0, 1)) / DAY_MS
  return age >= 1 ? first.hourTenths / age : 0
}

/**
 * Hours that a machine ran up to an instant, tenths, counted from its first reading: on straight lines between readings; after the
 * last one as it has run over the year before it; before the first one as over all readings, but never more than its meter showed.
 */
function ranBy(ran: readonly Ran[], at: number, { before, after }: { before: number; after: number }): number {
  const first = ran[0]
  if (!first) return 0
  if (at <= first.at.getTime()) return -Math.min(first.hourTenths, (before * (first.at.getTime() - at)) / DAY_MS)
  let low = first
  for (const reading of ran) {
    if (reading.at.getTime() >= at) {
      const span = reading.at.getTime() - low.at.getTime()
      const share = span === 0 ? 1 : (at - low.at.getTime()) / span
      return low.ranTenths + share * (reading.ranTenths - low.ranTenths)
    }
    low = reading
  }
  return low.ranTenths + (after * (at - low.at.getTime())) / DAY_MS
}

/** Hours that a machine ran in each of the months. Example: 100.0 h read on 1 January and 131.0 on 1 February: 31 in January. */
export function hoursByMonth(
  { readings, year }: Pick<Installed, 'readings' | 'year'>,
  months: readonly Month[],
): number[] {
  const ran = hoursRan(readings)
  const before = perDayBefore(ran, year)
  const last = ran.at(-1)
  const after = last ? (trendPerDay(ran, last.at.toISOString().slice(0, 10)) ?? before) : 0
  const built = year === null ? Number.NEGATIVE_INFINITY : Date.UTC(year, 0, 1)
  const by = (month: Month) => ranBy(ran, Math.max(built, Date.parse(`${month}-01`)), { before, after })
  return months.map((month) => Math.max(0, by(monthsAdd(`${month}-01`, 1).slice(0, 7)) - by(month)) / 10)
}

/** Piece-hours of a part in each month over all machines that have it: what its failures are counted against. */
export function exposureByMonth(machines: readonly Installed[], months: readonly Month[]): number[] {
  const sums = months.map(() => 0)
  for (const machine of machines)
    for (const [at, hours] of hoursByMonth(machine, months).entries())
      sums[at] = (sums[at] ?? 0) + hours * machine.fitted
  return sums
}
