import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Link, loopsFind } from '../../lib/catalogue/loops.ts'

/** The plain way: each link joins unless its beginning can be reached from its end over what has joined. */
function plain(standing: readonly Link[], fresh: readonly Link[]): number[] {
  const joined = [...standing]
  const reached = (start: number) => {
    const all = new Set([start])
    for (let before = -1; before !== all.size; ) {
      before = all.size
      for (const [from, to] of joined) if (all.has(from)) all.add(to)
    }
    return all
  }
  return [...fresh.keys()].filter((at) => {
    const [from, to] = fresh[at]!
    if (reached(to).has(from)) return true
    joined.push(fresh[at]!)
    return false
  })
}

describe('links that lead back', () => {
  it('a link that closes a loop is named with the way round, and does not join', () => {
    // Without the refused link 3 -> 1, the last link is a good one.
    expect(
      loopsFind(
        [[1, 2]],
        [
          [2, 3],
          [3, 1],
          [1, 3],
        ],
      ),
    ).toEqual(new Map([[1, [3, 1, 2, 3]]]))
  })

  it('a part that leads to itself is a loop of one', () => {
    expect(loopsFind([], [[7, 7]])).toEqual(new Map([[0, [7, 7]]]))
  })

  it('refuses the same links as a walk over all of them, and each way round is one', () => {
    const link = fc.tuple(fc.nat(9), fc.nat(9))
    fc.assert(
      fc.property(fc.array(link, { maxLength: 8 }), fc.array(link, { maxLength: 25 }), (told, fresh) => {
        // What stands has no loops: the same was asked when it came in.
        const bad = new Set(plain([], told))
        const standing = told.filter((_, at) => !bad.has(at))
        const found = loopsFind(standing, fresh)
        expect([...found.keys()]).toEqual(plain(standing, fresh))
        for (const [at, way] of found) {
          expect([way[0], way[1], way.at(-1)]).toEqual([fresh[at]![0], fresh[at]![1], fresh[at]![0]])
          const known = [...standing, ...fresh.slice(0, at)].map(String)
          for (const [step, from] of way.slice(1, -1).entries()) expect(known).toContain(`${from},${way[step + 2]}`)
        }
      }),
      { numRuns: 1000, seed: 4120 },
    )
  })

  it('a chain of a hundred thousand parts, told from its end, with a link that closes it, is looked through at once', () => {
    const count = 100_000
    const chain = Array.from({ length: count }, (_, at): Link => [count - at, count - at + 1])
    const found = loopsFind([], [...chain, [count + 1, 1]])
    expect([...found.keys()]).toEqual([count])
    expect(found.get(count)).toHaveLength(count + 2)
  })
})
