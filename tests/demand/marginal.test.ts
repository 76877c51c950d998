import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { negativeBinomialMoments, poisson } from '../../lib/demand/distribution.ts'
import { marginalPurchases } from '../../lib/demand/marginal.ts'
import { levelsSpread } from '../../lib/demand/spread.ts'
import { fillClaimed, protection, targetLevel } from '../../lib/demand/target-level.ts'
import { needReference, readHandbook } from '../support/reference.ts'

// C. C. Sherbrooke, Optimal Inventory Modeling of Systems, 2nd edition, chapter 2: handbook, B/spares.
test('two items are bought in the order of the textbook', (context) => {
  const found = readHandbook(needReference(context, 'handbook.json')).find(({ id }) => id === 'marginal-sherbrooke-2')!
  const { items, purchases } = found.inputs as {
    items: Record<string, { mean: number; cost: number }>
    purchases: number
  }
  const expected = found.expected as { order: string[]; cost: number; total_ebo: number }
  const names = Object.keys(items)
  const order: string[] = []
  let cost = 0
  let backorders = names.reduce((sum, name) => sum + items[name]!.mean, 0)
  for (const { part, total } of marginalPurchases(
    names.map((name) => ({ gain: (level) => poisson(items[name]!.mean).upper(level), cost: () => items[name]!.cost })),
  )) {
    order.push(names[part]!)
    cost += items[names[part]!]!.cost
    backorders = names.reduce((sum, name) => sum + items[name]!.mean, 0) - total
    if (order.length === purchases) break
  }
  expect(order).toEqual(expected.order)
  expect(cost).toBe(expected.cost)
  expect(Math.abs(backorders - expected.total_ebo)).toBeLessThanOrEqual(0.001)
})

const poissonOutlook = (rate: number) => protection((periods) => poisson(rate * periods), 1, 1)

describe('one target for many parts', () => {
  test('no cheaper levels claim as much: every choice of two parts was tried', () => {
    const rate = fc.double({ min: 0.05, max: 2, noNaN: true })
    const price = fc.integer({ min: 1, max: 200 })
    fc.assert(
      fc.property(
        rate,
        rate,
        price,
        price,
        fc.double({ min: 0.3, max: 0.97, noNaN: true }),
        (r1, r2, p1, p2, target) => {
          const parts = [poissonOutlook(r1), poissonOutlook(r2)]
          const prices = [p1, p2]
          const served = (levels: readonly number[]) =>
            parts.reduce((sum, part, at) => sum + part.meanReview * fillClaimed(part, levels[at]!), 0)
          const held = (levels: readonly number[]) =>
            parts.reduce(
              (sum, { whole }, at) => sum + prices[at]! * (levels[at]! - whole.mean + whole.loss(levels[at]!)),
              0,
            )
          const [levels] = levelsSpread(parts, prices, 'fill', [target])
          expect(served(levels!)).toBeGreaterThanOrEqual(target * (r1 + r2) - 1e-9)
          // Marginal analysis passes only the best choices: none that serves at least as much is cheaper.
          for (let one = 0; one <= 14; one++)
            for (let other = 0; other <= 14; other++)
              if (served([one, other]) >= served(levels!) + 1e-9)
                expect(held([one, other])).toBeGreaterThanOrEqual(held(levels!) - 1e-9)
        },
      ),
      { numRuns: 60 },
    )
  })

  test('a dear part that seldom moves gets less than a cheap one', () => {
    const [levels] = levelsSpread([poissonOutlook(0.3), poissonOutlook(0.3)], [900, 4], 'fill', [0.8])
    expect(levels![0]).toBeLessThan(levels![1]!)
  })

  test('what is always taken in pairs, or as a whole set of a rotor, is bought so', () => {
    for (const size of [2, 16, 60]) {
      const sets = (periods: number) => {
        const singles = poisson(0.4 * periods)
        return {
          ...singles,
          mean: size * singles.mean,
          variance: size ** 2 * singles.variance,
          pmf: (k: number) => (k % size === 0 ? singles.pmf(k / size) : 0),
          cdf: (x: number) => singles.cdf(Math.floor(x / size)),
          upper: (x: number) => singles.upper(Math.floor(x / size)),
          loss: (x: number) => {
            const k = Math.floor(x / size)
            return size * singles.loss(k) - (x - size * k) * singles.upper(k)
          },
        }
      }
      const [levels] = levelsSpread([protection(sets, 1, 1)], [1], 'cycle', [0.95])
      expect(levels![0]).toBe(size * targetLevel(poissonOutlook(0.4), 'cycle', 0.95))
    }
  })

  test('targets that rise never lower a level', () => {
    const parts = [0.05, 0.4, 3, 11].map(poissonOutlook)
    const lists = levelsSpread(parts, [70, 5, 2, 1], 'fill', [0.5, 0.9, 0.99])
    for (const at of parts.keys()) {
      expect(lists[1]![at]).toBeGreaterThanOrEqual(lists[0]![at]!)
      expect(lists[2]![at]).toBeGreaterThanOrEqual(lists[1]![at]!)
    }
  })

  test('what is asked for by the million is bought by lots: enough, and at most a lot more than the least', () => {
    const rate = 1_000_000
    const heap = protection((periods) => negativeBinomialMoments(periods * rate, periods * rate * 250_000), 1, 1)
    for (const kind of ['fill', 'cycle'] as const) {
      const targets = [0.9, 0.95, 0.99]
      const lists = levelsSpread([heap, poissonOutlook(0.3)], [1, 1_000_000], kind, targets)
      for (const [at, levels] of lists.entries()) {
        const claimed = kind === 'fill' ? fillClaimed(heap, levels[0]!) : heap.whole.cdf(levels[0]!)
        expect(claimed).toBeGreaterThan(targets[at]! - 0.03)
        expect(Number.isInteger(levels[0])).toBe(true)
      }
      const [alone] = levelsSpread([heap], [1], kind, [0.95])
      const least = targetLevel(heap, kind, 0.95)
      expect(alone![0]).toBeGreaterThanOrEqual(least)
      // A sixteenth of the spread of two periods, 707,000 pieces.
      expect(alone![0]).toBeLessThanOrEqual(least + 45_000)
    }
  })
})
