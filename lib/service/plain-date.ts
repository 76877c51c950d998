/** A calendar date without hour or zone, as ISO 8601 writes it: 2026-11-03. Strings of this form sort as dates do. */
export type PlainDate = string

export const DAY_MS = 86_400_000

function read(date: PlainDate): [year: number, month: number, day: number] {
  return [Number(date.slice(0, 4)), Number(date.slice(5, 7)), Number(date.slice(8, 10))]
}

const two = (number: number) => (number < 10 ? `0${number}` : String(number))

/** Written by hand where the year has four digits: the due list of a fleet asks for thousands, and `toISOString` takes far longer. */
function text(at: Date): PlainDate {
  const year = at.getUTCFullYear()
  if (!(year >= 1000 && year <= 9999)) return at.toISOString().slice(0, 10)
  return `${year}-${two(at.getUTCMonth() + 1)}-${two(at.getUTCDate())}`
}

export function dateOf(at: Date): PlainDate {
  return text(at)
}

/** Days of a month, February of a leap year included. `month` counts from 1 and may run over the year. */
function daysInMonth(year: number, month: number): number {
  return new Date(Date.UTC(year, month, 0)).getUTCDate()
}

/**
 * Adds calendar months. Where the month that is reached is shorter, its last day is meant (31 January and one month is 28 or
 * 29 February), so a date never slips into the month after. Source of the rule: W3C XML Schema part 2, appendix E, which adds
 * an ISO 8601 duration to a date. Example: monthsAdd('2024-01-31', 1) is '2024-02-29'.
 */
export function monthsAdd(date: PlainDate, months: number): PlainDate {
  const [year, month, day] = read(date)
  const reached = month - 1 + months
  return text(new Date(Date.UTC(year, reached, Math.min(day, daysInMonth(year, reached + 1)))))
}

export function daysAdd(date: PlainDate, days: number): PlainDate {
  const [year, month, day] = read(date)
  return text(new Date(Date.UTC(year, month - 1, day + days)))
}

/** Whole days from one date to the other; negative when `to` comes first. */
export function daysBetween(from: PlainDate, to: PlainDate): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS)
}
