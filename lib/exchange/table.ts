import { Refusal } from '../refusal.ts'

/** One row of a file as text, whatever the file was. The first row of a table is its header. */
export interface TableRow {
  /** As a person counts: the line of a text file, the row of a spreadsheet, the place in a list. */
  row: number
  cells: string[]
  /** Cells that a spreadsheet keeps as a date; it makes dates of part numbers like 1-2. */
  dates?: readonly number[]
  /** Cells that hold a formula which went wrong. */
  errors?: readonly number[]
  /** The sign between the cells of a text file. */
  separator?: string
}

/** Said where a row has more cells than the header; empty where no decimal comma can have made two cells of a number. */
export function commaHint({ separator }: TableRow): string {
  return separator === ','
    ? '; a decimal comma in a file separated by commas may be the cause: write decimals with a point, as 1.5'
    : ''
}

export type TableFormat = 'csv' | 'xlsx' | 'json'

export const FILE_MEGABYTES_MAX = 100
export const ROWS_MAX = 250_000
export const TABLE_COLUMNS_MAX = 200
/** Longest row of a text file; a quote that never closes must not swallow the file. */
export const ROW_LETTERS_MAX = 200_000

export function unreadable(file: string, why: string): Refusal {
  return new Refusal('exchange/unreadable', { file, why })
}

/** At most so many rows are read: past them a file is refused, not cut. */
export function rowsCheck(file: string, count: number): void {
  if (count > ROWS_MAX) throw new Refusal('exchange/too-many-rows', { file, limit: ROWS_MAX })
}

export function columnsCheck(file: string, count: number): void {
  if (count > TABLE_COLUMNS_MAX) throw unreadable(file, `it has more than ${TABLE_COLUMNS_MAX} columns`)
}

/**
 * A double as a person would write it: without an exponent, and with the fifteen figures a spreadsheet shows, so that
 * 0.1 + 0.2 comes out as 0.3. Numbers too large or small for that keep their exponent and are refused where they stand.
 */
export function decimalText(value: number): string {
  const shown = String(Number(value.toPrecision(15)))
  const small = /^(-?)(\d)(?:\.(\d+))?e-(\d+)$/.exec(shown)
  if (!small || Number(small[4]) > 15) return shown
  return `${small[1]}0.${'0'.repeat(Number(small[4]) - 1)}${small[2]}${small[3] ?? ''}`
}
