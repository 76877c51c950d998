import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { moneyOfQuantity } from '../../lib/measure/money.ts'
import { breakAbove, type ListedPrices, type OfferPrices, priceOn, quantityPrice } from '../../lib/price/offer-price.ts'
import { packsPrice, segmentsOf } from '../../lib/replenish/plan-price.ts'
import { type BreakKind, orderQuantity } from '../../lib/replenish/quantity.ts'
import { daysAdd } from '../../lib/service/plain-date.ts'
import { near, rowsOf } from '../replenish/handbook-rows.ts'

const DAY = '2026-11-28'

function list(over: Partial<ListedPrices> = {}): ListedPrices {
  return {
    listId: 3,
    name: 'Winter 2026',
    validFrom: '2026-10-01',
    validUntil: '2027-03-31',
    breakKind: 'all-units',
    prices: [
      { from: 1, priceMinor: 640 },
      { from: 20, priceMinor: 590 },
      { from: 100, priceMinor: 520 },
    ],
    ...over,
  }
}
const offer = (lists: ListedPrices[], discountHundredths = 0): OfferPrices => ({
  priceMinor: 777,
  discountHundredths,
  lists,
})
const unitOf = (one: OfferPrices, day: string, quantity = 1) => quantityPrice(priceOn(one, day), quantity, 1).unitMinor

interface BreakRow {
  K: number
  holding_rate: number
  D: number
  breaks: number[]
  prices: number[]
}

