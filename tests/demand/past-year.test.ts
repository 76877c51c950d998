import { describe, expect, type TestContext, test } from 'vitest'
import { poisson } from '../../lib/demand/distribution.ts'
import { frontier, stockFor, wayChoose } from '../../lib/demand/frontier.ts'
import type { MonthUse } from '../../lib/demand/history.ts'
import type { Method } from '../../lib/demand/method.ts'
import {
  knownBefore,
  YEAR_NONE,
  type YearPart,
  yearAdd,
  yearOfLevel,
  yearOfMethod,
  yearReal,
  yearSays,
  yearUnder,
} from '../../lib/demand/past-year.ts'
import { groupChoose } from '../../lib/demand/past-year-choice.ts'
import { pastYear } from '../../lib/demand/past-year-result.ts'
import { stockRun } from '../../lib/demand/stock-run.ts'
import { randomSeeded } from '../../lib/maths/random.ts'
import { needReference, readHandbook } from '../support/reference.ts'

const monthsOf = (use: readonly number[], censored: readonly number[] = []): MonthUse[] =>
  use.map((failure, at) => ({
    month: `${2024 + Math.floor(at / 12)}-${String((at % 12) + 1).padStart(2, '0')}`,
    planned: 0,
    failure,
    other: 0,
    isCensored: censored.includes(at),
    isOutlier: false,
  }))

const none = (many: number) => Array.from({ length: many }, () => 0)

function aPart(use: readonly number[], more: Partial<YearPart> = {}): YearPart {
  return {
    id: '7',
    partClass: 'split-pin',
    months: monthsOf(use),
    exposure: null,
    price: 40,
    leadMonths: 1,
    kept: { reorderPoint: 1, orderUpTo: 3 },
    onHand: none(12),
    ...more,
  }
}

/** Foresees in every coming month what was taken in the last one, for certain. */
const LIKE_LAST_MONTH: Method = {
  name: 'like last month',
  says: '',
  outlooks: (parts) =>
    parts.map(
      ({ quantities }) =>
        (periods) =>
          poisson(1e-9 + periods * (quantities.at(-1) ?? 0)),
    ),
}

describe('the past year of one part, worked by hand', () => {
  // A reorder point of 1 and a level of 3, a month to come. On hand at the ends of the months, the order of the end of month 2
  // being there at the beginning of month 4:
  //   month     1  2  3  4  5  6  7  8  9 10 11 12
  //   wanted    1  1  0  2  0  0  0  0  4  0  0  0
  //   on hand   2  1  1  1  1  3  3  3 -1 -1  3  3
  //   ordered      2     2              4
  const use = [1, 1, 0, 2, 0, 0, 0, 0, 4, 0, 0, 0]
  const year = yearOfLevel(aPart(use), { reorderPoint: 1, orderUpTo: 3 })

  test('what is asked for, served at once and lying there at the ends of the months is counted', () => {
    expect(year).toEqual({
      parts: 1,
      wanted: 8,
      served: 7,
      periods: 12,
      periodsMet: 10,
      periodsEmpty: 2,
      pieces: 2 + 1 + 1 + 1 + 1 + 3 + 3 + 3 + 3 + 3,
      value: 21 * 40,
      orders: 3,
    })
    expect(yearSays(year)).toMatchObject({ fill: 7 / 8, cycle: 10 / 12, pieces: 21 / 12, orders: 3 })
  })

  test('without a level all of it waits, and nothing lies there', () => {
    expect(yearOfLevel(aPart(use), null)).toMatchObject({ served: 0, pieces: 0, wanted: 8, periodsEmpty: 12 })
  })

  test('is told of a level beside the one kept: pieces there at once, months with somebody waiting, orders', () => {
    const month = { leadDays: 30, withPlanned: true }
    expect(yearUnder(monthsOf(use), { reorderPoint: 1, orderUpTo: 3 }, month)).toEqual({
      wanted: 8,
      served: 7,
      monthsShort: 2,
      meanOnHand: 21 / 12,
      orders: 3,
    })
    // Four more on the shelf and the month with four wanted goes by without anybody waiting.
    expect(yearUnder(monthsOf(use), { reorderPoint: 4, orderUpTo: 7 }, month)).toMatchObject({
      served: 8,
      monthsShort: 0,
    })
    expect(yearUnder(monthsOf(none(12)), { reorderPoint: 1, orderUpTo: 3 }, month)).toBeNull()
    const planned = monthsOf(use).map((one) => ({ ...one, planned: one.failure, failure: 0 }))
    expect(yearUnder(planned, null, month)).toMatchObject({ wanted: 8, served: 0 })
    expect(yearUnder(planned, null, { ...month, withPlanned: false })).toBeNull()
  })

  test('as it really was: stock and empty months of the ledger, nobody knows who waited', () => {
    const onHand = [5, 5, 4, 4, 2, 0, 0, 6, 6, 6, 6, 6]
    expect(yearReal(aPart(use, { onHand }))).toEqual({
      ...YEAR_NONE,
      parts: 1,
      wanted: 8,
      periods: 12,
      periodsEmpty: 2,
      pieces: 50,
      value: 2000,
    })
  })

  test('two parts add up in every sum', () => {
    expect(yearAdd(year, year)).toMatchObject({ parts: 2, wanted: 16, served: 14, value: 2 * 21 * 40 })
  })
})

