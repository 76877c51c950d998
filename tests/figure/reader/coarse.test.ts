import { describe, expect, it } from 'vitest'
import { coarseScale, pageEnlarged } from '../../../lib/figure/reader/coarse.ts'
import { pageRead } from '../../../lib/figure/reader/page.ts'
import type { GreyPage } from '../../../lib/figure/reader/schema.ts'
import { barReader, DrawnPage } from './printed-page.ts'

const page = (width: number, height: number, tone: (x: number, y: number) => number): GreyPage => ({
  width,
  height,
  data: Uint8Array.from({ length: width * height }, (_, at) => tone(at % width, Math.floor(at / width))),
})

describe('a coarse page', () => {
  it('is one with fewer pixels than A4 has at 130 to the inch (ISO 216: 297 mm)', () => {
    const at = (dpi: number) => ({ width: Math.round((210 / 25.4) * dpi), height: Math.round((297 / 25.4) * dpi) })
    expect([100, 150, 200].map((dpi) => coarseScale(at(dpi)) > 1)).toEqual([true, false, false])
    expect(coarseScale({ width: 600, height: 400 })).toBe(2.2)
  })

  // Keys, "Cubic convolution interpolation for digital image processing", 1981: exact for tones that rise evenly.
  it('keeps its tones when it is enlarged: paper stays paper, a shadow rises as evenly', () => {
    expect(
      new Set(
        pageEnlarged(
          page(20, 12, () => 231),
          2,
        ).data,
      ),
    ).toEqual(new Set([231]))
    const wide = pageEnlarged(
      page(60, 8, (x) => 20 + 3 * x),
      2,
    )
    expect([wide.width, wide.height]).toEqual([120, 16])
    for (let x = 6; x < 114; x++) expect(wide.data[5 * 120 + x]).toBeCloseTo(20 + 3 * ((x + 0.5) / 2 - 0.5), -0.3)
  })

  it('shows edges steeper than a straight line between two pixels would', () => {
    const edge = pageEnlarged(
      page(20, 8, (x) => (x < 10 ? 40 : 230)),
      2,
    )
    const steps = Array.from({ length: 39 }, (_, x) => edge.data[4 * 40 + x + 1]! - edge.data[4 * 40 + x]!)
    expect(Math.max(...steps)).toBeGreaterThan(105)
  })

  it('has its list read though its letters are five pixels tall, and says where in pixels of the page as it was', async () => {
    const small = new DrawnPage(700, 420)
    const rows = [
      ['1', 'Hubs'],
      ['12', 'Bearing'],
      ['123', 'Splitpin'],
    ]
    for (const [n, row] of rows.entries())
      for (const [at, words] of row.entries())
        for (const [sign] of [...words].entries())
          small.rect([60, 120][at]! + 4 * sign, 100 + 16 * n, [60, 120][at]! + 4 * sign + 3, 105 + 16 * n)
    const reading = await pageRead(small, [], barReader(rows.flat()))
    expect(reading.rows.map(({ item, description }) => [item, description])).toEqual([
      ['1', 'Hubs'],
      ['12', 'Bearing'],
      ['123', 'Splitpin'],
    ])
    const [left, top, right, bottom] = reading.rows[1]!.box!
    for (const [side, meant] of [
      [left, 60],
      [top, 116],
      [right, 147],
      [bottom, 121],
    ] as const)
      expect(Math.abs(side - meant)).toBeLessThan(2)
  })
})
