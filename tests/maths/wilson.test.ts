import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { wilsonInterval } from '../../lib/maths/wilson.ts'

describe('how sure a share is', () => {
  // Newcombe, Statistics in Medicine 17 (1998) 857-872, Table I, method 3 (values from memory, recomputed).
  test.each([
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ])('%i of %i lies between %f and %f', (hits, trials, lower, upper) => {
    const interval = wilsonInterval(hits, trials)
    expect(Math.abs(interval.lower - lower)).toBeLessThanOrEqual(6e-5)
    expect(Math.abs(interval.upper - upper)).toBeLessThanOrEqual(6e-5)
  })

  test('the interval holds the share, and more of the same makes it narrower', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 400 }), fc.nat({ max: 400 }), (trials, at) => {
        const hits = at % (trials + 1)
        const { lower, upper } = wilsonInterval(hits, trials)
        expect(lower).toBeLessThanOrEqual(hits / trials)
        expect(upper).toBeGreaterThanOrEqual(hits / trials)
        expect(lower).toBeGreaterThanOrEqual(0)
        expect(upper).toBeLessThanOrEqual(1)
        const more = wilsonInterval(hits * 4, trials * 4)
        expect(more.upper - more.lower).toBeLessThan(upper - lower)
      }),
    )
  })

  test('says nothing of what was never tried, and refuses a count that is none', () => {
    expect(wilsonInterval(0, 0)).toEqual({ lower: 0, upper: 1 })
    for (const [hits, trials] of [
      [2, 1],
      [-1, 5],
      [0.5, 2],
    ] as const)
      expect(() => wilsonInterval(hits, trials)).toThrow(RangeError)
  })
})