describe('what a quantity costs', () => {
  // Quantity discounts: Snyder & Shen, Fundamentals of Supply Chain Theory, examples 3.6 and 3.7; Heizer & Render, toy cars.
  // Quantities in thousandths of a unit, since the books allow fractions of a piece; money in hundredths, as it is kept.
  for (const [prefix, breakKind] of [
    ['allunits-', 'all-units'],
    ['incr-', 'incremental'],
  ] as const)
    test(`buying, ordering and holding cost in a year what the textbooks say, ${breakKind}`, (context) => {
      for (const { inputs, expected } of rowsOf(context, prefix)) {
        const { K, holding_rate: rate, D, breaks, prices } = inputs as unknown as BreakRow
        const listed = breaks.map((from, at) => ({ from: from * 1000, priceMinor: Math.round(prices[at]! * 100) }))
        const asked = priceOn(offer([list({ breakKind, prices: listed })]), DAY)
        const { Q, bracket, cost } = expected as { Q: number; bracket: number; cost: number }
        const quantityMinor = Math.round(Q * 1000)
        const paid = quantityPrice(asked, quantityMinor, 1000)
        expect(paid.bracket).toBe(bracket)
        const sum = paid.amountMinor / 100
        // Whole minor units of money once an order, against the books' fractions.
        near(((sum + K) * D * 1000) / quantityMinor + (rate * sum) / 2, cost, { abs: (0.005 * D) / Q + 0.01 })
        // The same breaks, handed on as they are, make the textbook's order quantity.
        const { quantity } = orderQuantity({
          demandYear: D,
          orderCost: K * 100,
          holdingRate: rate,
          breaks: asked.breaks.map(({ from, priceMinor }) => ({ from: from / 1000, price: priceMinor })),
          breakKind: asked.breakKind,
          pack: 0.001,
          minimum: 0,
          shelfLifeYears: null,
          heldAlready: 0,
          longestYears: 1e6,
        })
        near(quantity, Q, { abs: 0.0011 })
      }
    })

  test('a break holds at its own quantity and not one piece below', () => {
    const asked = priceOn(offer([list()]), DAY)
    expect([19, 20, 99, 100].map((quantity) => quantityPrice(asked, quantity, 1))).toEqual([
      { unitMinor: 640, amountMinor: 12_160, bracket: 0 },
      { unitMinor: 590, amountMinor: 11_800, bracket: 1 },
      { unitMinor: 590, amountMinor: 58_410, bracket: 1 },
      { unitMinor: 520, amountMinor: 52_000, bracket: 2 },
    ])
    expect(breakAbove(asked, 19)).toEqual({ from: 20, priceMinor: 590 })
    expect(breakAbove(asked, 100)).toBeNull()
  })

  test('incremental breaks price only what lies beyond them, and say the mean', () => {
    const asked = priceOn(offer([list({ breakKind: 'incremental' })]), DAY)
    // 20 at 6.40, then 3 at 5.90. The break "from 20" begins with the piece after the 20th, as in the textbook's sum.
    expect(quantityPrice(asked, 23, 1)).toEqual({ unitMinor: 633, amountMinor: 14_570, bracket: 1 })
  })

  test('a list holds on its first and its last day, not on the day before or after', () => {
    const one = offer([list()])
    expect(
      ['2026-10-01', '2027-03-31']
        .flatMap((day) => [daysAdd(day, -1), day, daysAdd(day, 1)])
        .map((day) => unitOf(one, day)),
    ).toEqual([777, 640, 640, 640, 640, 777])
  })

  test('of lists that hold at once the one that began last counts, and what held before comes back after it', () => {
    const lists = [
      list({ listId: 8, validFrom: '2026-12-01', validUntil: '2026-12-14', prices: [{ from: 1, priceMinor: 610 }] }),
      list({ listId: 1, validFrom: '2025-10-01', validUntil: null, prices: [{ from: 1, priceMinor: 600 }] }),
      list(),
    ]
    const days = ['2026-09-30', '2026-11-30', '2026-12-01', '2026-12-14', '2026-12-15', '2027-04-01']
    expect(days.map((day) => unitOf(offer(lists), day))).toEqual([600, 640, 610, 610, 640, 600])
    expect(priceOn(offer(lists), '2026-12-05').list).toEqual({ listId: 8, name: 'Winter 2026' })
  })

  test('the discount is rounded once, at the price of a unit, and not taken off the price outside lists', () => {
    // 12.5 % off 6.40, 5.90, 5.20: 5.60, 5.1625 and 4.55. 99 pieces are 99 times 5.16, not 99 times 5.1625.
    const one = offer([list()], 1250)
    expect(priceOn(one, DAY).breaks.map(({ priceMinor }) => priceMinor)).toEqual([560, 516, 455])
    expect(quantityPrice(priceOn(one, DAY), 99, 1).amountMinor).toBe(51_084)
    expect(unitOf(one, '2026-09-30')).toBe(777)
  })

  test('a part of a litre is rounded as every line of money is', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1_000_000_000 }),
        fc.integer({ min: 0, max: 1_000_000_000 }),
        (quantity, priceMinor) => {
          const asked = { list: null, breakKind: 'all-units' as const, breaks: [{ from: 0, priceMinor }] }
          expect(quantityPrice(asked, quantity, 1000).amountMinor).toBe(moneyOfQuantity(priceMinor, quantity, 'litre'))
        },
      ),
    )
  })

  test('the order plan pays the same for what is sold by the piece', () => {
    const anyList = fc
      .record({
        breakKind: fc.constantFrom<BreakKind>('all-units', 'incremental'),
        prices: fc.uniqueArray(
          fc.record({ from: fc.integer({ min: 2, max: 60 }), priceMinor: fc.integer({ min: 0, max: 5000 }) }),
          { maxLength: 3, selector: ({ from }) => from },
        ),
        first: fc.integer({ min: 0, max: 5000 }),
      })
      .map(({ breakKind, prices, first }) => list({ breakKind, prices: [...prices, { from: 1, priceMinor: first }] }))
    fc.assert(
      fc.property(
        anyList,
        fc.integer({ min: 1, max: 7 }),
        fc.integer({ min: 1, max: 20 }),
        fc.integer({ min: 0, max: 10_000 }),
        (one, pack, packs, discountHundredths) => {
          const segments = segmentsOf(
            {
              supplier: 'Marlpit',
              pack,
              minimum: 0,
              prices: [...one.prices].sort((a, b) => a.from - b.from),
              breaks: one.breakKind,
              discountPercent: discountHundredths / 100,
              preferred: false,
            },
            1,
          )
          const asked = priceOn(offer([one], discountHundredths), DAY)
          expect(quantityPrice(asked, packs * pack, 1).amountMinor).toBe(packsPrice(packs, segments))
        },
      ),
    )
  })
})
