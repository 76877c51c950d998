import type { PlainDate } from '../service/plain-date.ts'
import { daysAdd } from '../service/plain-date.ts'

/** Days of the week by their ISO 8601 numbers, 1 Monday to 7 Sunday. */
export const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const

/** "1,4" as kept with a supplier; none: orders are taken on any day. */
export function orderDaysRead(kept: string | null): number[] {
  return kept === null || kept === '' ? [] : kept.split(',').map(Number)
}

/** The first day from `day` on, itself among them, on which the supplier takes orders. Example: from a Friday, for 1,4: the Monday after. */
export function orderDayNext(day: PlainDate, orderDays: readonly number[]): PlainDate {
  if (orderDays.length === 0) return day
  for (let wait = 0; wait < 7; wait++) {
    const at = daysAdd(day, wait)
    if (orderDays.includes(weekdayOf(at))) return at
  }
  throw new RangeError(`no weekday has one of the numbers ${orderDays.join(', ')}`)
}

/** ISO 8601 number of the weekday. 1970-01-01 was a Thursday. */
export function weekdayOf(day: PlainDate): number {
  const days = Math.floor(Date.parse(day) / 86_400_000)
  return ((((days + 3) % 7) + 7) % 7) + 1
}

/** "Mondays and Thursdays"; "any day" */
export function orderDaysSay(orderDays: readonly number[]): string {
  const names = [...orderDays].sort((a, b) => a - b).map((day) => `${WEEKDAYS[day - 1]}s`)
  return names.length === 0 || names.length === 7
    ? 'any day'
    : [names.slice(0, -1).join(', '), names.at(-1)].filter(Boolean).join(' and ')
}
