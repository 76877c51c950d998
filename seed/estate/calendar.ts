/** Days of the demo's history. A day is a whole number counted from the first one; all instants are UTC. */
export const DAY_MS = 86_400_000
export const MINUTE_MS = 60_000

export interface Calendar {
  /** Midnight of day 0. */
  start: Date
  /** Days of history; the last one is well before now, so that today's own work comes after it. */
  days: number
  /** When the history ends. */
  end: Date
}

/** Three years up to two days before `now`, from the first of a month. */
export function calendarOf(now: Date): Calendar {
  const start = new Date(Date.UTC(now.getUTCFullYear() - 3, now.getUTCMonth(), 1))
  const days = Math.floor((now.getTime() - start.getTime()) / DAY_MS) - 1
  return { start, days, end: new Date(start.getTime() + days * DAY_MS) }
}

export function calendarDate(calendar: Calendar, day: number, minutes = 0): Date {
  return new Date(calendar.start.getTime() + day * DAY_MS + minutes * MINUTE_MS)
}

/** January is 0. */
export function calendarMonth(calendar: Calendar, day: number): number {
  return calendarDate(calendar, day).getUTCMonth()
}

/** Sunday is 0. */
export function calendarWeekday(calendar: Calendar, day: number): number {
  return calendarDate(calendar, day).getUTCDay()
}

export function calendarIso(date: Date): string {
  return date.toISOString().slice(0, 10)
}
