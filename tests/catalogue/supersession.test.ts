import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type SupersessionLink, supersessionCheck, supersessionResolve } from '../../lib/catalogue/supersession.ts'
import { isRefusal } from '../../lib/refusal.ts'

fc.configureGlobal({ seed: 20260105 })

const partId = fc.integer({ min: 1, max: 7 })
const link: fc.Arbitrary<SupersessionLink> = fc.record({
  oldPartId: partId,
  newPartId: partId,
  ratio: fc.integer({ min: 1, max: 4 }),
  interchange: fc.constantFrom('one-way' as const, 'both-ways' as const),
})
const anyLinks = fc.array(link, { maxLength: 20 })

const replaced = (oldPartId: number, newPartId: number, ratio = 1): SupersessionLink => ({
  oldPartId,
  newPartId,
  ratio,
  interchange: 'one-way',
})

/** The plain truth to judge by: follow the newest link at most as often as there are links; a loop is to be back where one was. */
function walkReaches(from: number, to: number, links: readonly SupersessionLink[]): boolean {
  let at = from
  for (let step = 0; step <= links.length; step++) {
    if (at === to) return true
    const next = links.filter((one) => one.oldPartId === at).at(-1)
    if (!next) return false
    at = next.newPartId
  }
  return false
}

function refusalOf(run: () => void): string | null {
  try {
    run()
    return null
  } catch (error) {
    if (!isRefusal(error)) throw error
    return `${error.code} ${error.happened}`
  }
}

describe('what can be ordered now', () => {
  test('a part that nothing replaces is itself', () => {
    expect(supersessionResolve(3, [replaced(1, 2)])).toEqual({ partId: 3, ratio: 1, chain: [3] })
  })

  test('two short belts for one, each replaced by three shorter ones, are six', () => {
    const links = [replaced(11, 12, 2), replaced(12, 13, 3)]
    expect(supersessionResolve(11, links)).toEqual({ partId: 13, ratio: 6, chain: [11, 12, 13] })
    expect(supersessionResolve(12, links)).toEqual({ partId: 13, ratio: 3, chain: [12, 13] })
  })

  test('of a part replaced twice, the link entered last counts', () => {
    expect(supersessionResolve(1, [replaced(1, 2), replaced(1, 3)]).partId).toBe(3)
  })

  test('the walk ends for every set of links, loops included, and meets no part twice', () => {
    fc.assert(
      fc.property(partId, anyLinks, (start, links) => {
        const { chain, partId: end } = supersessionResolve(start, links)
        expect(new Set(chain).size).toBe(chain.length)
        expect(chain[0]).toBe(start)
        expect(chain.at(-1)).toBe(end)
      }),
    )
  })

  test('the ratio is the product of the links on the way', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 9 }), { maxLength: 8 }), (ratios) => {
        const links = ratios.map((ratio, at) => replaced(at, at + 1, ratio))
        const product = ratios.reduce((all, one) => all * one, 1)
        expect(supersessionResolve(0, [...links].reverse())).toMatchObject({ partId: ratios.length, ratio: product })
      }),
    )
  })
})

describe('entering what replaces what', () => {
  test('a part that replaces itself is refused', () => {
    expect(refusalOf(() => supersessionCheck(replaced(4, 4), [], (id) => `QX-${id}`))).toBe(
      'catalogue/cycle That would make a loop: QX-4 -> QX-4.',
    )
  })

  test('the loop is named part by part', () => {
    const links = [replaced(1, 2), replaced(2, 3), replaced(8, 9)]
    expect(refusalOf(() => supersessionCheck(replaced(3, 1), links, (id) => `QX-${id}`))).toBe(
      'catalogue/cycle That would make a loop: QX-3 -> QX-1 -> QX-2 -> QX-3.',
    )
    expect(refusalOf(() => supersessionCheck(replaced(3, 4), links))).toBeNull()
    expect(refusalOf(() => supersessionCheck(replaced(5, 1), links))).toBeNull()
  })

  test('exactly those links are refused that close a loop', () => {
    fc.assert(
      fc.property(link, anyLinks, (fresh, links) => {
        const closes = walkReaches(fresh.newPartId, fresh.oldPartId, links)
        expect(refusalOf(() => supersessionCheck(fresh, links)) !== null).toBe(closes)
      }),
      { numRuns: 1000 },
    )
  })

  test('a record built only from accepted links has no loop: the end of every walk can be ordered', () => {
    fc.assert(
      fc.property(anyLinks, (wishes) => {
        const links: SupersessionLink[] = []
        for (const wish of wishes) if (refusalOf(() => supersessionCheck(wish, links)) === null) links.push(wish)
        for (let start = 1; start <= 7; start++) {
          const { partId: end } = supersessionResolve(start, links)
          expect(links.some((one) => one.oldPartId === end)).toBe(false)
        }
      }),
    )
  })
})
