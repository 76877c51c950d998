import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Levels, levelMoney, stepLimit } from '../../lib/replenish/step-limit.ts'

const TWICE = { times: 2, least: 1, grid: 1 }
const pair = (reorderPoint: number, orderUpTo: number): Levels => ({ reorderPoint, orderUpTo })

// Limits on one step: common practice, no source. Worked by hand.
describe('one step towards a reckoned level', () => {
  test('goes at most to twice, or to half', () => {
    expect(stepLimit(pair(2, 4), pair(9, 20), TWICE)).toEqual(pair(4, 8))
    expect(stepLimit(pair(9, 20), pair(2, 4), TWICE)).toEqual(pair(5, 10))
  })

  test('is not limited where there was no level, nor where it is small enough', () => {
    expect(stepLimit(null, pair(9, 20), TWICE)).toEqual(pair(9, 20))
    expect(stepLimit(pair(5, 10), pair(7, 14), TWICE)).toEqual(pair(7, 14))
  })

  test('may always go by one job’s worth: from none kept, and out of small numbers', () => {
    expect(stepLimit(pair(0, 1), pair(6, 8), { times: 2, least: 2, grid: 2 })).toEqual(pair(2, 3))
    expect(stepLimit(pair(1, 2), pair(0, 1), TWICE)).toEqual(pair(0, 1))
  })

  const number = fc.nat({ max: 100_000 })
  const levels = fc.tuple(number, fc.integer({ min: 1, max: 50_000 })).map(([low, more]) => pair(low, low + more))
  const limits = fc.record({
    times: fc.double({ min: 1.1, max: 100, noNaN: true }),
    least: fc.integer({ min: 1, max: 50 }),
    grid: fc.constantFrom(1, 2, 4, 10, 100),
  })

  test('never leaves the levels crossed, below nothing or no number, and goes no further than both ends allow', () => {
    fc.assert(
      fc.property(levels, levels, limits, (before, wanted, limit) => {
        const { reorderPoint, orderUpTo } = stepLimit(before, wanted, limit)
        expect(Number.isInteger(reorderPoint) && reorderPoint >= 0).toBe(true)
        expect(Number.isInteger(orderUpTo) && orderUpTo > reorderPoint).toBe(true)
        const reach = (from: number) => Math.max(from * limit.times, from + Math.max(limit.least, limit.grid))
        expect(reorderPoint).toBeLessThanOrEqual(reach(before.reorderPoint))
        expect(orderUpTo).toBeLessThanOrEqual(Math.max(reach(before.orderUpTo), limit.grid))
      }),
    )
  })

  test('repeated, comes to the level that was reckoned', () => {
    fc.assert(
      fc.property(levels, levels, limits, (before, wanted, { times, least }) => {
        let now = before
        for (let step = 0; step < 200_000 && now.orderUpTo !== wanted.orderUpTo; step++)
          now = stepLimit(now, wanted, { times: Math.max(1.5, times), least, grid: 1 })
        for (let step = 0; step < 60; step++)
          now = stepLimit(now, wanted, { times: Math.max(1.5, times), least, grid: 1 })
        expect(now).toEqual(wanted)
      }),
      { numRuns: 50 },
    )
  })
})

// Mean of an (s, S) position, worked by hand: from (2 + 6) / 2 = 4 to (3 + 11) / 2 = 7 pieces at 2.50.
test('a higher level binds the price of what lies there more on average, a lower one frees it', () => {
  expect(levelMoney(pair(2, 6), pair(3, 11), 250, 1)).toBe(750)
  expect(levelMoney(pair(3, 11), pair(2, 6), 250, 1)).toBe(-750)
  expect(levelMoney(null, pair(2000, 6000), 250, 1000)).toBe(1000)
})
