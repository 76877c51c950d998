import { describe, expect, it } from 'vitest'
import { figuresOf, pageWithout, sheetInside, titleBlocks } from '../../../lib/figure/reader/layout.ts'
import { pageRules } from '../../../lib/figure/reader/page-lines.ts'
import type { PageBox, ReadCallout } from '../../../lib/figure/reader/schema.ts'
import { ruledCells, ruledGrids } from '../../../lib/figure/reader/table-grid.ts'
import { DrawnPage } from './printed-page.ts'

const SIZE = { width: 1000, height: 800 }
const callout = (x: number, y: number): ReadCallout => ({
  item: '1',
  x,
  y,
  tipX: x + 40,
  tipY: y + 40,
  tips: [{ x: x + 40, y: y + 40 }],
  confidence: 1,
  doubts: [],
})

describe('the sheet', () => {
  it('ends at its frame, so that the letters of its zones are outside; a page without frame is all sheet', () => {
    const framed = new DrawnPage(SIZE.width, SIZE.height).grid([40, 958], [30, 768])
    const inside = sheetInside(pageRules(framed), SIZE)
    for (const [at, side] of [40, 30, 958, 768].entries()) expect(Math.abs(inside[at]! - side)).toBeLessThan(3)
    expect(sheetInside(pageRules(new DrawnPage(SIZE.width, SIZE.height)), SIZE)).toEqual([0, 0, 1000, 800])
    const table = new DrawnPage(SIZE.width, SIZE.height).grid([40, 958], [600, 640, 680])
    expect(sheetInside(pageRules(table), SIZE)).toEqual([0, 0, 1000, 800])
  })

  it('has its title block on the frame; cells that stand free are a part seen from the front', () => {
    const page = new DrawnPage(SIZE.width, SIZE.height).grid([40, 958], [30, 768])
    page.grid([700, 800, 958], [690, 730, 768])
    page.grid([200, 300, 400], [200, 260, 320])
    const rules = pageRules(page)
    const cells = ruledCells(rules, 4)
    const blocks = titleBlocks(cells, sheetInside(rules, SIZE), [], SIZE, 4)
    expect(blocks).toHaveLength(1)
    expect(Math.abs(blocks[0]![0] - 700)).toBeLessThan(3)
    expect(Math.abs(blocks[0]![1] - 690)).toBeLessThan(3)
  })

  it('painted over keeps everything else as it was', () => {
    const page = new DrawnPage(200, 100, 230).rect(20, 20, 60, 60).rect(120, 20, 160, 60)
    const without = pageWithout(page, [[10, 10, 70, 70]], 2)
    expect(without.data[30 * 200 + 30]).toBe(230)
    expect(without.data[30 * 200 + 130]).toBe(20)
    expect(page.data[30 * 200 + 30]).toBe(20)
  })
})

describe('rules and grids', () => {
  it('a rule with a speck of paper and a step of a pixel is one rule; a slanted line and a filled area are none', () => {
    const page = new DrawnPage(600, 400)
    page.rect(50, 100, 250, 102).rect(252, 101, 500, 103).line(50, 200, 550, 260).rect(100, 300, 300, 380)
    const { across } = pageRules(page)
    expect(across.filter(({ at }) => at < 150)).toHaveLength(1)
    expect(across.filter(({ at }) => at > 150 && at < 290)).toEqual([])
  })

  it('a broken inner rule and a cell over two columns stay in the list they stand in', () => {
    const page = new DrawnPage(600, 400)
    page.grid([100, 200, 300, 500], [100, 140, 180, 220, 260])
    for (let y = 144; y < 178; y++) page.data.fill(245, y * 600 + 198, y * 600 + 204)
    const grids = ruledGrids(ruledCells(pageRules(page), 4), 4)
    expect(grids).toHaveLength(1)
    expect(grids[0]!.shelves).toHaveLength(5)
    expect(grids[0]!.walls).toHaveLength(4)
  })
})

describe('figures of a page', () => {
  const inside: PageBox = [0, 0, 1000, 800]
  it('are two where white lies right across with callouts on both sides, and one where ink bridges it', () => {
    const callouts = [callout(100, 100), callout(170, 120), callout(100, 600), callout(170, 620)]
    const apart = figuresOf(callouts, [], inside, SIZE)
    expect(apart.map((figure) => figure.callouts)).toEqual([
      [0, 1],
      [2, 3],
    ])
    expect(figuresOf(callouts, [[500, 90, 520, 700]], inside, SIZE)).toHaveLength(1)
    expect(figuresOf(callouts.slice(0, 3), [], inside, SIZE)).toHaveLength(1)
    expect(figuresOf([], [], inside, SIZE)).toEqual([])
  })
})
