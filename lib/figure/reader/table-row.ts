import type { PageBox, ReadRow } from './schema.ts'
import { type ColumnKind, itemOf, quantityOf } from './table-column.ts'

/** What was read in one cell; its lines are joined. */
export interface CellText {
  text: string
  /** 1 where nothing is printed. */
  confidence: number
}

export const EMPTY_CELL: CellText = { text: '', confidence: 1 }

/** Below this a person looks first. */
const UNSURE = 0.8
/** Names and part numbers are long, and their least sure sign is often right: below this they mostly are not. */
const UNSURE_WORDS = 0.5

/** Lines of a cell as one text; a line that ends in a hyphen, underscore or stroke goes on without a space. */
export function linesJoined(lines: readonly string[]): string {
  return lines
    .reduce((text, line) => (text === '' || /[-_/]$/.test(text) ? text + line : `${text} ${line}`), '')
    .replace(/\s+/g, ' ')
    .trim()
}

/** The row of the parts list that a printed row says; null when it is empty. */
export function rowOf(cells: readonly CellText[], kinds: readonly ColumnKind[], box: PageBox): ReadRow | null {
  const of = (kind: ColumnKind) => {
    const at = kinds.indexOf(kind)
    return at < 0 ? EMPTY_CELL : (cells[at] ?? EMPTY_CELL)
  }
  const item = of('item')
  const partNumber = of('partNumber')
  const description = of('description')
  const printed = of('quantity')
  if ([item, partNumber, description].every((cell) => cell.text === '')) return null
  const { quantity, note } = quantityOf(printed.text)
  const said = itemOf(item.text)
  const unclear =
    said === '' ||
    (partNumber.text === '' && description.text === '') ||
    (kinds.includes('quantity') && quantity === null && note === '') ||
    [item, printed].some((cell) => cell.confidence < UNSURE) ||
    [partNumber, description].some((cell) => cell.confidence < UNSURE_WORDS)
  return {
    item: said,
    partNumber: partNumber.text.slice(0, 60),
    description: description.text.slice(0, 300),
    quantity,
    quantityNote: note,
    confidence: Math.min(item.confidence, partNumber.confidence, description.confidence, printed.confidence),
    doubts: unclear ? ['cell-unclear'] : [],
    box,
  }
}

/** Whole numbers of plain items, null for others. */
function plainItem(row: ReadRow): number | null {
  return /^\d{1,3}$/.test(row.item) ? Number(row.item) : null
}

/**
 * Items of a list that counts up or down by one: a row between two others whose item could not be read, or was read as one
 * that stands elsewhere already, gets the number that belongs there, marked for a person to look at.
 */
export function itemsCounted(rows: readonly ReadRow[]): ReadRow[] {
  return rows.map((row, at) => {
    const before = rows[at - 1]
    const after = rows[at + 1]
    if (before === undefined || after === undefined) return row
    const [low, high] = [plainItem(before), plainItem(after)]
    if (low === null || high === null || Math.abs(high - low) !== 2) return row
    const meant = String((low + high) / 2)
    const repeated = rows.some((other, index) => index !== at && other.item === row.item)
    if (row.item === meant || (row.item !== '' && !repeated) || rows.some((other) => other.item === meant)) return row
    return { ...row, item: meant, confidence: Math.min(row.confidence, 0.5), doubts: ['cell-unclear'] }
  })
}
