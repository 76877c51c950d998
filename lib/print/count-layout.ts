import { A4, linesOf, type Pen, type PenFont } from './pen.ts'

/** One line of a count sheet for paper. */
export interface CountRow {
  line: string
  store: string
  bin: string
  number: string
  description: string
  /** Batches that the books have in the bin. */
  batches: string
  unit: string
}

const MARGIN = { side: 42, top: 42, bottom: 54 }
const [LEFT, RIGHT, BOTTOM] = [MARGIN.side, A4.width - MARGIN.side, A4.height - MARGIN.bottom]
const TITLE = { size: 18, bold: true }
const HEADING = { size: 12, bold: true }
const TEXT = { size: 10, bold: false }
const STRONG = { size: 10, bold: true }
const SMALL = { size: 8, bold: false }
/** Room to write a figure with a pencil, 12 mm. */
const ROW = 34

const COLUMNS = [
  { says: 'Bin', x: LEFT, width: 52 },
  { says: 'Part, id of the line', x: LEFT + 58, width: 222 },
  { says: 'Counted', x: LEFT + 292, width: 80 },
  { says: 'When, who, why', x: LEFT + 386, width: RIGHT - LEFT - 386 },
] as const

/** Sets a count sheet on pages of A4: a ruled line a part, a field to write in, nothing of what the books say. Answers the pages. */
export function countLayout(
  pen: Pen,
  head: { title: string; about: string; printed: string; pages: number },
  rows: readonly CountRow[],
): number {
  let [y, pages, store] = [0, 0, '']
  const fitted = (text: string, width: number, font: PenFont) =>
    linesOf(text, width, (part) => pen.width(part, font))[0]!
  const write = (text: string, at: number, base: number, font: PenFont) => {
    const { x, width } = COLUMNS[at]!
    pen.text(fitted(text, width, font), x, base, font)
  }
  function page() {
    pen.page()
    pages += 1
    y = MARGIN.top
    const foot = A4.height - 30
    const count = `printed ${head.printed}, page ${pages} of ${head.pages}`
    pen.line(LEFT, foot - 12, RIGHT, foot - 12, 0.5)
    pen.text(fitted(head.title, RIGHT - LEFT - pen.width(count, SMALL) - 12, SMALL), LEFT, foot, SMALL)
    pen.text(count, RIGHT - pen.width(count, SMALL), foot, SMALL)
  }
  function storeHead() {
    y += 18
    pen.text(fitted(store, RIGHT - LEFT, HEADING), LEFT, y, HEADING)
    y += 16
    for (const [at, { says }] of COLUMNS.entries()) write(says, at, y, STRONG)
    y += 5
    pen.line(LEFT, y, RIGHT, y, 1)
  }

  page()
  y += TITLE.size
  pen.text(fitted(head.title, RIGHT - LEFT, TITLE), LEFT, y, TITLE)
  for (const line of linesOf(head.about, RIGHT - LEFT, (part) => pen.width(part, TEXT))) {
    y += TEXT.size * 1.35
    pen.text(line, LEFT, y, TEXT)
  }
  for (const row of rows) {
    const isNew = row.store !== store
    store = row.store
    if (y + ROW + (isNew ? 60 : 0) > BOTTOM) {
      page()
      storeHead()
    } else if (isNew) storeHead()
    write(row.bin, 0, y + 16, STRONG)
    write(row.number, 1, y + 11, STRONG)
    write([row.description, row.batches].filter(Boolean).join('; '), 1, y + 21, SMALL)
    const field = COLUMNS[2]
    pen.line(field.x, y + 24, field.x + field.width - 26, y + 24, 0.6)
    pen.text(row.unit === 'each' ? 'pcs' : row.unit, field.x + field.width - 24, y + 24, SMALL)
    pen.line(COLUMNS[3].x, y + 24, COLUMNS[3].x + COLUMNS[3].width, y + 24, 0.6)
    // Under the part, where there is room for the longest: an id that is cut is none.
    pen.text(row.line, COLUMNS[1].x, y + 30, SMALL)
    y += ROW
    pen.line(LEFT, y, RIGHT, y, 0.3)
  }
  return pages
}
