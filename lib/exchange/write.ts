import type { ColumnType } from './column.ts'
import { columnsOf, KINDS, type Kind } from './columns.ts'
import type { TableFormat } from './table.ts'
import { CSV_START, csvLines, formulaGuard } from './write-csv.ts'
import { xlsxBytes } from './write-xlsx.ts'

export const FORMATS: Record<TableFormat, { mediaType: string; says: string }> = {
  csv: { mediaType: 'text/csv; charset=utf-8; header=present', says: 'CSV' },
  xlsx: { mediaType: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet', says: 'spreadsheet (XLSX)' },
  json: { mediaType: 'application/json; charset=utf-8', says: 'JSON' },
}

export function formatIs(text: string): text is TableFormat {
  return Object.hasOwn(FORMATS, text)
}

const NUMERIC = new Set<ColumnType>(['quantity', 'money', 'number'])

/** Cells by column name; a missing one is empty. Numbers are decimals with a point. */
export type RowOut = Readonly<Record<string, string>>

/** A kind's rows as a file, in pieces: every column of the kind, in the order of docs/columns.md. */
export async function* tableBytes(
  kind: Kind,
  format: TableFormat,
  rows: AsyncIterable<RowOut>,
): AsyncGenerator<Uint8Array> {
  const columns = columnsOf(kind).map(([name, column]) => ({
    name,
    numeric: NUMERIC.has(column.type),
    type: column.type,
  }))
  const cells = async function* () {
    for await (const row of rows) yield columns.map(({ name }) => row[name] ?? '')
  }
  if (format === 'xlsx') yield* xlsxBytes(KINDS[kind].title, columns, cells())
  else
    for await (const text of format === 'csv' ? csvText(columns, cells()) : jsonText(columns, cells()))
      yield Buffer.from(text)
}

interface Out {
  name: string
  numeric: boolean
  type: ColumnType
}

const ROWS_A_PIECE = 500

async function* csvText(columns: readonly Out[], rows: AsyncIterable<string[]>): AsyncGenerator<string> {
  yield CSV_START + csvLines([columns.map(({ name }) => name)])
  let ready: string[][] = []
  for await (const cells of rows) {
    ready.push(cells.map((cell, at) => (columns[at]!.numeric ? cell : formulaGuard(cell))))
    if (ready.length < ROWS_A_PIECE) continue
    yield csvLines(ready)
    ready = []
  }
  if (ready.length > 0) yield csvLines(ready)
}

function jsonCell(cell: string, { numeric, type }: Out): string {
  if (cell === '') return 'null'
  if (type === 'yes-no') return String(cell === 'yes')
  return numeric ? cell : JSON.stringify(cell)
}

async function* jsonText(columns: readonly Out[], rows: AsyncIterable<string[]>): AsyncGenerator<string> {
  let ready: string[] = []
  let start = '[\n'
  for await (const cells of rows) {
    ready.push(
      `{${cells.map((cell, at) => `${JSON.stringify(columns[at]!.name)}:${jsonCell(cell, columns[at]!)}`).join(',')}}`,
    )
    if (ready.length < ROWS_A_PIECE) continue
    yield start + ready.join(',\n')
    start = ',\n'
    ready = []
  }
  yield ready.length > 0 ? `${start + ready.join(',\n')}\n]\n` : start === '[\n' ? '[]\n' : '\n]\n'
}
