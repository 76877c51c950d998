import { describe, expect, it } from 'vitest'
import { pageInk } from '../../../lib/figure/reader/page-ink.ts'
import { pageRules } from '../../../lib/figure/reader/page-lines.ts'
import { piecesOfInk } from '../../../lib/figure/reader/page-pieces.ts'
import { cellLines } from '../../../lib/figure/reader/page-text.ts'
import { blobsOffShelves } from '../../../lib/figure/reader/shelf-part.ts'
import { pageSpecksTaken } from '../../../lib/figure/reader/speckle.ts'
import { spacesPut } from '../../../lib/figure/reader/table-print.ts'
import { DrawnPage } from './printed-page.ts'

/** A cell with a figure in its middle, as high as print. */
const cell = () => new DrawnPage(120, 40, 230).rect(58, 12, 64, 26, 90)

describe('a cell of a worn parts list', () => {
  it('keeps its line as narrow as what is printed, whatever specks lie beside it', () => {
    const soiled = cell().rect(12, 14, 14, 16).rect(100, 20, 101, 21).rect(80, 35, 82, 37)
    const lines = cellLines(soiled, [0, 0, 120, 40])
    expect(lines.map(({ box }) => box)).toEqual([[58, 12, 64, 26]])
  })

  it('keeps the full stop behind a number and the dot of an i', () => {
    const dotted = cell().rect(66, 24, 68, 26, 90).rect(60, 8, 62, 10, 90)
    expect(cellLines(dotted, [0, 0, 120, 40])[0]!.box).toEqual([58, 8, 68, 26])
  })
})

describe('a soiled page', () => {
  it('loses its specks and keeps lines, print and the dots of print', () => {
    const page = new DrawnPage(400, 400, 225)
    page.line(20, 20, 380, 300)
    page.rect(200, 100, 206, 120).rect(208, 118, 210, 120)
    const before = page.data.slice()
    for (let at = 0; at < 12; at++) page.rect(30 + at * 20, 380 - at * 6, 32 + at * 20, 382 - at * 6)
    expect(pageSpecksTaken(page).data).toEqual(before)
  })

  it('is left as it is where there is hardly a speck', () => {
    const page = new DrawnPage(1000, 1000).rect(500, 500, 502, 502)
    expect(pageSpecksTaken(page)).toBe(page)
  })
})

describe('the spaces of a line of print', () => {
  /** Letters of six pixels, one apart; eight white pixels between words. */
  const line = new DrawnPage(200, 40)
  const lefts = [10, 17, 24, 38, 45, 52, 59]
  for (const left of lefts) line.rect(left, 10, left + 6, 30)
  const box: [number, number, number, number] = [10, 10, 65, 30]
  const places = (signs: number) => lefts.slice(0, signs).map((left) => (left + 3 - 10) / 55)

  it('are put where the places of the signs leave a wide gap, though two letters were read as one', () => {
    expect(spacesPut(line, box, 'PinM10x', places(7))).toBe('Pin M10x')
    // Seven marks, six signs: the last two letters were read as one.
    expect(spacesPut(line, box, 'PinM10', places(6))).toBe('Pin M10')
  })

  it('are put by counting marks where the reader tells no places, and not where the count differs', () => {
    expect(spacesPut(line, box, 'PinM10x')).toBe('Pin M10x')
    expect(spacesPut(line, box, 'PinM10')).toBe('PinM10')
  })

  it('do not part letters that stand wide apart throughout', () => {
    const wide = new DrawnPage(300, 40)
    for (let at = 0; at < 8; at++) wide.rect(10 + at * 14, 10, 16 + at * 14, 30)
    const own: [number, number, number, number] = [10, 10, 114, 30]
    const where = Array.from({ length: 8 }, (_, at) => (at * 14 + 3) / 104)
    expect(spacesPut(wide, own, 'GROMMETS', where)).toBe('GROMMETS')
  })
})

describe('a small copy', () => {
  it('on which a number runs into the level end of its leader shows both apart, and long rules as they are', () => {
    const data = new Uint8Array(200 * 100)
    const rect = (left: number, top: number, right: number, bottom: number) => {
      for (let y = top; y < bottom; y++) data.fill(1, y * 200 + left, y * 200 + right)
    }
    rect(30, 20, 36, 38)
    rect(24, 37, 44, 40)
    rect(0, 80, 200, 83)
    const { list } = blobsOffShelves({ width: 200, height: 100, data })
    expect(list.map(({ box }) => box)).toEqual([
      [30, 20, 36, 37],
      [0, 80, 200, 83],
      [24, 37, 44, 40],
    ])
  })

  it('on which letters run together loses its rules only, not the foot of the letters', () => {
    const page = new DrawnPage(900, 300, 240)
    page.rect(50, 140, 850, 142, 60)
    // Four letters, joined at their feet.
    for (let at = 0; at < 4; at++) page.rect(100 + at * 20, 100, 110 + at * 20, 116, 60)
    page.rect(100, 114, 170, 116, 60)
    const pieces = piecesOfInk(pageInk(page), pageRules(page))
    expect(pieces.map(({ box }) => box)).toEqual([[100, 100, 170, 116]])
  })
})
