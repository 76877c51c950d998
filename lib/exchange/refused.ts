import { type RowRefusal, type TableOpen, tableBody } from './check.ts'
import { CSV_START, csvLines, formulaGuard } from './write-csv.ts'

/** The column that says why; it stands for no column of a kind, so the mended file may keep it. */
export const REFUSED_BECAUSE = 'refused_because'

/** The refused rows as they stood in the file, with why beside each: mend them and bring that file in. Empty when none is. */
export async function refusedCsv(open: TableOpen, refusals: readonly RowRefusal[], file: string): Promise<string> {
  if (refusals.length === 0) return ''
  const why = new Map<number, string[]>()
  for (const { row, column, reason } of refusals) {
    const says = column === '' ? reason : `${column} ${reason}`
    const before = why.get(row)
    if (before) before.push(says)
    else why.set(row, [says])
  }
  const lines: string[] = []
  for await (const { header, row } of tableBody(open(), file)) {
    const kept = header.flatMap((name, at) => (name === REFUSED_BECAUSE ? [] : [at]))
    if (lines.length === 0) lines.push(csvLines([[...kept.map((at) => formulaGuard(header[at]!)), REFUSED_BECAUSE]]))
    const says = why.get(row.row)
    if (says) lines.push(csvLines([[...kept.map((at) => formulaGuard(row.cells[at] ?? '')), says.join('; ')]]))
  }
  return CSV_START + lines.join('')
}
