import type { BookSheet } from '../job/book-sheet.ts'
import { A4, linesOf, type Pen, type PenFont } from './pen.ts'

export interface BookHead {
  title: string
  /** What the book holds and what of it was asked for. */
  about: string[]
  /** On the left of every foot. */
  foot: string
  printed: string
  /** Pages in all; 0 while they are counted. */
  pages: number
}

const MARGIN = { side: 42, top: 42, bottom: 54 }
const LEFT = MARGIN.side
const RIGHT = A4.width - MARGIN.side
const BOTTOM = A4.height - MARGIN.bottom
const LEADING = 1.35
const TITLE = { size: 18, bold: true }
const HEADING = { size: 12, bold: true }
const TEXT = { size: 9.5, bold: false }
const STRONG = { size: 9.5, bold: true }
const SMALL = { size: 8, bold: false }
/** A heading stands above so much of what it heads, or goes to the next page with it. */
const KEPT_WITH = 52
const LABEL_WIDTH = 72

interface Column {
  says: string
  x: number
  width: number
  right?: true
}
const COLUMNS: Column[] = [
  { says: 'Item', x: LEFT, width: 32 },
  { says: 'Part number', x: LEFT + 36, width: 104 },
  { says: 'Description', x: LEFT + 144, width: RIGHT - LEFT - 144 - 140 },
  { says: 'Quantity', x: RIGHT - 136, width: 62, right: true },
  { says: 'Cost', x: RIGHT - 70, width: 70, right: true },
]

/** Sets a service book on pages of A4, entry after entry; call `entry` for each. */
export function bookLayout(pen: Pen, head: BookHead): { entry(sheet: BookSheet): void; pages(): number } {
  let [y, pages] = [0, 0]
  const lines = (text: string, width: number, font: PenFont) => linesOf(text, width, (part) => pen.width(part, font))
  const rightText = (text: string, x: number, at: number, font: PenFont) =>
    pen.text(text, x - pen.width(text, font), at, font)

  function page() {
    pen.page()
    pages += 1
    y = MARGIN.top
    const at = A4.height - 30
    pen.line(LEFT, at - 12, RIGHT, at - 12, 0.5)
    const count = `printed ${head.printed}, page ${pages} of ${head.pages}`
    const width = RIGHT - LEFT - pen.width(count, SMALL) - 12
    pen.text(lines(head.foot, width, SMALL)[0]!, LEFT, at, SMALL)
    rightText(count, RIGHT, at, SMALL)
  }
  const room = (height: number) => {
    if (y + height > BOTTOM && y > MARGIN.top) page()
  }
  /** One line after the other; each may go to the next page by itself. */
  function paragraph(text: string, x: number, width: number, font: PenFont) {
    for (const line of lines(text, width, font)) {
      room(font.size * LEADING)
      y += font.size * LEADING
      pen.text(line, x, y, font)
    }
  }
  function tableHead() {
    y += TEXT.size * LEADING
    for (const { says, x, width, right } of COLUMNS)
      if (right) rightText(says, x + width, y, STRONG)
      else pen.text(says, x, y, STRONG)
    y += 4
    pen.line(LEFT, y, RIGHT, y, 1)
  }
  function row(cells: readonly string[], font: PenFont, rule: boolean) {
    const set = cells.map((text, at) => lines(text, COLUMNS[at]!.width, font))
    const step = font.size * LEADING
    const count = Math.max(...set.map((one) => one.length))
    const height = count * step + 4
    // A row is never cut, unless it is taller than a page.
    if (y + height > BOTTOM && height < BOTTOM - MARGIN.top - 40) {
      page()
      tableHead()
    }
    for (let line = 0; line < count; line++) {
      if (y + step > BOTTOM) {
        page()
        tableHead()
      }
      y += step
      for (const [at, { x, width, right }] of COLUMNS.entries()) {
        const text = set[at]![line] ?? ''
        if (text === '') continue
        if (right) rightText(text, x + width, y, font)
        else pen.text(text, x, y, font)
      }
    }
    y += 4
    if (rule) pen.line(LEFT, y, RIGHT, y, 0.4)
  }
  function fitted(sheet: BookSheet) {
    room(KEPT_WITH)
    y += 4
    paragraph('Fitted and used', LEFT, RIGHT - LEFT, STRONG)
    tableHead()
    for (const line of sheet.fitted) {
      const from = [line.maker, line.figure].filter((text) => text !== '').join(', ')
      const description = from === '' ? line.description : `${line.description} - ${from}`
      row([line.item, line.number, description, line.quantity, line.cost], TEXT, true)
    }
    if (sheet.cost !== null) row(['', '', 'Parts', '', sheet.cost], STRONG, false)
  }
  function told(label: string, text: string) {
    room(TEXT.size * LEADING)
    const top = y
    const on = pages
    const width = RIGHT - LEFT - LABEL_WIDTH
    pen.text(label, LEFT, top + TEXT.size * LEADING, STRONG)
    for (const part of text.split('\n')) paragraph(part, LEFT + LABEL_WIDTH, width, TEXT)
    if (on === pages && y === top) y += TEXT.size * LEADING
  }
  function correction(one: BookSheet['corrections'][number]) {
    room(KEPT_WITH)
    y += 6
    // A bar beside each line, so that it shows where it goes on over the page.
    const barred = (text: string, font: PenFont) => {
      for (const line of lines(text, RIGHT - LEFT - 12, font)) {
        room(font.size * LEADING)
        pen.line(LEFT + 2, y + 1, LEFT + 2, y + font.size * LEADING + 3, 2)
        y += font.size * LEADING
        pen.text(line, LEFT + 12, y, font)
      }
    }
    barred(`Corrected ${one.written}:`, STRONG)
    for (const part of one.text.split('\n')) barred(part, TEXT)
    y += 4
  }

  page()
  paragraph(head.title, LEFT, RIGHT - LEFT, TITLE)
  y += 4
  for (const line of head.about) paragraph(line, LEFT, RIGHT - LEFT, TEXT)
  return {
    entry(sheet) {
      y += 12
      room(KEPT_WITH + 20)
      pen.line(LEFT, y, RIGHT, y, 1)
      y += 4
      paragraph(sheet.heading, LEFT, RIGHT - LEFT, HEADING)
      paragraph(`${sheet.written}. ${sheet.machine}`, LEFT, RIGHT - LEFT, TEXT)
      y += 2
      for (const { label, text } of sheet.told) told(label, text)
      if (sheet.fitted.length > 0) fitted(sheet)
      for (const list of sheet.lists) {
        room(KEPT_WITH / 2)
        y += 4
        paragraph(list.title, LEFT, RIGHT - LEFT, STRONG)
        for (const line of list.lines) {
          room(TEXT.size * LEADING)
          pen.text('-', LEFT + 2, y + TEXT.size * LEADING, TEXT)
          paragraph(line, LEFT + 12, RIGHT - LEFT - 12, TEXT)
        }
      }
      for (const one of sheet.corrections) correction(one)
    },
    pages: () => pages,
  }
}
