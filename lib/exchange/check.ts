import type { Column } from './column.ts'
import { columnsOf, type Kind, type RowOf } from './columns.ts'
import { type DecimalSigns, decimalSignsIn, decimalsNormal, decimalsUnsure } from './decimals.ts'
import { type ByHand, columnsMatch } from './match.ts'
import { commaHint, type TableRow, unreadable } from './table.ts'

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

/** What could be read of a row that has a fault: enough to tell what it belongs to. */
export interface BrokenRow {
  row: number
  values: Readonly<Record<string, unknown>>
}

const NUMERIC = new Set<Column['type']>(['quantity', 'money', 'number'])

export interface Checked<K extends Kind> {
  kind: K
  header: string[]
  /** Rows below the header, refused ones too. */
  count: number
  rows: CheckedRow<K>[]
  refusals: RowRefusal[]
  broken: BrokenRow[]
  unused: string[]
  /** Columns that the file has. */
  columns: string[]
}

/**
 * The rows of a file, header first, from the beginning each time it is called. A file is walked more than once and never held
 * as rows: a hundred thousand of them weigh more than all that is made of them.
 */
export type TableOpen = () => AsyncIterable<TableRow>

/** Header and the rows below it. Refuses with 'exchange/unreadable' when there is no row below the header. */
export async function* tableBody(
  rows: AsyncIterable<TableRow>,
  file: string,
): AsyncGenerator<{ header: string[]; row: TableRow }> {
  let header: string[] | null = null
  let isEmpty = true
  for await (const row of rows) {
    if (header) {
      isEmpty = false
      yield { header, row }
    } else header = row.cells.map((cell) => cell.trim())
  }
  if (!header) throw unreadable(file, 'it has no rows')
  if (isEmpty) throw unreadable(file, 'there is no row below the header')
}

interface Place {
  name: string
  column: Column
  at: number
}

/**
 * Turns the rows of a file into rows of a kind. A row with a fault is left out of `rows`, and each of its faults is told.
 * How the file writes its decimals may show in its last row only: where a number may mean two, the file is walked once more.
 */
export async function tableCheck<K extends Kind>(
  kind: K,
  open: TableOpen,
  byHand: ByHand,
  file: string,
): Promise<Checked<K>> {
  const signs: DecimalSigns = { point: false, comma: false }
  const first = await walked(kind, open, byHand, file, { signs, isKnown: false })
  return first ?? (await walked(kind, open, byHand, file, { signs, isKnown: true }))!
}

/** Null when the signs were not known beforehand and a number hangs on them: then they are, at the end of the file. */
async function walked<K extends Kind>(
  kind: K,
  open: TableOpen,
  byHand: ByHand,
  file: string,
  { signs, isKnown }: { signs: DecimalSigns; isKnown: boolean },
): Promise<Checked<K> | null> {
  let checked: Checked<K> | null = {
    kind,
    header: [],
    count: 0,
    rows: [],
    refusals: [],
    broken: [],
    unused: [],
    columns: [],
  }
  let places: Place[] | null = null
  let numeric: Place[] = []
  const keep = textKeeper()
  for await (const { header, row } of tableBody(open(), file)) {
    if (!places) {
      const matched = columnsMatch(kind, header, byHand, file)
      places = columnsOf(kind).flatMap(([name, column]): Place[] => {
        const at = matched.places.get(name)
        return at === undefined ? [] : [{ name, column, at }]
      })
      numeric = isKnown ? [] : places.filter(({ column }) => NUMERIC.has(column.type))
      checked = { ...checked!, header, unused: matched.unused, columns: places.map(({ name }) => name) }
    }
    for (const { at } of numeric) {
      const cell = row.cells[at]?.trim() ?? ''
      decimalSignsIn(cell, signs)
      if (checked && decimalsUnsure(cell)) checked = null
    }
    if (checked) rowCheck(row, places, signs, keep, checked)
  }
  return checked
}

function rowCheck<K extends Kind>(
  row: TableRow,
  places: readonly Place[],
  signs: DecimalSigns,
  keep: (text: string) => string,
  checked: Checked<K>,
): void {
  const { header, rows, refusals } = checked
  checked.count += 1
  const before = refusals.length
  const values: Record<string, unknown> = {}
  if (row.cells.length > header.length && row.cells.slice(header.length).some((cell) => cell.trim() !== ''))
    refusals.push({
      row: row.row,
      column: '',
      reason: `has ${row.cells.length} cells, the header ${header.length}${commaHint(row)}`,
    })
  for (const place of places) {
    const read = cellRead(row, place, signs)
    if ('reason' in read) refusals.push({ row: row.row, column: place.name, reason: read.reason })
    else if (read.value !== undefined)
      values[place.name] = typeof read.value === 'string' ? keep(read.value) : read.value
  }
  if (refusals.length === before) rows.push({ row: row.row, values: values as RowOf<K> })
  else checked.broken.push({ row: row.row, values })
}

const TEXTS_KEPT = 20_000

/**
 * Keeps a text that comes up again once, as makers and stores do, and each one by itself: a text cut out of a piece of the
 * file would hold that whole piece in memory for as long as it lives.
 */
function textKeeper(): (text: string) => string {
  const kept = new Map<string, string>()
  return (text) => {
    const before = kept.get(text)
    if (before !== undefined) return before
    const own = Buffer.from(text).toString()
    if (kept.size < TEXTS_KEPT) kept.set(own, own)
    return own
  }
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
