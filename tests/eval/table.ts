import { type Box, FAMILIES, type Family, pathInk, textInk, textWidth } from './svg-ink.ts'
import type { TrueRow } from './truth.ts'

/** A parts list as a book prints it. */
export interface TableStyle {
  columns: readonly Column[]
  rules: 'hairlines' | 'grid' | 'none'
  family: Family
  size: number
  /** 'bottom': the header stands below and the list reads upwards, as over a title block. */
  header: 'top' | 'bottom'
  /** Lists side by side. */
  blocks: 1 | 2
  /** Sub-parts begin with a point a level. */
  points: boolean
  words: Record<Column, string>
}

export type Column = 'item' | 'partNumber' | 'description' | 'quantity' | 'remarks'

export interface PrintedRow extends TrueRow {
  remarks: string
  /** 1 for a part of the figure, 2 for a part of that part. */
  level: number
}

export const HEADERS: readonly Record<Column, string>[] = [
  { item: 'Item', partNumber: 'Part No.', description: 'Description', quantity: 'Qty', remarks: 'Remarks' },
  { item: 'REF.', partNumber: 'PART NUMBER', description: 'DESCRIPTION', quantity: 'QTY.', remarks: 'NOTES' },
  { item: 'No.', partNumber: 'Part number', description: 'Name of part', quantity: 'Qty', remarks: 'Note' },
  {
    item: 'ITEM NO.',
    partNumber: 'PART NO.',
    description: 'DESCRIPTION',
    quantity: 'QTY PER ASSY',
    remarks: 'REMARKS',
  },
]

const cell = (row: PrintedRow, column: Column, style: TableStyle): string =>
  column === 'quantity'
    ? row.quantity === null
      ? row.quantityNote
      : String(row.quantity)
    : column === 'description' && style.points
      ? `${'. '.repeat(row.level - 1)}${row.description}`
      : row[column]

function wrapped(text: string, width: number, style: TableStyle): string[] {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const longer = lines.length === 0 ? word : `${lines.at(-1)} ${word}`
    if (lines.length > 0 && textWidth(longer, style.family, style.size) <= width) lines[lines.length - 1] = longer
    else if (lines.length === 0) lines.push(word)
    else lines.push(word)
  }
  return lines
}

/** Draws the list into the box, from its top; answers the ink and the height that was used. */
export function tableInk(rows: readonly PrintedRow[], box: Box, style: TableStyle): { ink: string; bottom: number } {
  const { blocks } = style
  const perBlock = Math.ceil(rows.length / blocks)
  const gap = 30
  const width = (box.right - box.left - gap * (blocks - 1)) / blocks
  const pieces = Array.from({ length: blocks }, (_, at) =>
    blockInk(
      rows.slice(at * perBlock, (at + 1) * perBlock),
      { ...box, left: box.left + at * (width + gap), right: box.left + at * (width + gap) + width },
      style,
    ),
  )
  return { ink: pieces.map(({ ink }) => ink).join(''), bottom: Math.max(...pieces.map(({ bottom }) => bottom)) }
}

function blockInk(rows: readonly PrintedRow[], box: Box, style: TableStyle): { ink: string; bottom: number } {
  const { size, columns } = style
  const pad = size * 0.5
  const wish = columns.map(
    (column) =>
      Math.max(
        textWidth(style.words[column], style.family, size * 1.3),
        ...rows.map((row) => textWidth(cell(row, column, style), style.family, size)),
      ) +
      pad * 2,
  )
  const free = box.right - box.left - wish.reduce((sum, one) => sum + one, 0)
  // The column of names takes what room there is, or gives up what is missing and wraps.
  const widths = wish.map((one, at) => (columns[at] === 'description' ? Math.max(size * 6, one + free) : one))
  const lefts = widths.map((_, at) => box.left + widths.slice(0, at).reduce((sum, one) => sum + one, 0))
  const right = lefts.at(-1)! + widths.at(-1)!
  const lineHigh = size * 1.2
  const lines = rows.map((row) =>
    columns.map((column, at) => wrapped(cell(row, column, style), widths[at]! - pad * 2, style)),
  )
  const highs = lines.map((cells) => Math.max(...cells.map((one) => one.length)) * lineHigh + size * 0.45)
  const headHigh = size * 1.75
  const total = headHigh + highs.reduce((sum, one) => sum + one, 0)
  const tops: number[] = []
  let y = style.header === 'top' ? box.top + headHigh : box.top + total - headHigh
  for (const high of highs) {
    if (style.header === 'bottom') y -= high
    tops.push(y)
    if (style.header === 'top') y += high
  }
  const headTop = style.header === 'top' ? box.top : box.top + total - headHigh
  const family = FAMILIES[style.family]
  const write = (text: string, at: number, baseline: number, weight: number) => {
    const centred = columns[at] === 'quantity' || columns[at] === 'item'
    return textInk(
      text,
      { x: centred ? lefts[at]! + widths[at]! / 2 : lefts[at]! + pad, y: baseline },
      { family, size, weight, anchor: centred ? 'middle' : 'start' },
    )
  }
  const rule = (at: number, weight: number) =>
    pathInk(
      [
        { x: box.left, y: at },
        { x: right, y: at },
      ],
      weight,
    )
  const ink = [
    ...columns.map((column, at) => write(style.words[column], at, headTop + headHigh / 2 + size * 0.36, 700)),
    ...lines.flatMap((cells, row) =>
      cells.flatMap((texts, at) =>
        texts.map((text, line) => write(text, at, tops[row]! + size * 0.25 + lineHigh * (line + 0.8), 400)),
      ),
    ),
    rule(style.header === 'top' ? headTop + headHigh : headTop, 2),
    ...(style.rules === 'none'
      ? []
      : [...tops, box.top, box.top + total].map((at) => rule(at, style.rules === 'grid' ? 1.4 : 0.8))),
    ...(style.rules === 'grid'
      ? [...lefts, right].map((at) =>
          pathInk(
            [
              { x: at, y: box.top },
              { x: at, y: box.top + total },
            ],
            1.4,
          ),
        )
      : []),
  ]
  return { ink: ink.join(''), bottom: box.top + total }
}
