import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { orderDayNext, weekdayOf } from '../../lib/buying/order-day.ts'
import { orderLastDay } from '../../lib/readiness/order-day.ts'
import { silverMeal, wagnerWhitin } from '../../lib/replenish/lot.ts'
import { daysAdd, daysBetween } from '../../lib/service/plain-date.ts'
import { type BuyPart, type BuySupplier, buyGroup } from '../../lib/winter/buy-list.ts'
import { winterCsv } from '../../lib/winter/list-csv.ts'
import { type LotNeed, listLots, lotsCheapest, orderLots, pressOf } from '../../lib/winter/lots.ts'
import type { SupplierTerms } from '../../lib/winter/money.ts'
import { weekdayNames } from '../../lib/winter/supply.ts'
import { lotsSays } from '../../lib/winter/words.ts'
import { csvCells } from '../support/csv-cells.ts'

const TODAY = '2026-11-28'
const terms = (more: Partial<SupplierTerms> = {}): SupplierTerms => ({
  ...{ rateMicro: 1_000_000, carriageMinor: 0, carriagePaidFromMinor: null, minimumOrderMinor: 0 },
  ...more,
})

/** A line that costs so much and has to be ordered by a day. */
function line(partId: number, costMinor: number, lastDay: string, neededOn = daysAdd(lastDay, 14)) {
  const part: BuyPart = {
    ...{ partId, number: `FM-${partId}`, supplierNumber: null, maker: 'Thornley & Pike', description: 'Belt' },
    ...{ others: [], unit: 'each', supplierId: 1, pack: 1, minimum: 1, certain: 1, mean: 1, enough: 1, stock: 0 },
    on: { list: null, breakKind: 'all-units', breaks: [{ from: 0, priceMinor: costMinor }] },
    ...{ drafts: [], neededOn, lastDay, goesWith: [], byHand: null, seen: 0 },
  }
  return { part, quantity: 1, isCertain: true, isByHand: false }
}
const supplier = (more: Partial<SupplierTerms> = {}, nextOrderOn = TODAY): BuySupplier => ({
  ...{ id: 1, name: 'Hollin Bearings', arrives: daysAdd(nextOrderOn, 14), nextOrderOn },
  terms: terms(more),
})

const settingsDrawn = fc.record({
  orderCostMinor: fc.integer({ min: 0, max: 2000 }),
  holdingPercent: fc.integer({ min: 1, max: 60 }),
})
const needsDrawn = fc
  .uniqueArray(fc.nat(90), { minLength: 1, maxLength: 7 })
  .chain((days) =>
    fc.tuple(
      fc.constant(days.toSorted((a, b) => a - b)),
      fc.array(fc.integer({ min: 0, max: 90_000 }), { minLength: days.length, maxLength: days.length }),
    ),
  )
  .map(([days, values]) =>
    days.map((day, at): LotNeed => ({ on: daysAdd(TODAY, day), amount: values[at]!, valueMinor: values[at]! })),
  )
const termsDrawn = fc
  .record({
    carriageMinor: fc.nat(3000),
    carriagePaidFromMinor: fc.option(fc.integer({ min: 1, max: 200_000 })),
    minimumOrderMinor: fc.oneof(fc.constant(0), fc.nat(90_000)),
  })
  .map(terms)

/** Every way to send each need with an order of its own day or of an earlier need's, whatever goes with it. */
function bestOfAll(needs: readonly LotNeed[], costOf: (lots: ReadonlyMap<number, readonly LotNeed[]>) => number) {
  let least = Number.POSITIVE_INFINITY
  const place = (at: number, lots: ReadonlyMap<number, readonly LotNeed[]>): void => {
    if (at === needs.length) {
      least = Math.min(least, costOf(lots))
      return
    }
    for (let lot = 0; lot <= at; lot++) place(at + 1, new Map(lots).set(lot, [...(lots.get(lot) ?? []), needs[at]!]))
  }
  place(0, new Map())
  return least
}

/** What orders cost that are placed on the days of some needs, each for all needs until the next. */
function costOfCuts(
  needs: readonly LotNeed[],
  starts: readonly number[],
  { carriageMinor, carriagePaidFromMinor, minimumOrderMinor }: SupplierTerms,
  { orderCostMinor, holdingPercent }: { orderCostMinor: number; holdingPercent: number },
): number {
  let cost = 0
  for (const [k, start] of starts.entries()) {
    const own = needs.slice(start, starts[k + 1] ?? needs.length)
    const goods = own.reduce((sum, { amount }) => sum + amount, 0)
    if (goods > 0 && goods < minimumOrderMinor && starts.length > 1) return Number.POSITIVE_INFINITY
    cost += orderCostMinor
    if (carriagePaidFromMinor === null || goods < carriagePaidFromMinor) cost += goods === 0 ? 0 : carriageMinor
    for (const { on, valueMinor } of own)
      cost += (valueMinor * (holdingPercent / 100) * daysBetween(needs[start]!.on, on)) / 365
  }
  return cost
}

