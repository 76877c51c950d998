import { serialCompare } from '../catalogue/serial-break.ts'
import { serialRangesParse } from '../catalogue/serial-ranges.ts'
import type { CheckedRow } from '../exchange/check.ts'
import { itemKey } from '../figure/strip-order.ts'
import { counted } from '../measure/counted.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { KnownLine, LineContent } from './exchange-figures.ts'
import { partKey } from './exchange-parts.ts'
import { quantityOf, type Refused } from './exchange-rows.ts'

export type ListRow = CheckedRow<'parts-lists'>

export interface Line extends LineContent {
  id: number | null
  changed: boolean
  /** The row that says what to order in its place. */
  ordering?: ListRow
}

export interface List {
  lines: Line[]
  byKey: Map<string, Line[]>
  attaching: ListRow | null
  /** Lines that stand in it and have several serial ranges. */
  ranged: Line[]
}

type Known = 'item' | 'partKey' | 'serialFrom' | 'serialTo' | 'serialRanges' | 'side'
export const lineKey = (line: Pick<LineContent, Known>) =>
  JSON.stringify([itemKey(line.item), line.partKey, line.serialFrom, line.serialTo, line.serialRanges, line.side])

export function listAdd(list: List, line: Line, key = lineKey(line)): void {
  list.lines.push(line)
  const same = list.byKey.get(key)
  if (same) same.push(line)
  else list.byKey.set(key, [line])
}

export function listOf(lines: readonly KnownLine[]): List {
  const list: List = { lines: [], byKey: new Map(), attaching: null, ranged: [] }
  for (const known of lines) {
    const line = { ...known, changed: false }
    listAdd(list, line)
    if (line.serialRanges !== null) list.ranged.push(line)
  }
  return list
}

export const makerOf = (row: ListRow) => row.values.maker ?? row.values.model_maker
export const partKeyOf = (row: ListRow) => partKey(makerOf(row), row.values.number)

/** What a row says of its line; undefined where it says nothing. */
type Content = Omit<LineContent, 'quantityNote' | 'indenture' | 'attaches' | 'note' | 'orderItem'> & {
  quantityNote: string | undefined
  indenture: number | undefined
  attaches: string | undefined
  note: string | undefined
  orderItem: string | undefined
}

export function contentOf(row: ListRow, unit: StockUnit, refused: Refused): Content | null {
  const { values } = row
  const quantity = quantityOf(row, 'quantity', values.quantity, unit, refused)
  if (quantity === undefined) return null
  if (quantity === 0)
    refused.at(row, 'quantity', 'must be above 0; where the list prints none, write 1 and AR in quantity_note')
  return {
    item: values.item,
    partKey: partKeyOf(row),
    description: values.description,
    quantity,
    quantityNote: values.quantity_note,
    indenture: values.indenture,
    attaches: values.attaches,
    ...breaksOf(row, refused),
    side: values.side ?? null,
    note: values.note,
    orderItem: values.order_item,
  }
}

/** From which serial number up to which a row applies, as a line keeps it: one range in two columns, several in a third. */
function breaksOf(row: ListRow, refused: Refused): Pick<LineContent, 'serialFrom' | 'serialTo' | 'serialRanges'> {
  const { serial_from: from = null, serial_to: to = null, serials } = row.values
  if (serials === undefined) {
    if (from !== null && to !== null && (serialCompare(from, to) ?? 0) > 0)
      refused.at(row, 'serial_to', `${to} lies before serial_from ${from}`)
    return { serialFrom: from, serialTo: to, serialRanges: null }
  }
  const none = { serialFrom: null, serialTo: null, serialRanges: null }
  if (from !== null || to !== null) {
    refused.at(row, 'serials', 'the row has serial_from or serial_to as well; keep one of the two')
    return none
  }
  const ranges = serialRangesParse(serials)
  if (typeof ranges === 'string') {
    refused.at(row, 'serials', ranges)
    return none
  }
  const [first, ...more] = ranges
  if (first && more.length === 0) return { serialFrom: first.from, serialTo: first.to, serialRanges: null }
  return { ...none, serialRanges: JSON.stringify(ranges) }
}

/**
 * A file without the column serials, as older exports are, says nothing of several ranges: its row is not a new line beside one
 * that has them. Where a single line of the list can be meant the row takes its ranges; where several can, it is refused.
 */
export function rangesTake(list: List, row: ListRow, content: Content, refused: Refused): Content | null {
  if (content.serialFrom !== null || content.serialTo !== null || content.serialRanges !== null) return content
  if (list.ranged.length === 0) return content
  const key = lineKey(content)
  if (list.byKey.get(key)?.some((line) => line.id !== null)) return content
  const ranged = list.ranged.filter(
    (line) => lineKey({ ...line, serialFrom: null, serialTo: null, serialRanges: null }) === key,
  )
  const [only] = ranged
  if (only === undefined) return content
  if (ranged.length === 1) return { ...content, serialRanges: only.serialRanges }
  refused.at(
    row,
    'serials',
    `the file has no serials, and ${counted(ranged.length, 'line')} of item ${content.item} differ only by them; take the list out anew, or add the column serials`,
  )
  return null
}

/** A line that is not in the list yet. Each field is named: an object that is spread together takes five times the memory. */
export function lineNew(content: Content): Line {
  return {
    item: content.item,
    partKey: content.partKey,
    description: content.description,
    quantity: content.quantity,
    serialFrom: content.serialFrom,
    serialTo: content.serialTo,
    serialRanges: content.serialRanges,
    side: content.side,
    quantityNote: content.quantityNote ?? null,
    indenture: content.indenture ?? 1,
    attaches: content.attaches ?? null,
    note: content.note ?? null,
    orderItem: content.orderItem ?? null,
    id: null,
    changed: true,
  }
}

/** Takes what the row says into the line; true when that changes it. */
export function lineChange(line: Line, content: Content): boolean {
  const after: Partial<LineContent> = {}
  for (const name of Object.keys(content) as (keyof Content)[])
    if (name !== 'item' && content[name] !== undefined && content[name] !== line[name])
      Object.assign(after, { [name]: content[name] })
  const isChanged = Object.keys(after).length > 0
  if (isChanged) Object.assign(line, after, { changed: true })
  return isChanged
}
