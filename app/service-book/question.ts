import { queryId, queryText } from '@/app/_parts/query.ts'
import type { BookQuestion } from '@/lib/db/service-book.ts'

/** A calendar date of an address; null when there is none, or none on the calendar. */
function dateOf(text: string): string | null {
  return /^\d{4}-\d{2}-\d{2}$/.test(text) && !Number.isNaN(new Date(text).getTime()) ? text : null
}

export function bookQuestion(asked: Record<string, string | string[] | undefined>): BookQuestion {
  return {
    said: queryText(asked.q),
    machineId: queryId(asked.machine),
    from: dateOf(queryText(asked.from)),
    to: dateOf(queryText(asked.to)),
  }
}