describe('what was known before a month', () => {
  test('is the history up to it and not a month more', () => {
    const part = aPart([9, 8, ...none(11), 7], { exposure: [1, 2, ...none(12)] })
    expect(knownBefore(part, 0)).toMatchObject({ quantities: [9, 8], exposure: [1, 2] })
    expect(knownBefore(part, 1)).toMatchObject({ quantities: [9, 8, 0], exposure: [1, 2, 0] })
  })

  test('leaves out a month in which the shelf was empty and less than usual was taken, with the hours of that month', () => {
    const months = monthsOf([2, 2, 0, 2, 2, 2, 2, 5, ...none(12)], [2, 7])
    const exposure = [11, 12, 13, 14, 15, 16, 17, 18, ...none(12)]
    expect(knownBefore(aPart([], { months, exposure }), 0)).toMatchObject({
      quantities: [2, 2, 2, 2, 2, 2, 5],
      exposure: [11, 12, 14, 15, 16, 17, 18],
    })
  })

  test('is nothing at all of a part that came in the year', () => {
    expect(knownBefore(aPart([1, 1]), 0)).toMatchObject({ quantities: [0], exposure: [0] })
    expect(knownBefore(aPart([3, 1]), 11)).toMatchObject({ quantities: [3] })
  })
})

test('levels are set anew before each month from what was known then: foresight would serve the surprise', () => {
  // Nothing for a year, then five in the sixth month: what comes for the first time waits, what comes again is there.
  const use = [...none(12), 0, 0, 0, 0, 0, 5, 5, 0, 0, 0, 0, 0]
  const [[[sum]]] = yearOfMethod(
    LIKE_LAST_MONTH,
    [aPart(use, { leadMonths: 0 })],
    [{ kind: 'cycle', targets: [0.9], isSpread: false }],
  ) as [[[ReturnType<typeof yearReal>]]]
  expect(sum).toMatchObject({ wanted: 10, served: 5, periodsMet: 11 })
})

describe('which way needs least for the same service', () => {
  const points = [
    { service: 0.8, value: 100 },
    { service: 0.9, value: 200 },
    { service: 0.85, value: 260 },
    { service: 1, value: 600 },
  ]

  test('a level that gives less for more is on no line', () => {
    expect(frontier(points).map(({ service }) => service)).toEqual([0.8, 0.9, 1])
  })

  test('between two levels the stock lies on a straight line, beyond the last there is none', () => {
    expect(stockFor(points, 0.95)).toBeCloseTo(400, 9)
    expect(stockFor(points, 0.9)).toBeCloseTo(200, 9)
    expect(stockFor(points, 0.5)).toBe(100)
    expect(stockFor(points.slice(0, 2), 0.95)).toBeNull()
  })

  test('the least stock wins, and the next best is named', () => {
    const dear = points.map(({ service, value }) => ({ service, value: 2 * value }))
    const ways = [
      { name: 'dear', points: dear },
      { name: 'cheap', points },
      { name: 'short', points: points.slice(0, 1) },
    ]
    expect(wayChoose(ways, 0.9)).toEqual({ name: 'cheap', value: 200, next: { name: 'dear', value: 400 } })
    expect(wayChoose([ways[2]!], 0.9)).toBeNull()
  })
})

