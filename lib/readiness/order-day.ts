import { daysAdd, type PlainDate } from '../service/plain-date.ts'
import { WEEKDAYS } from './plan.ts'

export type OrderDays = readonly (typeof WEEKDAYS)[number][]

const weekday = (date: PlainDate) => WEEKDAYS[new Date(`${date}T00:00:00Z`).getUTCDay()]!

/** The first day from `date` on, or back from it, on which the supplier takes orders. */
function orderDay(date: PlainDate, orderDays: OrderDays, by: 1 | -1): PlainDate {
  if (orderDays.length === 0) return date
  let at = date
  while (!orderDays.includes(weekday(at))) at = daysAdd(at, by)
  return at
}

/**
 * The last day to order what must be there on a day. Example: for 1 December 2026, a Tuesday, with ten days of lead time and
 * orders on Mondays and Thursdays, Thursday 19 November.
 */
export function orderLastDay(needed: PlainDate, leadDays: number, orderDays: OrderDays): PlainDate {
  return orderDay(daysAdd(needed, -leadDays), orderDays, -1)
}

/** The day on which an order of today, or of the next order day, is there. */
export function orderArrives(today: PlainDate, leadDays: number, orderDays: OrderDays): PlainDate {
  return daysAdd(orderDay(today, orderDays, 1), leadDays)
}
