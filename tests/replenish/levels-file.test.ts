import { describe, expect, test } from 'vitest'
import { type Distribution, negativeBinomialMean, poisson } from '../../lib/demand/distribution.ts'
import { type LevelsDefaults, levelsRead } from '../../lib/replenish/levels-file.ts'
import { needOf, partLevel } from '../../lib/replenish/part-level.ts'

const DEFAULTS: LevelsDefaults = { leadTime: 1, review: 0, target: 0.95, targetKind: 'fill' }
const ORDER = { orderCost: 10, holdingRate: 0.2, periodsPerYear: 12, longestYears: 2 }

/** Rows as they would stand in a file with this header. */
function read(header: string, lines: readonly string[], defaults = DEFAULTS) {
  const names = header.split(',')
  return levelsRead(
    lines.map((line, at) => ({
      row: at + 2,
      cells: Object.fromEntries(line.split(',').map((cell, column) => [names[column]!, cell])),
    })),
    defaults,
  )
}

describe('a file of past demand', () => {
  test('counts a period without a row as nothing, from the first row of the part to the end of the file', () => {
    const { parts, faults } = read('id,period,quantity', ['A,2025-11,2', 'A,2026-01,1', 'B,2026-03,4'])
    expect(faults).toEqual([])
    expect(parts.map(({ id, quantities }) => [id, quantities])).toEqual([
      ['A', [2, 0, 1, 0, 0]],
      ['B', [4]],
    ])
  })

  test('names row, column and reason of all that is wrong in one go', () => {
    const { faults } = read('id,period,quantity,target,pack,lead_time', [
      'A,2026-01,2,0.9,5,1',
      ',2026-01,2',
      'A,Jan,2',
      'A,2026-01,2',
      'A,7,2',
      'B,2026-01,-2',
      'C,2026-01,2,95,1.5',
      'A,2026-02,1,0.8',
    ])
    expect(faults.map(({ row, column, reason }) => `${row} ${column}: ${reason}`)).toEqual([
      '3 id: is empty',
      '4 period: "Jan" is neither a month such as 2026-03 nor a whole number of at most 7 digits',
      '5 period: A has this period twice',
      '6 period: months and numbers are mixed in this file',
      '7 quantity: "-2" is no number from 0',
      '8 target: "95" is not a share between 0 and 1, such as 0.95',
      '8 pack: "1.5" is not a whole number from 1',
      '9 target: A has 0.9 in row 2 and 0.8 here',
    ])
  })

  test('tells a decimal comma from a target that is none', () => {
    const { faults } = read('id,period,quantity,target,pack', ['A,1,2,0.95,.5'])
    expect(faults.map(({ column, reason }) => `${column}: ${reason}`)).toEqual([
      'pack: ".5" lacks a digit before or after its decimal point: write 0.5, or 5',
    ])
    const cells = { id: 'A', period: '1', quantity: '2', target: '0,95' }
    expect(levelsRead([{ row: 2, cells }], DEFAULTS).faults[0]?.reason).toContain('"0,95" has a comma')
  })

  test('must say a lead time, where none was given for all', () => {
    const { faults } = read('id,period,quantity', ['A,1,2'], { ...DEFAULTS, leadTime: null })
    expect(faults).toEqual([
      { row: 2, column: 'lead_time', reason: 'is empty for A; give it in the file, or for all with --lead' },
    ])
  })

  test('says once for all parts that no lead time was given, not once a part', () => {
    const lines = ['A,1,2,3', 'B,1,2,', 'C,1,1,', 'C,2,,', 'D,1,2,']
    const { faults } = read('id,period,quantity,lead_time', lines, { ...DEFAULTS, leadTime: null })
    expect(faults).toEqual([
      {
        row: 3,
        column: 'lead_time',
        reason: 'is empty for B and 2 other parts; give it in the file, or for all with --lead',
      },
      { row: 5, column: 'quantity', reason: 'is empty' },
    ])
  })

  test('a slip in a year does not make a history of centuries', () => {
    expect(read('id,period,quantity', ['A,0202-01,2', 'A,2026-01,2']).faults[0]?.column).toBe('period')
  })
})

