import { describe, expect, it } from 'vitest'
import { pageRead } from '../../../lib/figure/reader/page.ts'
import { PageReading } from '../../../lib/figure/reader/schema.ts'
import { DrawnPage, neverAsked } from './printed-page.ts'

const nothing = async (_: unknown, crops: readonly unknown[]) => crops.map(() => ({ text: '', confidence: 0 }))

describe('a page', () => {
  it('with a list alone is a parts page; its steps are told in order and its answer has the shape that is agreed', async () => {
    const page = new DrawnPage(900, 600)
    const rows = [
      ['Item', 'Part No.', 'Description', 'Qty'],
      ['1', 'QB-4410', 'Hub', '1'],
      ['2', 'QB-4412', 'Bearing', '2'],
      ['3', 'QB-4413', 'Seal', '1'],
    ]
    const walls = [100, 160, 320, 620, 690]
    page.grid(walls, [100, 140, 180, 220, 260])
    for (const [n, row] of rows.entries())
      for (const [at, words] of row.entries()) page.text(walls[at]! + 8, 112 + 40 * n, words)
    const shares: number[] = []
    const reading = await pageRead(page, page.runs, neverAsked, (share) => shares.push(share))
    expect(PageReading.parse(reading)).toEqual(reading)
    expect(reading).toMatchObject({ kind: 'parts-page', why: '', width: 900, height: 600, skewDegrees: 0 })
    expect(reading.rows.map((row) => [row.item, row.partNumber, row.quantity])).toEqual([
      ['1', 'QB-4410', 1],
      ['2', 'QB-4412', 2],
      ['3', 'QB-4413', 1],
    ])
    expect(shares).toEqual([...shares].sort((a, b) => a - b))
    expect([shares[0], shares.at(-1)]).toEqual([0, 1])
  })

  it('without numbers and list says so, and a blank one too', async () => {
    const text = new DrawnPage(700, 500)
    for (let n = 0; n < 8; n++) text.text(60, 60 + 40 * n, 'Keep hands clear of the shaft')
    for (const page of [text, new DrawnPage(400, 300)]) {
      const reading = await pageRead(page, [], nothing)
      expect(reading).toMatchObject({ kind: 'no-parts-page', rows: [], callouts: [], figures: [] })
      expect(reading.why).toBe('The page shows no item numbers on a drawing and no parts list.')
    }
  })
})
