import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { daysAdd, daysBetween, type PlainDate } from '../service/plain-date.ts'
import { type LineDue, lineDueOn } from './due-day.ts'

export interface ChaseFacts {
  orderedOn: PlainDate
  /** The order's own day, for lines of which nothing was confirmed. */
  dueOn: PlainDate
  /** Only lines of which something is still due. */
  lines: readonly LineDue[]
  /** The day of the last call; null when nobody called. */
  calledOn: PlainDate | null
}

export interface Chase {
  why: 'late' | 'unconfirmed'
  /** Since when it should be chased: the first day missed, or the day on which a confirmation was overdue. */
  since: PlainDate
  /** Whole days from `since` to today. */
  days: number
}

/**
 * Whether an order is chased, and since when. It is late when the day a line is looked for is past: a day promised on the telephone
 * takes it off the list until then. It is unconfirmed when some line has neither a confirmed nor a promised day `confirmDays` days
 * after it was sent or after the last call (null: confirmations are not waited for). Late goes before unconfirmed.
 * Source: common practice, no source.
 */
export function chaseOf(facts: ChaseFacts, today: PlainDate, confirmDays: number | null): Chase | null {
  const { lines, orderedOn, calledOn } = facts
  if (lines.length === 0) return null
  const first = lines.map((line) => lineDueOn(line, facts.dueOn)).sort()[0]!
  if (first < today) return { why: 'late', since: first, days: daysBetween(first, today) }
  const isUnknown = lines.some((line) => line.confirmedOn === null && line.promisedOn === null)
  if (confirmDays === null || !isUnknown) return null
  const since = daysAdd(calledOn ?? orderedOn, confirmDays)
  return since <= today ? { why: 'unconfirmed', since, days: daysBetween(since, today) } : null
}

/** "12 days late, was due 16 Nov 2026"; "not confirmed, ordered 23 Nov 2026" */
export function chaseSays({ why, since, days }: Chase, orderedOn: PlainDate): string {
  return why === 'late'
    ? `${counted(days, 'day')} late, was due ${dateSays(since)}`
    : `not confirmed, ordered ${dateSays(orderedOn)}`
}

export interface ChaseLetter {
  number: number
  email: string | null
  supplierReference: string | null
  workshop: string | null
  lines: readonly {
    number: string
    supplierNumber: string | null
    description: string
    unit: StockUnit
    due: number
  }[]
}

/** A link that asks the supplier when what is due will come; encoding by RFC 6068. */
export function chaseMailto({ number, email, supplierReference, workshop, lines }: ChaseLetter): string {
  const theirs = supplierReference === null ? '' : ` (your ${supplierReference})`
  const each = lines
    .slice(0, 12)
    .map(
      (line) => `${quantityFormat(line.due, line.unit)} of ${line.supplierNumber ?? line.number}, ${line.description}`,
    )
  const more = lines.length > 12 ? [`and ${counted(lines.length - 12, 'line')} more`] : []
  const body = [
    `When will these lines of our order ${number}${theirs} come?`,
    '',
    ...each,
    ...more,
    ...(workshop === null ? [] : ['', workshop]),
  ].join('\r\n')
  const to = encodeURIComponent(email ?? '').replaceAll('%40', '@')
  return `mailto:${to}?subject=${encodeURIComponent(`Order ${number}${theirs}`)}&body=${encodeURIComponent(body)}`
}
