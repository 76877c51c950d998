import type { Checked, RowRefusal } from './check.ts'
import type { Kind } from './columns.ts'
import { CSV_START, csvLines, formulaGuard } from './write-csv.ts'

/** The column that says why; it stands for no column of a kind, so the mended file may keep it. */
export const REFUSED_BECAUSE = 'refused_because'

/** The refused rows as they stood in the file, with why beside each: mend them and bring that file in. Empty when none is. */
export function refusedCsv(
  { header, table }: Pick<Checked<Kind>, 'header' | 'table'>,
  refusals: readonly RowRefusal[],
): string {
  if (refusals.length === 0) return ''
  const why = new Map<number, string[]>()
  for (const { row, column, reason } of refusals) {
    const says = column === '' ? reason : `${column} ${reason}`
    const before = why.get(row)
    if (before) before.push(says)
    else why.set(row, [says])
  }
  const kept = header.flatMap((name, at) => (name === REFUSED_BECAUSE ? [] : [at]))
  const rows = table
    .filter(({ row }) => why.has(row))
    .map(({ row, cells }) => [...kept.map((at) => formulaGuard(cells[at] ?? '')), why.get(row)!.join('; ')])
  return CSV_START + csvLines([[...kept.map((at) => formulaGuard(header[at]!)), REFUSED_BECAUSE], ...rows])
}
