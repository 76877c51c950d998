import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { type BacktestRow, backtest } from '../../lib/demand/backtest.ts'
import { USUAL_METHODS } from '../../lib/demand/method.ts'
import { stockRun } from '../../lib/demand/stock-run.ts'
import { DEMAND_SETS, demandSetRead } from '../eval/demand-sets.ts'
import { csvCells } from '../support/csv-cells.ts'
import { needReference } from '../support/reference.ts'

const byName = (name: string) => USUAL_METHODS.find((method) => method.name === name)!

const COLUMNS = {
  fill: 'fill',
  cycle: 'cycle',
  claimedFill: 'claimed_fill',
  claimedCycle: 'claimed_cycle',
  stock: 'stock',
  value: 'value',
  orders: 'orders_per_year',
} as const satisfies Partial<Record<keyof BacktestRow, string>>

// Simulated by two other programs over the same real demand (demand/README.md of the reference): benchmark-all.csv has four or
// five digits, and its bootstrap breaks ties of a rounding error the other way now and then.
test('the shelf run over real demand gives the service, stock and orders of the reference', (context) => {
  const published = csvCells(readFileSync(needReference(context, 'demand/expected/benchmark-all.csv'), 'utf8'))
  const pathOf = (name: string) => needReference(context, name)
  for (const [set, method, mode, start, kind, target] of [
    ['carparts', 'normal', 'rolling', 'steady', 'fill', 0.9],
    ['carparts', 'negbin-sba', 'rolling', 'full', 'cycle', 0.95],
    ['carparts', 'bootstrap', 'fixed', 'steady', 'cycle', 0.9],
    ['aircraft', 'poisson-sba', 'fixed', 'full', 'fill', 0.95],
    ['aircraft', 'normal', 'rolling', 'steady', 'cycle', 0.99],
    ['refinery', 'negbin-sba', 'rolling', 'steady', 'fill', 0.9],
    ['refinery', 'bootstrap', 'fixed', 'full', 'cycle', 0.98],
  ] as const) {
    const name = [set, method, mode, start, kind, target].join(' ')
    const [row] = backtest(byName(method), {
      parts: demandSetRead(set, pathOf),
      trainPeriods: DEMAND_SETS[set].train,
      leadPeriods: 1,
      reviewPeriods: 1,
      kind,
      targets: [target],
      mode,
      start,
      isSpread: false,
    })
    const expected = published.find(
      (one) =>
        ['set', 'method', 'mode', 'start', 'kind'].every(
          (column, at) => one[column] === [set, method, mode, start, kind][at],
        ) &&
        one.lead === '1' &&
        Number(one.target) === target,
    )!
    for (const [ours, theirs] of Object.entries(COLUMNS)) {
      const value = row![ours as keyof typeof COLUMNS]
      if (expected[theirs] === '') expect([name, theirs, value]).toEqual([name, theirs, null])
      else {
        const off = Math.abs(value! - Number(expected[theirs]))
        expect([name, theirs, value, expected[theirs], off <= 2e-4 * Math.max(1, value!)]).toEqual([
          name,
          theirs,
          value,
          expected[theirs],
          true,
        ])
      }
    }
  }
})

describe('the shelf, run by hand', () => {
  const run = { from: 2, leadPeriods: 1, reviewPeriods: 1, start: 'full' } as const

  // Level 3, lead time one period. Period 2 takes 2 of 3; the 2 ordered at its end are there at the start of period 4. Period 3
  // wants 2 and finds 1; in period 4 one of the 2 goes to who waited.
  test('goods ordered at the end of a period are there after the lead time, and who waits is served first', () => {
    expect(stockRun({ ...run, quantities: [9, 9, 2, 2, 0], levelAt: () => 3 })).toEqual({
      wanted: 4,
      served: 3,
      periods: 3,
      periodsMet: 2,
      periodsEmpty: 1,
      onHand: 1 + 0 + 1,
      waiting: 1,
      orders: 2,
    })
  })

  test('a shelf that was at work before begins with what it had then', () => {
    // Three pieces were taken in the two periods before: they are on order, so nothing is on the shelf.
    const steady = stockRun({ ...run, start: 'steady', quantities: [0, 0, 0, 1, 2, 1], from: 5, levelAt: () => 3 })
    expect(steady.served).toBe(1)
    expect(steady.waiting).toBe(0)
    const full = stockRun({ ...run, quantities: [0, 0, 0, 1, 2, 1], from: 5, levelAt: () => 3 })
    expect(full.onHand - steady.onHand).toBe(2)
  })

  test('what was looked at every second period waits for the look', () => {
    const seldom = stockRun({ ...run, reviewPeriods: 2, quantities: [0, 0, 1, 0, 1, 0, 1, 0], levelAt: () => 4 })
    expect(seldom.orders).toBe(3)
    expect(stockRun({ ...run, quantities: [0, 0, 1, 1, 1, 1, 1, 1], levelAt: () => 4 }).orders).toBe(6)
  })

  test('a level that falls orders nothing until the position is below it', () => {
    const falling = stockRun({ ...run, quantities: [0, 0, 1, 1, 1], levelAt: (at) => (at < 2 ? 5 : 2) })
    expect(falling.orders).toBe(0)
    expect(falling.onHand).toBe(4 + 3 + 2)
  })
})

test('histories of different lengths, or none left to judge, are refused', () => {
  const part = (quantities: number[]) => ({ id: 'a', quantities, price: null })
  const input = {
    trainPeriods: 2,
    leadPeriods: 1,
    reviewPeriods: 1,
    kind: 'fill',
    targets: [0.9],
    mode: 'rolling',
    start: 'steady',
    isSpread: false,
  } as const
  expect(() => backtest(byName('normal'), { ...input, parts: [part([1, 2, 3]), part([1, 2])] })).toThrow('same periods')
  expect(() => backtest(byName('normal'), { ...input, parts: [part([1, 2])] })).toThrow('nothing of 2 to judge')
})
