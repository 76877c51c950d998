import { describe, expect, it } from 'vitest'
import type { PageBox } from '../../../lib/figure/reader/schema.ts'
import { type Candidate, itemMeant, itemsLack, withoutScraps } from '../../../lib/figure/reader/sift.ts'

const found = (text: string, box: PageBox): Candidate => ({
  text,
  confidence: 0.9,
  spot: { box, blobs: [1], height: box[3] - box[1], inText: false, crowded: false },
  balloon: null,
  leaders: [],
})

describe('a number that the list knows', () => {
  const items = new Set(['3', '3.1', '3.2', '18', '22', '2.2'])
  const meant = (text: string) => itemMeant({ text, confidence: 1 }, items)

  it('has the point back that a coarse copy swallowed, and loses one that is dirt, each a little less sure', () => {
    expect([meant('32').text, meant('1.8').text]).toEqual(['3.2', '18'])
    expect(meant('32').confidence).toBeLessThan(1)
  })

  it('stays as it was read when the list has it so, knows two of its signs, or does not know it at all', () => {
    expect(['22', '2.2', '3', '47', '4.7'].map(meant)).toEqual(
      ['22', '2.2', '3', '47', '4.7'].map((text) => ({ text, confidence: 1 })),
    )
    expect(itemMeant({ text: '123', confidence: 1 }, new Set(['1.23', '12.3'])).text).toBe('123')
  })
})

describe('a second look at a page', () => {
  const items = new Set(['7', '17', '4', '5'])

  it('is worth it when one item in twenty of the list is not on the drawing, and never without a list', () => {
    const all = Array.from({ length: 20 }, (_, at) => String(at + 1))
    const seen = all.map((item, at) => found(item, [at * 50, 0, at * 50 + 10, 20]))
    expect(itemsLack(seen.slice(1), new Set(all))).toBe(false)
    expect(itemsLack(seen.slice(2), new Set(all))).toBe(true)
    expect(itemsLack([], new Set())).toBe(false)
  })

  it('puts the 17 in place of its 7, adds what was missed, and has each number once', () => {
    const first = [found('7', [110, 0, 120, 20]), found('4', [200, 0, 210, 20])]
    const second = [found('17', [98, 0, 120, 20]), found('4', [201, 0, 211, 20]), found('5', [300, 0, 310, 20])]
    expect(withoutScraps(first, second, items).map(({ text, spot }) => [text, spot.box[0]])).toEqual([
      ['4', 200],
      ['17', 98],
      ['5', 300],
    ])
    const strange = [found('97', [98, 0, 120, 20]), found('85', [400, 0, 420, 20])]
    expect(withoutScraps(first, strange, items).map(({ text }) => text)).toEqual(['7', '4'])
  })
})
