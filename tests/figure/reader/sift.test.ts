import { describe, expect, it } from 'vitest'
import type { PageBox } from '../../../lib/figure/reader/schema.ts'
import { type Candidate, itemMeant, itemsLack, pointsPutBack, withoutScraps } from '../../../lib/figure/reader/sift.ts'

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

describe('the points of a page that numbers its parts by assembly', () => {
  const putBack = (texts: readonly string[], items: readonly string[] = []) =>
    pointsPutBack(
      texts.map((text) => ({ text, confidence: 0.95 })),
      new Set(items),
    )
  const READ = ['1', '2', '3', '4', '1.1', '2.2', '4.1', '31', '42', '21']

  it('are put back where a number lies far beyond the others, and a person is asked to look', () => {
    const found = putBack(READ)
    expect(found.map(({ text }) => text)).toEqual(['1', '2', '3', '4', '1.1', '2.2', '4.1', '3.1', '4.2', '2.1'])
    // Below 0.75 a reading is shown to be looked at first (callouts.ts).
    expect(found.filter(({ confidence }) => confidence < 0.75).map(({ text }) => text)).toEqual(['3.1', '4.2', '2.1'])
  })

  it('are not supposed where numbers run on, where hardly one was read, or where the list has the number without', () => {
    const runsOn = [...Array.from({ length: 15 }, (_, at) => String(at + 1)), '7.1', '7.2', '9.1']
    for (const texts of [runsOn, ['1', '2', '3', '1.1', '2.2', '31'], [...READ, '10'], [...READ, '104']])
      expect(putBack(texts).map(({ text }) => text)).toEqual(texts)
    expect(putBack(READ, ['31']).map(({ text }) => text)).toContain('31')
    expect(putBack([...READ, '72']).map(({ text }) => text)).toContain('72')
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
