import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { LABEL_KINDS, labelCode } from '../../lib/label/label-code.ts'
import { LABEL_SYMBOLS, type LabelText, labelLayout } from '../../lib/label/label-layout.ts'
import { LABEL_SHEETS, labelPlaces, labelSheet, labelsAPage } from '../../lib/label/label-sheet.ts'
import { labelPdf, labelRuler, labelTestPdf } from '../../lib/picture/label-pdf.ts'
import { darkRuns, paperPages, symbolsRead } from '../support/label-read.ts'

const LABELS: LabelText[] = [
  { kind: 'bin', code: labelCode('bin', 12), lead: 'A-03', lines: ['Long barn'] },
  {
    kind: 'part',
    code: labelCode('part', 143_720),
    lead: 'DM60-1437-XL/22',
    lines: ['Seal, wiping, hub', 'Dunmarrow'],
  },
  {
    kind: 'machine',
    code: labelCode('machine', 7),
    lead: 'T-07',
    lines: ['Tipping trailer', 'Dunmarrow T6', 'S/N 2249'],
  },
]
const PRINT = { from: 1, copies: 1, right: 0, down: 0 }
const FORMAT = { qr: /^QR/, 'code-128': /^Code128$/ }

describe.each(LABEL_SHEETS)('$says', (sheet) => {
  test.each(LABEL_SYMBOLS)('is read back from the paper as it was written, %s', async (symbol) => {
    // 200 dots an inch: the coarsest label printers.
    const pages = await paperPages(await labelPdf(LABELS, { ...PRINT, sheet, symbol }), 8)
    const read = (await Promise.all(pages.map(({ canvas }) => symbolsRead(canvas)))).flat()
    expect(read.map(({ text }) => text)).toEqual(LABELS.map(({ code }) => code))
    for (const { format } of read) expect(format).toMatch(FORMAT[symbol])
    // The canvas gives pages in whole points, 0.35 mm: half of one at most is lost, at the right and lower edge.
    expect(Math.abs(pages[0]!.widthMm - sheet.pageWidth)).toBeLessThan(0.18)
    expect(Math.abs(pages[0]!.heightMm - sheet.pageHeight)).toBeLessThan(0.18)
    const words = pages.flatMap((page) => page.words).join(' ')
    for (const { lead, code } of LABELS) {
      expect(words).toContain(code)
      expect(words.replace(/ /g, '')).toContain(lead)
    }
  })

  test('labels lie on the paper and beside each other', () => {
    const places = labelPlaces(sheet, labelsAPage(sheet))
    for (const { x, y, page } of places) {
      expect(page).toBe(0)
      expect(x).toBeGreaterThanOrEqual(0)
      expect(y).toBeGreaterThanOrEqual(0)
      expect(x + sheet.width).toBeLessThanOrEqual(sheet.pageWidth + 1e-9)
      expect(y + sheet.height).toBeLessThanOrEqual(sheet.pageHeight + 1e-9)
    }
    for (const [at, one] of places.entries())
      for (const other of places.slice(at + 1))
        expect(
          Math.abs(one.x - other.x) >= sheet.width - 1e-9 || Math.abs(one.y - other.y) >= sheet.height - 1e-9,
        ).toBe(true)
    // What is left over is the same on both sides: sheets are cut so, common practice, no source.
    const right = sheet.pageWidth - (places.at(-1)!.x + sheet.width)
    expect(right).toBeCloseTo(sheet.left, 1)
    expect(sheet.pageHeight - (places.at(-1)!.y + sheet.height)).toBeCloseTo(sheet.top, 1)
  })
})

const measure = labelRuler()

