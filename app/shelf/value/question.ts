import { queryText } from '@/app/_parts/query.ts'
import { todayIs } from '@/app/_parts/today.ts'
import { methodIs, type ValueMethod } from '@/lib/value/summary.ts'

export interface ValueQuestion {
  /** Not later than today. */
  day: string
  /** Why another day is shown than was asked for; null where it is the one. */
  fault: string | null
  /** The day it is compared with; null: none. */
  before: string | null
  method: ValueMethod
}

/** A calendar date of an address; null when there is none, or none on the calendar. */
function dateOf(text: string): string | null {
  if (!/^[12]\d{3}-\d{2}-\d{2}$/.test(text)) return null
  const date = new Date(`${text}T00:00:00Z`)
  // 31 February is read as a day in March.
  return !Number.isNaN(date.getTime()) && date.toISOString().startsWith(text) ? text : null
}

export function valueQuestion(asked: Record<string, string | string[] | undefined>): ValueQuestion {
  const method = queryText(asked.method)
  const said = queryText(asked.day)
  const day = dateOf(said)
  const today = todayIs()
  const isToCome = day !== null && day > today
  return {
    day: day === null || isToCome ? today : day,
    fault: isToCome
      ? 'Nobody knows what the stock will be worth on a day to come; today is shown.'
      : said !== '' && day === null
        ? `“${said.slice(0, 40)}” is no day; today is shown.`
        : null,
    before: dateOf(queryText(asked.before)),
    method: methodIs(method) ? method : 'moving-average',
  }
}

/** The months of the summary: a year, the month of the day included. */
export const MONTHS_SHOWN = 12
