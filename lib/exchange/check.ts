import type { Column } from './column.ts'
import { columnsOf, type Kind, type RowOf } from './columns.ts'
import { type DecimalSigns, decimalSigns, decimalsNormal } from './decimals.ts'
import { type ByHand, columnsMatch } from './match.ts'
import { type TableRow, unreadable } from './table.ts'

/** Why one row cannot be brought in. */
export interface RowRefusal {
  row: number
  /** Empty when it is about the row as a whole. */
  column: string
  reason: string
}

export interface CheckedRow<K extends Kind> {
  row: number
  values: RowOf<K>
}

export interface Checked<K extends Kind> {
  kind: K
  header: string[]
  /** The rows as they stood in the file, to be given back where they are refused. */
  table: TableRow[]
  rows: CheckedRow<K>[]
  refusals: RowRefusal[]
  unused: string[]
}

const NUMERIC = new Set<Column['type']>(['quantity', 'money', 'number'])

/** Reads the whole table, header first. Refuses with 'exchange/unreadable' when there is no row below the header. */
export async function tableCollect(
  rows: AsyncIterable<TableRow>,
  file: string,
): Promise<{ header: string[]; table: TableRow[] }> {
  let header: string[] | null = null
  const table: TableRow[] = []
  for await (const row of rows) {
    if (header) table.push(row)
    else header = row.cells.map((cell) => cell.trim())
  }
  if (!header) throw unreadable(file, 'it has no rows')
  if (table.length === 0) throw unreadable(file, 'there is no row below the header')
  return { header, table }
}

interface Place {
  name: string
  column: Column
  at: number
}

/** Turns the rows of a file into rows of a kind. A row with a fault is left out of `rows`, and each of its faults is told. */
export function rowsCheck<K extends Kind>(
  kind: K,
  { header, table }: { header: string[]; table: TableRow[] },
  byHand: ByHand,
  file: string,
): Checked<K> {
  const { places, unused } = columnsMatch(kind, header, byHand, file)
  const used: Place[] = columnsOf(kind).flatMap(([name, column]) => {
    const at = places.get(name)
    return at === undefined ? [] : [{ name, column, at }]
  })
  const numeric = used.filter(({ column }) => NUMERIC.has(column.type))
  function* numbers(): Generator<string> {
    for (const { cells } of table) for (const { at } of numeric) yield cells[at]?.trim() ?? ''
  }
  const signs = decimalSigns(numbers())
  const checked: Checked<K> = { kind, header, table, rows: [], refusals: [], unused }
  for (const row of table) {
    const before = checked.refusals.length
    const values: Record<string, unknown> = {}
    if (row.cells.slice(header.length).some((cell) => cell.trim() !== ''))
      checked.refusals.push({
        row: row.row,
        column: '',
        reason: `has ${row.cells.length} cells, the header ${header.length}`,
      })
    for (const place of used) {
      const read = cellRead(row, place, signs)
      if ('reason' in read) checked.refusals.push({ row: row.row, column: place.name, reason: read.reason })
      else if (read.value !== undefined) values[place.name] = read.value
    }
    if (checked.refusals.length === before) checked.rows.push({ row: row.row, values: values as RowOf<K> })
  }
  return checked
}

function cellRead(row: TableRow, { column, at }: Place, signs: DecimalSigns): { value: unknown } | { reason: string } {
  const cell = row.cells[at]?.trim() ?? ''
  if (cell === '') return column.required ? { reason: 'is empty' } : { value: undefined }
  if (row.errors?.includes(at)) return { reason: `holds a formula that went wrong (${cell.slice(0, 20)})` }
  if (row.dates?.includes(at) && column.type !== 'text' && column.type !== 'date')
    return { reason: `is a date in the spreadsheet (${cell}); make the column text there and enter it again` }
  const normal = NUMERIC.has(column.type) ? decimalsNormal(cell, signs) : cell
  if (normal === null)
    return {
      reason: `"${cell.slice(0, 40)}" may be thousands or decimals; write it without a thousands mark and with a decimal point`,
    }
  const read = column.read.safeParse(normal)
  if (read.success) return { value: read.data }
  const shown = `"${cell.slice(0, 40)}${cell.length > 40 ? '…' : ''}"`
  return { reason: `${shown} ${read.error.issues[0]?.message ?? 'cannot be used'}` }
}
