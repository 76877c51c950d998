import { WEEKDAYS } from './plan-problem.ts'

const DAY_MS = 86_400_000

/** Days since 1 January 1970, which was a Thursday. Example: planDay('1970-01-02') is 1. */
export function planDay(date: string): number {
  return Math.round(Date.parse(`${date}T00:00:00Z`) / DAY_MS)
}

export function planDate(day: number): string {
  return new Date(day * DAY_MS).toISOString().slice(0, 10)
}

type Weekday = (typeof WEEKDAYS)[number]

const weekday = (day: number): Weekday => WEEKDAYS[(((day + 3) % 7) + 7) % 7]!

/** First day from `day` on on which this supplier takes orders. */
export function orderDayFrom(day: number, orderDays: readonly Weekday[] | null): number {
  for (let at = day; at < day + 7; at++) if (orderDays === null || orderDays.includes(weekday(at))) return at
  return day
}

/** Last day up to `day` on which this supplier takes orders. */
export function orderDayUpTo(day: number, orderDays: readonly Weekday[] | null): number {
  for (let at = day; at > day - 7; at--) if (orderDays === null || orderDays.includes(weekday(at))) return at
  return day
}
