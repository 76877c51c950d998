import { stringify } from 'csv-stringify/sync'
import { FORMULA_STARTS } from './read-csv.ts'

/** A text that a spreadsheet would run as a formula gets an apostrophe in front; reading the file takes it off again. */
export function formulaGuard(text: string): string {
  return FORMULA_STARTS.has(text.replace(/^'+/, '').charAt(0)) ? `'${text}` : text
}

/**
 * Rows as CSV lines (RFC 4180, CR LF, quoted where they must be). Begin a file with `CSV_START`, so that a spreadsheet takes
 * it as UTF-8. Numbers go through as they are: guard texts before.
 */
export function csvLines(rows: readonly (readonly string[])[]): string {
  return stringify(
    rows.map((row) => [...row]),
    {
      record_delimiter: 'windows',
      // With CR LF as the end of a line, a lone CR or LF inside a field would go unquoted and break the row; an empty
      // cell alone on its line would be passed over as a line without content.
      quoted_match: /[\r\n]/,
      quoted_empty: rows.some((row) => row.length === 1),
    },
  )
}

export const CSV_START = '\ufeff'
