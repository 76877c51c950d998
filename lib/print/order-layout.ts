import { LETTER_ASKS, letterFacts, type OrderLetter, totalsSay } from '../buying/order-letter.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat } from '../measure/quantity.ts'
import { A4, linesOf, type Pen, type PenFont } from './pen.ts'

const MARGIN = { side: 42, top: 42, bottom: 54 }
const [LEFT, RIGHT, BOTTOM] = [MARGIN.side, A4.width - MARGIN.side, A4.height - MARGIN.bottom]
const LEADING = 1.35
const TITLE = { size: 18, bold: true }
const TEXT = { size: 9.5, bold: false }
const STRONG = { size: 9.5, bold: true }
const SMALL = { size: 8, bold: false }
const LABEL_WIDTH = 116

interface Column {
  says: string
  x: number
  width: number
  right?: true
}
const COLUMNS: Column[] = [
  { says: 'Line', x: LEFT, width: 26 },
  { says: 'Part number', x: LEFT + 30, width: 96 },
  { says: 'Your number', x: LEFT + 130, width: 76 },
  { says: 'Description', x: LEFT + 210, width: RIGHT - LEFT - 210 - 196 },
  { says: 'Quantity', x: RIGHT - 192, width: 56, right: true },
  { says: 'Price', x: RIGHT - 132, width: 64, right: true },
  { says: 'Cost', x: RIGHT - 64, width: 64, right: true },
]

/** Sets the order sheet that goes to the supplier on pages of A4; answers how many there are. `pages` is 0 while they are counted. */
export function orderLayout(pen: Pen, letter: OrderLetter, pages: number): number {
  let [y, made] = [0, 0]
  const lines = (text: string, width: number, font: PenFont) => linesOf(text, width, (part) => pen.width(part, font))
  const rightText = (text: string, x: number, at: number, font: PenFont) =>
    pen.text(text, x - pen.width(text, font), at, font)

  function page() {
    pen.page()
    made += 1
    y = MARGIN.top
    const at = A4.height - 30
    pen.line(LEFT, at - 12, RIGHT, at - 12, 0.5)
    const count = `page ${made} of ${pages}`
    const foot = `Order ${letter.number}, ${letter.supplier.name}`
    pen.text(lines(foot, RIGHT - LEFT - pen.width(count, SMALL) - 12, SMALL)[0]!, LEFT, at, SMALL)
    rightText(count, RIGHT, at, SMALL)
  }
  function paragraph(text: string, x: number, width: number, font: PenFont) {
    for (const line of lines(text, width, font)) {
      if (y + font.size * LEADING > BOTTOM) page()
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
  function row(cells: readonly string[]) {
    const set = cells.map((text, at) => lines(text, COLUMNS[at]!.width, TEXT))
    const step = TEXT.size * LEADING
    const height = Math.max(...set.map((one) => one.length)) * step + 5
    // A row is never cut: descriptions are short, a page holds many.
    if (y + height > BOTTOM) {
      page()
      tableHead()
    }
    for (const [at, column] of COLUMNS.entries())
      for (const [line, text] of set[at]!.entries()) {
        const base = y + (line + 1) * step
        if (column.right) rightText(text, column.x + column.width, base, TEXT)
        else pen.text(text, column.x, base, TEXT)
      }
    y += height
    pen.line(LEFT, y, RIGHT, y, 0.4)
  }
  function facts(list: readonly [string, string][]) {
    for (const [what, value] of list) {
      if (y + TEXT.size * LEADING > BOTTOM) page()
      pen.text(what, LEFT, y + TEXT.size * LEADING, STRONG)
      paragraph(value, LEFT + LABEL_WIDTH, RIGHT - LEFT - LABEL_WIDTH, TEXT)
    }
  }

  page()
  if (letter.workshop) paragraph(letter.workshop, LEFT, RIGHT - LEFT, STRONG)
  paragraph(`Order ${letter.number}`, LEFT, RIGHT - LEFT, TITLE)
  y += 6
  facts([['To', letter.supplier.name], ...letterFacts(letter).slice(1)])
  y += 10
  tableHead()
  const money = (minor: number) => moneyFormat(minor, letter.currency)
  for (const [at, line] of letter.lines.entries()) {
    const deposit = line.depositMinor === null ? '' : `, deposit ${money(line.depositMinor)} each`
    row([
      String(at + 1),
      line.number,
      line.supplierNumber ?? '',
      `${line.description}, ${line.maker}${deposit}`,
      quantityFormat(line.quantity, line.unit),
      line.unit === 'each' ? money(line.priceMinor) : `${money(line.priceMinor)} a ${line.unit}`,
      money(line.costMinor),
    ])
  }
  y += 8
  facts(totalsSay(letter))
  y += 8
  if (letter.note) {
    paragraph(letter.note, LEFT, RIGHT - LEFT, TEXT)
    y += 6
  }
  paragraph(LETTER_ASKS, LEFT, RIGHT - LEFT, TEXT)
  return made
}
