import { describe, expect, it } from 'vitest'
import { pageStraight, skewDegrees } from '../../../lib/figure/reader/deskew.ts'
import { pageInk } from '../../../lib/figure/reader/page-ink.ts'
import { DrawnPage } from './printed-page.ts'

function sheet(): DrawnPage {
  const page = new DrawnPage(1000, 700)
  page.grid([40, 940], [40, 640])
  page.grid([500, 560, 800, 900], [400, 430, 460, 490, 520, 550])
  for (let n = 0; n < 6; n++) page.line(80 + n * 30, 120 + n * 40, 380 + n * 10, 293 + n * 40)
  return page
}

describe('skew of a page', () => {
  it.each([0, 0.4, -0.4, 1.7, -2.3, 3.4, -4.5])('of %s degrees is found by frame and table to a tenth', (degrees) => {
    const askew = pageStraight(sheet(), [], -degrees).page
    expect(skewDegrees(pageInk(askew))).toBeCloseTo(degrees, 0.9)
    expect(Math.abs(skewDegrees(pageInk(askew)) - degrees)).toBeLessThan(0.1)
  })

  it.each([0.9, -1.4])(
    'of %s degrees is found by hairlines alone, though a steep edge or two of a part seem to lie otherwise',
    (degrees) => {
      const page = new DrawnPage(1000, 700)
      for (let n = 0; n < 9; n++) page.rect(60, 400 + 30 * n, 940, 401 + 30 * n)
      for (let n = 0; n < 6; n++)
        page.line(200 + n * 60, 60 + n * 20, 200 + n * 60 + [9, -14, 3, 17, -6, -21][n]!, 300 + n * 8)
      const askew = pageStraight(page, [], -degrees).page
      expect(Math.abs(skewDegrees(pageInk(askew)) - degrees)).toBeLessThan(0.1)
    },
  )

  it('is none for isometric lines, however many: they never stand at right angles to each other', () => {
    const page = new DrawnPage(900, 700)
    for (let n = 0; n < 12; n++) {
      page.line(100 + n * 20, 150 + n * 30, 500 + n * 20, 150 + n * 30 - 231)
      page.line(100 + n * 20, 150 + n * 30, 400 + n * 20, 150 + n * 30 + 173)
    }
    expect(skewDegrees(pageInk(page))).toBe(0)
  })

  it('is none for long edges of a part that lie three degrees off when its upright edges do not', () => {
    const page = new DrawnPage(900, 700)
    for (let n = 0; n < 5; n++) page.line(150, 200 + n * 60, 700, 200 + n * 60 + 29)
    for (let n = 0; n < 5; n++) page.line(150 + n * 130, 150, 150 + n * 130, 560)
    expect(skewDegrees(pageInk(page))).toBe(0)
  })

  it('is none for an empty page', () => {
    expect(skewDegrees(pageInk(new DrawnPage(300, 200)))).toBe(0)
  })
})

describe('a page set straight', () => {
  it('leads every point back to where it was, and loses no corner', () => {
    const page = sheet()
    const turned = pageStraight(page, [{ text: 'x', box: [490, 340, 510, 360] }], 3)
    expect(turned.page.width).toBeGreaterThan(page.width)
    const middle = turned.back(turned.page.width / 2, turned.page.height / 2)
    expect([middle.x, middle.y]).toEqual([500, 350])
    const [left, top, right, bottom] = turned.runs[0]!.box
    const run = turned.back((left + right) / 2, (top + bottom) / 2)
    expect(run.x).toBeCloseTo(500, 6)
    expect(run.y).toBeCloseTo(350, 6)
    // A corner of the old page lies on the new one, so leading it back and forth must stay within both.
    const corner = turned.back(0, 0)
    expect(corner.x).toBeLessThanOrEqual(0.5 + page.height * Math.sin((3 * Math.PI) / 180))
  })

  it('is the same page when there is no skew', () => {
    const page = sheet()
    expect(pageStraight(page, [], 0).page).toBe(page)
  })
})