describe('the level of a part of a file', () => {
  const part = read('id,period,quantity,price,pack,job', ['A,1,2,4,6,1', 'A,2,2']).parts[0]!

  test('takes the spread of the rate out of what a forecast says of one and of two periods', () => {
    // Negative binomial over t periods, shape 3, rate 2: variance 2 t + (2 t)^2 / 3.
    const need = needOf((periods) => negativeBinomialMean(3, 2 * periods))
    expect(need.mean).toBeCloseTo(2, 12)
    expect(need.variance).toBeCloseTo(2, 12)
    expect(need.rateVariance).toBeCloseTo(4 / 3, 12)
  })

  test('orders the economic quantity in packs, and says why in one sentence', () => {
    const { orderQuantity, orderUpTo, reorderPoint, fillRate, reason } = partLevel(part, (t) => poisson(2 * t), ORDER)
    // sqrt(2 * 10 * 24 / (0.2 * 4)) = 24.5 in packs of 6.
    expect(orderQuantity).toBe(24)
    expect(orderUpTo).toBe(reorderPoint + 24)
    expect(fillRate).toBeGreaterThanOrEqual(0.95)
    expect(reason).toMatch(
      /^Order up to \d+ when (none is|\d+ or fewer are) left: about 2 a period are used, a delivery takes 1 period, and the aim is 95 of 100 there at once; 9\d+ of 1000? are expected\.$/,
    )
  })

  test('what is taken in pairs is kept in pairs, as the same pairs counted singly are', () => {
    const rows = [0, 2, 0, 0, 4, 0, 2, 0].map((quantity, at) => [at + 1, quantity] as const)
    const of = (lines: string[], outlook: (periods: number) => Distribution) =>
      partLevel(read('id,period,quantity,set,job,review', lines).parts[0]!, outlook, ORDER)
    // Pairs as a Poisson number: twice as many pieces, four times the variance.
    const inPairs = (mean: number) => (t: number) => ({
      ...poisson(mean * t),
      mean: 2 * mean * t,
      variance: 4 * mean * t,
    })
    for (const mean of [0.1, 0.5, 2])
      for (const review of [0, 1]) {
        const pieces = of(
          rows.map(([period, quantity]) => `A,${period},${quantity},2,,${review}`),
          inPairs(mean),
        )
        const pairs = of(
          rows.map(([period, quantity]) => `A,${period},${quantity / 2},,,${review}`),
          (t) => poisson(mean * t),
        )
        expect(pieces.orderUpTo).toBe(2 * pairs.orderUpTo)
        expect(pieces.orderQuantity).toBe(2)
        expect(pieces.fillRate).toBeCloseTo(pairs.fillRate, 12)
        // One left of a pair is no pair: less than one job’s worth.
        expect(pieces.reorderPoint).toBe(Math.max(1, 2 * pairs.reorderPoint))
      }
  })

  test('a set that is none is named: what was taken, or what a job takes, does not come in it', () => {
    const fault = (...lines: string[]) =>
      read('id,period,quantity,set,job', lines).faults.map(({ row, column, reason }) => `${row} ${column}: ${reason}`)
    const why = 'which is no whole number of sets of 2; leave set empty where single ones are taken too'
    expect(fault('A,2026-01,2,2,', 'A,2026-03,3,2,')).toEqual([`2 set: 3 stand in period 2026-03, ${why}`])
    expect(fault('A,1,2,2,3')).toEqual([`2 set: a job takes 3, ${why}`])
    expect(fault('A,1,2,0,')).toEqual(['2 set: "0" is not a whole number from 1'])
    expect(fault('A,1,2,2,4')).toEqual([])
    expect(read('id,period,quantity,set', ['A,1,2,2']).parts[0]).toMatchObject({ set: 2, oneJob: 2 })
  })

  test('a part that was never used keeps one job’s worth', () => {
    const { parts } = read('id,period,quantity,job', ['A,1,0,2', 'A,2,0'])
    const { reorderPoint, orderUpTo, reason } = partLevel(parts[0]!, (t) => poisson(0 * t), ORDER)
    expect([reorderPoint, orderUpTo]).toEqual([1, 2])
    expect(reason).toContain('Nothing was used in 2 periods: one job’s worth is kept')
  })
})
