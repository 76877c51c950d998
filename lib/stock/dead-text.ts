import { quantityInput, type StockUnit } from '../measure/quantity.ts'
import { amount, shelfCsv } from '../value/value-text.ts'
import { DEAD_ADVICE, DEAD_REASONS, type DeadFinding } from './dead.ts'

export interface DeadText extends DeadFinding {
  number: string
  maker: string
  description: string
  partClass: string
  unit: StockUnit
  lastMovedOn: string | null
  usedYear: number
}

export const DEAD_COLUMNS = [
  'part_number',
  'maker',
  'description',
  'class',
  'quantity',
  'unit',
  'value',
  'currency',
  'last_moved_on',
  'used_in_a_year',
  'why',
  'advice',
  'says',
] as const

/** One row a part; `quantity` and `value` are those it is about, of excess alone only what is beyond the years of use. */
export function deadCsv(rows: readonly DeadText[], currency: string): string {
  return shelfCsv(
    rows.map((row) => ({
      part_number: row.number,
      maker: row.maker,
      description: row.description,
      class: row.partClass,
      quantity: quantityInput(row.quantity, row.unit),
      unit: row.unit,
      value: amount(row.valueMinor),
      currency,
      last_moved_on: row.lastMovedOn ?? '',
      used_in_a_year: quantityInput(row.usedYear, row.unit),
      why: row.reasons.map((reason) => DEAD_REASONS[reason]).join('; '),
      advice: DEAD_ADVICE[row.advice],
      says: row.says,
    })),
    DEAD_COLUMNS,
  )
}
