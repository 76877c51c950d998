import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { statePairs } from '../../lib/replenish/plan-state-pairs.ts'
import type { Way } from '../../lib/replenish/plan-state-way.ts'

const way = (order: number, cost: number): Way => ({ cost, goods: new Map([[order, cost]]), purchases: [] })
const goodsOf = (ways: readonly Way[], order: number) => ways.reduce((sum, one) => sum + (one.goods.get(order) ?? 0), 0)
const costOf = (ways: readonly Way[]) => ways.reduce((sum, { cost }) => sum + cost, 0)
const always = () => 1

describe('parts exchanged two at a time', () => {
  test('fill a threshold where no part alone could go another way', () => {
    // 60 of the first supplier, which has to reach 55: either part alone would leave 30 there, and the third costs 2 more there.
    const all = [
      [way(0, 30), way(1, 25)],
      [way(0, 30), way(1, 28)],
      [way(1, 40), way(0, 42)],
    ]
    const choice = all.map(([first]) => first!)
    const better = statePairs(all, choice, { states: [1, 1], reach: [55, 0] }, always)
    expect(costOf(better)).toBe(25 + 30 + 42)
    expect(goodsOf(better, 0)).toBe(72)
  })

  test('never cost more, leave every order what it has to reach, and use no order that is not placed', () => {
    const Ways = fc.array(fc.tuple(fc.nat(2), fc.integer({ min: 1, max: 60 })), { minLength: 1, maxLength: 4 })
    fc.assert(
      fc.property(fc.array(Ways, { minLength: 1, maxLength: 12 }), fc.nat(40), (told, spare) => {
        // The third order is not placed; each part begins with the first supplier.
        const all = told.map((own) => [way(0, 50), ...own.map(([order, cost]) => way(order, cost))])
        const choice = all.map(([first]) => first!)
        const reach = [Math.max(0, goodsOf(choice, 0) - spare), 0, 0]
        const better = statePairs(all, choice, { states: [2, 1, 0], reach }, always)
        expect(costOf(better)).toBeLessThanOrEqual(costOf(choice))
        expect(goodsOf(better, 0)).toBeGreaterThanOrEqual(reach[0]!)
        expect(goodsOf(better, 2)).toBe(0)
      }),
    )
  })
})