describe('the past year of a whole shelf', () => {
  const busy = aPart([...Array.from({ length: 36 }, (_, at) => (at % 3 === 0 ? 2 : 1))])
  const slow = aPart([...none(20), 1, ...none(15)], { id: '8', partClass: 'bearing', kept: null })
  const steps: string[] = []
  const year = pastYear(
    { months: ['2025-01', '2025-12'], parts: [busy, slow], neverTaken: 4, notInPieces: 1 },
    (at, of) => steps.push(`${at} of ${of}`),
  )

  test('a class that was asked for little is not looked at by itself', () => {
    expect(year.groups.map((group) => group.partClass)).toEqual([null])
    expect(year.withoutLevel).toBe(1)
    expect(steps[0]).toBe('0 of 5')
  })

  test('with ten times the use each class stands by itself, and its sums are a part of the whole', () => {
    const many = { ...slow, months: monthsOf(Array.from({ length: 36 }, () => 4)) }
    const { groups } = pastYear(
      {
        months: [],
        parts: [{ ...busy, months: monthsOf(Array.from({ length: 36 }, () => 3)) }, many],
        neverTaken: 0,
        notInPieces: 0,
      },
      () => undefined,
    )
    expect(groups.map((group) => group.partClass)).toEqual([null, 'bearing', 'split-pin'])
    for (const way of groups[0]!.ways.keys())
      for (const at of groups[0]!.ways[way]!.points.keys()) {
        const [all, one, other] = groups.map((group) => group.ways[way]!.points[at]!.sum)
        expect(all).toEqual(yearAdd(one!, other!))
      }
  })

  test('the way is chosen at equal service, and of a handful of pieces no way is', () => {
    const choice = groupChoose(year.groups[0]!, 'fill', 0.9)
    // Sixteen and more pieces are asked for in the year, fewer than tell.
    expect(choice).toEqual({ why: 'too-few', wanted: 16 })
    const real = { ...year.groups[0]!.real, wanted: 200 }
    expect(groupChoose({ ...year.groups[0]!, real }, 'fill', 0.9).why).toBe('least-stock')
  })
})

describe('the shelf run over demand that comes at random', () => {
  /** Calls of one piece each in short periods, `mean` of them in a lead time of 200. */
  function calls(mean: number, periods: number): number[] {
    const dice = randomSeeded('calls')
    return Array.from({ length: periods }, () => (dice() < mean / 200 ? 1 : 0))
  }
  const LEAD = 199

  const row = (context: TestContext, id: string) =>
    readHandbook(needReference(context, 'handbook.json')).find((one) => one.id === id)!

  // Poisson table; Hopp & Spearman, Factory Physics, base stock fill rates (from memory).
  test('a base stock serves at once what the published table says', (context) => {
    const levels = [14, 15, 16, 18]
    for (const level of levels) {
      const { inputs, expected } = row(context, `base-stock-fill-${level}`)
      const quantities = calls(inputs.theta as number, 400_000)
      const run = stockRun({
        quantities,
        from: 1000,
        levelAt: () => level,
        leadPeriods: LEAD,
        reviewPeriods: 1,
        start: 'steady',
      })
      expect(Math.abs(run.served / run.wanted - (expected as number))).toBeLessThan(0.008)
    }
  })

  // Hopp & Spearman, Factory Physics, 3rd ed., section 2.4.3; they take calls as normal, which is two hundredths off at most.
  test('four at a time from a reorder point of three serve and keep what the published example says', (context) => {
    const { inputs, expected } = row(context, 'hs-jack-service-4-3')
    const { theta, Q, r } = inputs as { theta: number; Q: number; r: number }
    const { fill, on_hand: onHand } = expected as { fill: number; on_hand: number }
    const quantities = calls(theta, 1_000_000)
    const run = stockRun({
      quantities,
      from: 1000,
      levelAt: () => r + Q,
      reorderAt: () => r,
      leadPeriods: LEAD,
      reviewPeriods: 1,
      start: 'steady',
    })
    expect(Math.abs(run.served / run.wanted - fill)).toBeLessThan(0.02)
    expect(Math.abs(run.onHand / run.periods - onHand)).toBeLessThan(0.05)
  })
})