describe('one list in several orders', () => {
  it('with carriage that never changes it is the problem of Wagner and Whitin, and no other way to order is cheaper', () => {
    let parted = 0
    fc.assert(
      fc.property(needsDrawn, settingsDrawn, fc.nat(3000), (drawn, settings, carriageMinor) => {
        const needs = drawn.map((need) => ({ ...need, amount: need.amount + 1, valueMinor: need.valueMinor + 1 }))
        const found = lotsCheapest(needs, terms({ carriageMinor }), settings)
        const aDay = settings.holdingPercent / 100 / 365
        const problem = {
          demand: needs.map(({ valueMinor }) => valueMinor),
          setup: settings.orderCostMinor + carriageMinor,
          holding: needs.map(({ on }, at) => aDay * daysBetween(on, needs[at + 1]?.on ?? on)),
        }
        expect(found.costMinor).toBeCloseTo(wagnerWhitin(problem).cost, 6)
        expect(found.costMinor).toBeLessThanOrEqual(silverMeal(problem).cost + 1e-6)
        parted += Number(found.starts.length > 1)
        if (needs.length > 6) return
        const all = bestOfAll(needs, (lots) =>
          [...lots].reduce(
            (sum, [lot, own]) =>
              sum +
              problem.setup +
              own.reduce((tied, { on, valueMinor }) => tied + aDay * valueMinor * daysBetween(needs[lot]!.on, on), 0),
            0,
          ),
        )
        expect(found.costMinor).toBeCloseTo(all, 6)
      }),
      { numRuns: 150, seed: 11 },
    )
    expect(parted).toBeGreaterThan(30)
  })

  it('with thresholds and least orders it is the cheapest of all ways to cut the list, never dearer than all at once', () => {
    let [parted, kept] = [0, 0]
    fc.assert(
      fc.property(needsDrawn, settingsDrawn, termsDrawn, (needs, settings, asked) => {
        const { starts, costMinor, onceMinor } = lotsCheapest(needs, asked, settings)
        let least = Number.POSITIVE_INFINITY
        for (let mask = 0; mask < 2 ** (needs.length - 1); mask++) {
          const cuts = needs.map((_, at) => at).filter((at) => at === 0 || (mask >> (at - 1)) & 1)
          least = Math.min(least, costOfCuts(needs, cuts, asked, settings))
        }
        expect(costMinor).toBeCloseTo(least, 6)
        expect(costOfCuts(needs, starts, asked, settings)).toBeCloseTo(costMinor, 6)
        expect(onceMinor).toBeCloseTo(costOfCuts(needs, [0], asked, settings), 6)
        expect(costMinor).toBeLessThanOrEqual(onceMinor + 1e-6)
        if (needs.length > 1) starts.length > 1 ? parted++ : kept++
      }),
      { numRuns: 300, seed: 12 },
    )
    expect(Math.min(parted, kept)).toBeGreaterThan(30)
  })

  it('everything is ordered once, on an order day of the supplier, and there by the day it is needed where it still can be', () => {
    let parted = 0
    const linesDrawn = fc.array(
      fc.record({ neededIn: fc.nat(110), leadDays: fc.nat(20), costMinor: fc.integer({ min: 1, max: 90_000 }) }),
      { minLength: 1, maxLength: 9 },
    )
    const orderDaysDrawn = fc.uniqueArray(fc.integer({ min: 1, max: 7 }), { maxLength: 3 })
    fc.assert(
      fc.property(linesDrawn, orderDaysDrawn, settingsDrawn, termsDrawn, (drawn, orderDays, settings, asked) => {
        const nextOrderOn = orderDayNext(TODAY, orderDays)
        const bought = drawn.map(({ neededIn, leadDays, costMinor }, at) => {
          const neededOn = daysAdd(TODAY, neededIn)
          return line(at + 1, costMinor, orderLastDay(neededOn, leadDays, weekdayNames(orderDays)), neededOn)
        })
        const group = buyGroup(supplier(asked, nextOrderOn), bought)
        const found = orderLots(group, settings)
        if (found === null) return
        parted += Number(found.lots.length > 1)
        expect(found.lots.flatMap(({ lines }) => lines.map(({ part }) => part.partId)).sort((a, b) => a - b)).toEqual(
          drawn.map((_, at) => at + 1),
        )
        expect(found.lots.reduce((sum, { goodsMinor }) => sum + goodsMinor, 0)).toBe(group.goodsMinor)
        for (const { on, lines, neededOn, missingMinor } of found.lots) {
          if (found.lots.length > 1) expect(missingMinor).toBe(0)
          expect(on >= nextOrderOn).toBe(true)
          expect(orderDays.length === 0 || orderDays.includes(weekdayOf(on))).toBe(true)
          for (const { part } of lines) {
            const { leadDays } = drawn[part.partId - 1]!
            expect(part.neededOn >= neededOn).toBe(true)
            // Late is only what could not come in time today.
            expect(daysAdd(on, leadDays) <= part.neededOn || on === nextOrderOn).toBe(true)
          }
        }
      }),
      { numRuns: 300, seed: 13 },
    )
    expect(parted).toBeGreaterThan(30)
  })
})

