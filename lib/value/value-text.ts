import { stringify } from 'csv-stringify/sync'
import { quantityInput, type StockUnit } from '../measure/quantity.ts'
import type { MonthValue } from './summary.ts'

/**
 * What the stock is worth, and the months, as text for other programs: CSV as RFC 4180 has it, a header row, lines ended by
 * CR LF, UTF-8 with a byte order mark. Numbers have a decimal point and no thousands mark: quantities in the stock unit of their
 * row, money in whole units of the currency of their row. A text that a spreadsheet would run as a formula gets an apostrophe;
 * where every column is a number (`numbers`) none does, because a minus would make it a text.
 */
export function shelfCsv(rows: Record<string, string>[], columns: readonly string[], numbers = false): string {
  return stringify(rows, {
    header: true,
    columns: [...columns],
    bom: true,
    escape_formulas: !numbers,
    record_delimiter: 'windows',
    // With CR LF as the end of a line, a lone CR or LF inside a field would go unquoted and break the row.
    quoted_match: /[\r\n]/,
  })
}

export const amount = (minor: number) => (minor / 100).toFixed(2)

export interface WorthText {
  number: string
  maker: string
  description: string
  partClass: string
  unit: StockUnit
  store: string
  quantity: number
  valueMinor: number
}

export const WORTH_COLUMNS = [
  'on',
  'method',
  'part_number',
  'maker',
  'description',
  'class',
  'store',
  'quantity',
  'unit',
  'value',
  'currency',
] as const

/** One row a part and store. */
export function worthCsv(rows: readonly WorthText[], facts: { day: string; method: string; currency: string }): string {
  return shelfCsv(
    rows.map((row) => ({
      on: facts.day,
      method: facts.method,
      part_number: row.number,
      maker: row.maker,
      description: row.description,
      class: row.partClass,
      store: row.store,
      quantity: quantityInput(row.quantity, row.unit),
      unit: row.unit,
      value: amount(row.valueMinor),
      currency: facts.currency,
    })),
    WORTH_COLUMNS,
  )
}

export const MONTH_COLUMNS = [
  'month',
  'opening',
  'received',
  'taken',
  'counted',
  'scrapped',
  'closing',
  'currency',
] as const

/** One row a month; what goes out has a minus. */
export function monthsCsv(months: readonly MonthValue[], currency: string): string {
  return shelfCsv(
    months.map((row) => ({
      month: row.month,
      opening: amount(row.openingMinor),
      received: amount(row.received),
      taken: amount(row.taken),
      counted: amount(row.counted),
      scrapped: amount(row.scrapped),
      closing: amount(row.closingMinor),
      currency,
    })),
    MONTH_COLUMNS,
    true,
  )
}
