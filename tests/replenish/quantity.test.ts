import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type BreakKind,
  eoq,
  eoqCost,
  orderQuantity,
  type PriceBreak,
  type QuantityFacts,
  quantityCost,
} from '../../lib/replenish/quantity.ts'
import { stepSays } from '../../lib/replenish/step.ts'
import { near, rowsOf } from './handbook-rows.ts'

/** A part without any rule but its price. */
function facts(over: Partial<QuantityFacts> = {}): QuantityFacts {
  return {
    demandYear: 1300,
    orderCost: 8,
    holdingRate: 0.3,
    breaks: [{ from: 1, price: 0.75 }],
    breakKind: 'all-units',
    pack: 1,
    minimum: 1,
    shelfLifeYears: null,
    heldAlready: 0,
    longestYears: 1e6,
    ...over,
  }
}

interface EoqRow {
  K: number
  h: number
  D: number
  Q?: number
}

interface BreakRow {
  K: number
  holding_rate: number
  D: number
  breaks: number[]
  prices: number[]
}

// Textbooks: Snyder & Shen ch. 3, Heizer & Render "Inventory management"; handbook.json says where each is from.
describe('the economic order quantity of the textbooks', () => {
  test('costs and sizes', (context) => {
    for (const { inputs, expected, tolerance } of rowsOf(context, 'eoq-')) {
      const { K, h, D, Q } = inputs as unknown as EoqRow
      if (K === undefined) {
        // Ordering twice as many as is best costs a quarter more, whatever the part.
        const one = { demandYear: 777, orderCost: 13, holdingYear: 0.9 }
        const { factor } = inputs as { factor: number }
        near(eoqCost(factor * eoq(one), one) / eoqCost(eoq(one), one), expected, tolerance)
        continue
      }
      const one = { demandYear: D, orderCost: K, holdingYear: h }
      if (Q !== undefined) {
        near(eoqCost(Q, one), expected, tolerance)
        continue
      }
      const { working_days: days = 250 } = inputs as { working_days?: number }
      const best = eoq(one)
      const found = { Q: best, cost: eoqCost(best, one), orders: D / best, days_between: (days * best) / D }
      near(found, expected, tolerance)
    }
  })

  for (const [prefix, breakKind, count] of [
    ['allunits-', 'all-units', 3],
    ['incr-', 'incremental', 2],
  ] as const)
    test(`with ${breakKind} discounts`, (context) => {
      const rows = rowsOf(context, prefix)
      expect(rows.length).toBe(count)
      for (const { inputs, expected, tolerance } of rows) {
        const { K, holding_rate, D, breaks, prices } = inputs as unknown as BreakRow
        const list = breaks.map((from, j): PriceBreak => ({ from, price: prices[j]! }))
        // A pack so small that it rounds nothing: the books allow any fraction of a piece.
        const pack = 1e-7
        const { quantity, bracket, costYear } = orderQuantity(
          facts({ demandYear: D, orderCost: K, holdingRate: holding_rate, breaks: list, breakKind, pack, minimum: 0 }),
        )
        near({ Q: quantity, bracket, cost: costYear }, expected, tolerance)
      }
    })
})

const anyFacts = fc
  .record({
    demandYear: fc.integer({ min: 1, max: 300 }),
    orderCost: fc.integer({ min: 0, max: 60 }),
    holdingRate: fc.constantFrom(0, 0.05, 0.2, 0.5),
    price: fc.integer({ min: 1, max: 50 }),
    breaks: fc.uniqueArray(
      fc.record({ from: fc.integer({ min: 2, max: 120 }), price: fc.integer({ min: 1, max: 50 }) }),
      {
        maxLength: 3,
        selector: (one) => one.from,
      },
    ),
    breakKind: fc.constantFrom<BreakKind>('all-units', 'incremental'),
    pack: fc.integer({ min: 1, max: 12 }),
    minimum: fc.integer({ min: 0, max: 40 }),
    shelfLifeYears: fc.option(fc.constantFrom(0.1, 0.5, 2)),
    heldAlready: fc.integer({ min: 0, max: 20 }),
    longestYears: fc.constantFrom(0.5, 1, 3),
  })
  .map(({ price, breaks, ...rest }): QuantityFacts => {
    const rising = breaks.toSorted((a, b) => a.from - b.from)
    // Prices fall with the quantity, as suppliers have them.
    let last = price
    const list = [
      { from: 1, price },
      ...rising.map((one) => {
        last = Math.min(last, one.price)
        return { from: one.from, price: last }
      }),
    ]
    return { ...rest, breaks: list }
  })

