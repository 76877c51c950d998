import { stringify } from 'csv-stringify/sync'
import { quantityInput } from '../measure/quantity.ts'
import type { PartReview } from './review.ts'

/**
 * The review of a season as CSV (RFC 4180; UTF-8 with a byte order mark), a row a part. Quantities in the stock unit of their row
 * with a decimal point, money in whole units of the currency; planned cells are empty where the plan did not name the part.
 */
export const REVIEW_COLUMNS = [
  'part_number',
  'description',
  'unit',
  'planned_certain',
  'planned_expected',
  'planned_enough',
  'there',
  'bought',
  'used',
  'left_over',
  'missing',
  'ordered_beside',
  'waiting',
  'planned_expected_cost',
  'bought_cost',
  'used_cost',
  'left_over_cost',
  'missing_cost',
  'currency',
] as const

const amount = (minor: number) => (minor / 100).toFixed(2)

export function reviewCsv(rows: readonly PartReview[], currency: string): string {
  const table = rows.map(({ part, planned, there, left, leftMinor, missing, missingMinor, rushed }) => {
    const show = (minor: number) => quantityInput(minor, part.unit)
    // A count of pieces keeps a decimal where it is an expectation.
    const expected = (minor: number) => (part.unit === 'each' ? minor.toFixed(1) : show(Math.round(minor)))
    return {
      part_number: part.number,
      description: part.description,
      unit: part.unit,
      planned_certain: planned ? show(planned.certain) : '',
      planned_expected: planned ? expected(planned.mean) : '',
      planned_enough: planned ? show(planned.enough) : '',
      there: show(there),
      bought: show(part.bought),
      used: show(part.used),
      left_over: show(left),
      missing: show(missing),
      ordered_beside: show(rushed),
      waiting: show(part.waiting),
      planned_expected_cost: planned ? amount(planned.meanMinor) : '',
      bought_cost: amount(part.boughtMinor),
      used_cost: amount(part.usedMinor),
      left_over_cost: amount(leftMinor),
      missing_cost: amount(missingMinor),
      currency,
    }
  })
  return stringify(table, {
    header: true,
    columns: [...REVIEW_COLUMNS],
    bom: true,
    escape_formulas: true,
    record_delimiter: 'windows',
    quoted_match: /[\r\n]/,
  })
}