describe('what is said of it', () => {
  const settings = { orderCostMinor: 500, holdingPercent: 30 }
  const lines = [
    line(1, 81_200, '2026-12-02'),
    line(2, 40_000, '2027-01-04', '2027-01-18'),
    line(3, 24_000, '2027-01-04'),
  ]

  it('in two orders, by when each is placed, and what it saves: 640 for 33 days at 30 % a year are 17.36, an order 5.00', () => {
    const found = orderLots(buyGroup(supplier(), lines), settings)!
    expect(found).toMatchObject({ savingMinor: 1235, tiedMinor: 1736 })
    expect(lotsSays(found, TODAY, 'GBP')).toBe(
      'In 2 orders £12 cheaper than all at once: £812 by 2 Dec 2026, the rest (£640, needed from 18 Jan 2027) by 4 Jan 2027.',
    )
    expect(lotsSays(found, '2026-12-02', 'GBP')).toContain(': £812 today, the rest')
    // 12.36 less the carriage that only the second order has.
    const second = { carriageMinor: 950, carriagePaidFromMinor: 80_000 }
    expect(lotsSays(orderLots(buyGroup(supplier(second), lines), settings)!, TODAY, 'GBP')).toBe(
      'In 2 orders £2 cheaper than all at once: £812 by 2 Dec 2026, the rest (£640 and £9.50 carriage, needed from 18 Jan 2027) by 4 Jan 2027.',
    )
  })

  it('carriage that only the whole order does without, or a least order, keeps it in one', () => {
    const free = { carriageMinor: 900, carriagePaidFromMinor: 100_000 }
    const once = orderLots(buyGroup(supplier(free), lines), settings)!
    expect(lotsSays(once, TODAY, 'GBP')).toBe(
      'All at once is cheapest: money tied up in what could be ordered later costs £17.36.',
    )
    expect(once.lots.map((lot) => lot.lines.length)).toEqual([3])
    // From 600 both orders do without it.
    const lower = { ...free, carriagePaidFromMinor: 60_000 }
    expect(orderLots(buyGroup(supplier(lower), lines), settings)!.lots).toHaveLength(2)
    expect(orderLots(buyGroup(supplier({ minimumOrderMinor: 64_001 }), lines), settings)!.lots).toHaveLength(1)
    // Nothing is weighed where the whole of it is too small, or due by one day.
    expect(orderLots(buyGroup(supplier({ minimumOrderMinor: 200_000 }), lines), settings)).toBeNull()
    expect(orderLots(buyGroup(supplier(), lines.slice(1)), settings)).toBeNull()
  })

  it('what is late goes with the next order day, in one order with what is due then', () => {
    const late = [line(1, 81_200, '2026-11-20'), line(2, 1_000, '2026-11-30'), line(3, 64_000, '2027-01-04')]
    const found = orderLots(buyGroup(supplier({}, '2026-11-30'), late), settings)!
    expect(found.lots.map(({ on, lines: own }) => [on, own.map(({ part }) => part.partId)])).toEqual([
      ['2026-11-30', [1, 2]],
      ['2027-01-04', [3]],
    ])
  })

  it('the file names the day of each line, and its costs stay those of all at once', () => {
    const groups = [buyGroup(supplier({ carriageMinor: 300 }), lines)]
    const rows = csvCells(winterCsv(groups, { absent: [], lots: listLots(groups, settings) }, 'GBP'))
    expect(rows.map((row) => [row.order_by, row.cheapest_order_by, row.cost])).toEqual([
      ['2026-12-02', '2026-12-02', '812.00'],
      ['2026-12-02', '2027-01-04', '400.00'],
      ['2026-12-02', '2027-01-04', '240.00'],
      ['2026-12-02', '', '3.00'],
    ])
  })

  it('what is pressed and what is left are the whole list; what has no need to be left is not', () => {
    const parted = buyGroup(supplier({ carriageMinor: 300 }), lines)
    const small = buyGroup({ ...supplier({ minimumOrderMinor: 5_000 }), id: 2 }, [line(4, 1_000, '2026-12-02')])
    const plain = buyGroup({ ...supplier(), id: 3 }, [line(5, 7_000, '2026-12-02')])
    const groups = [parted, small, plain]
    const all = new Set([1, 2, 3])
    const press = pressOf(groups, listLots(groups, settings), { later: all, firstOnly: all })
    expect(press.groups.map(({ lines: own }) => own.map(({ part }) => part.partId))).toEqual([[1], [5]])
    expect(press.groups[0]).toMatchObject({ goodsMinor: 81_200, carriageMinor: 300 })
    expect(press.leftMinor).toBe(64_000 + 300 + 1_000)
    const none = new Set<number>()
    expect(pressOf(groups, listLots(groups, settings), { later: none, firstOnly: none })).toEqual({
      groups,
      leftMinor: 0,
    })
  })
})