describe('how many to order at a time', () => {
  test('no other whole pack costs less', () => {
    fc.assert(
      fc.property(anyFacts, (one) => {
        const { quantity, costYear, tooMuch } = orderQuantity(one)
        const smallest = Math.max(1, Math.ceil(one.minimum / one.pack)) * one.pack
        const most = Math.min(
          one.demandYear * one.longestYears,
          one.shelfLifeYears === null ? Infinity : one.demandYear * one.shelfLifeYears - one.heldAlready,
        )
        expect(quantity % one.pack).toBe(0)
        expect(tooMuch).toBe(smallest > most)
        if (tooMuch) {
          expect(quantity).toBe(smallest)
          return
        }
        let least = Infinity
        for (let other = smallest; other <= most; other += one.pack) least = Math.min(least, quantityCost(other, one))
        expect(quantity).toBeLessThanOrEqual(most)
        expect(costYear).toBeCloseTo(least, 6)
      }),
      { numRuns: 400 },
    )
  })

  test('the steps end at the answer and none of them does nothing', () => {
    fc.assert(
      fc.property(anyFacts, fc.boolean(), (any, isUsed) => {
        const { quantity, steps } = orderQuantity(isUsed ? any : { ...any, demandYear: 0 })
        expect(steps.at(-1)?.after).toBe(quantity)
        expect(steps[0]?.before).toBeNull()
        for (const [at, step] of steps.entries()) {
          if (at === 0) continue
          expect(step.before).toBe(steps[at - 1]?.after)
          expect(step.after).not.toBe(step.before)
        }
      }),
    )
  })

  test('the price of the break holds at the break itself', () => {
    const breaks = [
      { from: 1, price: 10 },
      { from: 50, price: 8 },
    ]
    expect(orderQuantity(facts({ demandYear: 100, breaks })).quantity).toBe(50)
    expect(orderQuantity(facts({ demandYear: 100, breaks, pack: 7 })).quantity).toBe(56)
  })

  test('nothing is bought that spoils before it is used', () => {
    const sealant = facts({
      demandYear: 12,
      orderCost: 30,
      breaks: [{ from: 1, price: 4 }],
      shelfLifeYears: 1,
      heldAlready: 3,
    })
    expect(orderQuantity({ ...sealant, shelfLifeYears: null }).quantity).toBeGreaterThan(9)
    const { quantity, steps, tooMuch } = orderQuantity(sealant)
    expect(quantity).toBe(9)
    expect(tooMuch).toBe(false)
    expect(stepSays(steps[1]!, (q) => `${Math.round(q)}`)).toBe('no more than is used before it spoils: 24 becomes 9')
    expect(orderQuantity({ ...sealant, minimum: 25 })).toMatchObject({ quantity: 25, tooMuch: true })
  })

  test('a part that nobody uses is ordered in the smallest order there is', () => {
    const { quantity, costYear, steps } = orderQuantity(facts({ demandYear: 0, pack: 5, minimum: 12 }))
    expect(quantity).toBe(15)
    expect(costYear).toBe(0)
    expect(steps.map((step) => step.rule)).toEqual(['no-use', 'minimum', 'pack'])
  })

  test('holding that costs nothing still buys no more than for the longest time', () => {
    expect(orderQuantity(facts({ demandYear: 40, holdingRate: 0, longestYears: 2 })).quantity).toBe(80)
  })
})