test('nothing of a label runs over its edge, the symbol is wide enough and has its clear space, whatever the part is called', () => {
  const text = fc.string({ minLength: 1, maxLength: 40 })
  const label = fc.record({
    kind: fc.constantFrom(...LABEL_KINDS),
    id: fc.integer({ min: 1, max: 9_999_999 }),
    lead: text,
    lines: fc.array(text, { maxLength: 4 }),
  })
  fc.assert(
    fc.property(label, fc.constantFrom(...LABEL_SHEETS), fc.constantFrom(...LABEL_SYMBOLS), (one, sheet, symbol) => {
      const drawing = labelLayout({ ...one, code: labelCode(one.kind, one.id) }, sheet, symbol, measure)
      const { boxes, words, module } = drawing
      const left = Math.min(...boxes.map((box) => box.x))
      const right = Math.max(...boxes.map((box) => box.x + box.width))
      // Narrowest bar that workshop printers and readers bring through, 0.19 mm, and dot, 0.33 mm: common practice, no source.
      expect(module).toBeGreaterThanOrEqual(symbol === 'qr' ? 0.33 : 0.19)
      // Clear space: 4 modules about a QR code (ISO/IEC 18004), 10 beside a Code 128 (ISO/IEC 15417).
      const quiet = (symbol === 'qr' ? 4 : 10) * module - 1e-6
      expect(left).toBeGreaterThanOrEqual(quiet)
      expect(sheet.width - right).toBeGreaterThanOrEqual(quiet)
      for (const box of boxes) {
        expect(box.y).toBeGreaterThanOrEqual(1)
        expect(box.y + box.height).toBeLessThanOrEqual(sheet.height - 1)
      }
      for (const word of words) {
        expect(word.y).toBeLessThanOrEqual(sheet.height - 1)
        if (word.text.length > 1) expect(word.x + word.width).toBeLessThanOrEqual(sheet.width - 1)
        if (symbol === 'qr') expect(word.x).toBeGreaterThanOrEqual(right + quiet - 1e-6)
        else expect(word.y).toBeLessThanOrEqual(Math.min(...boxes.map((box) => box.y)))
      }
    }),
    { numRuns: 300 },
  )
})

describe('measured on the paper', () => {
  const PER_MM = 20

  test('the edges of the test page and the ends of its ruler are where the rule says', async () => {
    const sheet = labelSheet('a4-3x7')
    const [page] = await paperPages(labelTestPdf(sheet, { right: 0, down: 0 }), PER_MM)
    // Across the first row of labels: left and right edge of each of the three.
    const across = darkRuns(page!, 'x', sheet.top + 5).map(({ from, to }) => (from + to) / 2)
    const wanted = [0, 1, 2].flatMap((at) => [7.25 + at * 66, 7.25 + at * 66 + 63.5])
    expect(across).toHaveLength(6)
    for (const [at, edge] of across.entries()) expect(Math.abs(edge - wanted[at]!)).toBeLessThan(0.1)
    // Just above its line the ruler shows each millimetre: the first and the last tick are 150 mm apart.
    const ticks = darkRuns(page!, 'x', sheet.pageHeight / 2 - 1).map(({ from, to }) => (from + to) / 2)
    const first = ticks.findIndex((tick) => Math.abs(tick - 30) < 0.1)
    const last = ticks.findIndex((tick) => Math.abs(tick - 180) < 0.1)
    expect(first).toBeGreaterThanOrEqual(0)
    expect(last - first).toBeGreaterThanOrEqual(150)
  })

  test('a shift moves everything by that much, a later label of the sheet begins where it lies', async () => {
    const sheet = labelSheet('a4-3x8')
    const label = [LABELS[0]!]
    const bars = async (print: Partial<typeof PRINT>) => {
      const pages = await paperPages(await labelPdf(label, { ...PRINT, ...print, sheet, symbol: 'code-128' }), PER_MM)
      const rows = [sheet.top + sheet.height - 4, sheet.top + 2 * sheet.height - 4]
      const [row] = rows.map((y) => darkRuns(pages[0]!, 'x', y)).filter((runs) => runs.length > 10)
      return row!
    }
    const plain = await bars({})
    const shifted = await bars({ right: 1.5 })
    expect(shifted[0]!.from - plain[0]!.from).toBeCloseTo(1.5, 1)
    // The fifth label: second row, second column.
    const fifth = await bars({ from: 5 })
    expect(fifth[0]!.from - plain[0]!.from).toBeCloseTo(70, 1)
    // Bars of one, two, three and four modules, each as wide as the standard has it.
    const { module } = labelLayout(label[0]!, sheet, 'code-128', measure)
    for (const { from, to } of plain) {
      const modules = (to - from) / module
      expect(Math.abs(modules - Math.round(modules))).toBeLessThan(0.3)
    }
  })

  test('copies lie beside each other and go on on the next sheet', async () => {
    const sheet = labelSheet('a4-2x7')
    const pages = await paperPages(await labelPdf(LABELS, { ...PRINT, sheet, symbol: 'qr', copies: 5, from: 2 }), 6)
    const read = await Promise.all(pages.map(({ canvas }) => symbolsRead(canvas)))
    expect(read.map((page) => page.length)).toEqual([13, 2])
    expect(read.flat().map(({ text }) => text)).toEqual(LABELS.flatMap(({ code }) => Array(5).fill(code)))
  })
})
