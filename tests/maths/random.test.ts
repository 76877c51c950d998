import { describe, expect, it } from 'vitest'
import {
  randomExponential,
  randomInteger,
  randomNormal,
  randomPick,
  randomPoisson,
  randomSeeded,
  randomShuffle,
  randomWeibull,
  xoshiro128,
} from '../../lib/maths/random.ts'

const MANY = 40_000
const sample = (draw: () => number, count = MANY) => Array.from({ length: count }, draw)
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
const variance = (values: readonly number[]) => {
  const middle = mean(values)
  return mean(values.map((value) => (value - middle) ** 2))
}

describe('the generator', () => {
  // First outputs of the reference C program xoshiro128starstar.c (Blackman and Vigna) from the state 1, 2, 3, 4, as the
  // test of the Rust crate rand_xoshiro prints them.
  it('answers what the published program answers from the state 1, 2, 3, 4', () => {
    const next = xoshiro128([1, 2, 3, 4])
    const published = [
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]
    expect(published.map(() => next())).toEqual(published)
  })

  it('refuses a state of zeros', () => {
    expect(() => xoshiro128([0, 0, 0, 0])).toThrow(RangeError)
  })

  it('gives the same numbers for the same seed and others for a seed one letter away', () => {
    const first = sample(randomSeeded('orchard-1'), 50)
    expect(sample(randomSeeded('orchard-1'), 50)).toEqual(first)
    expect(sample(randomSeeded('orchard-2'), 50).filter((value) => first.includes(value))).toEqual([])
  })
})

// Means and variances of the distributions: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6 (from memory).
// Each bound is about five standard errors of the sample mean.
describe('the distributions', () => {
  it('spreads uniform numbers evenly over [0, 1)', () => {
    const values = sample(randomSeeded('uniform'))
    expect(Math.min(...values.slice(0, 10_000))).toBeGreaterThanOrEqual(0)
    expect(Math.max(...values.slice(0, 10_000))).toBeLessThan(1)
    expect(mean(values)).toBeCloseTo(0.5, 1.9)
    const tenths = Array.from({ length: 10 }, (_, tenth) => values.filter((v) => Math.floor(v * 10) === tenth).length)
    // Chi squared with 9 degrees of freedom: 27.88 is exceeded once in a thousand (table value, from memory).
    const expected = MANY / 10
    expect(tenths.reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0)).toBeLessThan(27.88)
  })

  it('throws a die without favour and reaches both ends', () => {
    const random = randomSeeded('die')
    const throws = sample(() => randomInteger(random, 1, 6))
    expect(mean(throws)).toBeCloseTo(3.5, 1)
    expect(new Set(throws)).toEqual(new Set([1, 2, 3, 4, 5, 6]))
    expect(() => randomInteger(random, 3, 2)).toThrow(RangeError)
  })

  it('has the exponential mean and variance (mean squared)', () => {
    const random = randomSeeded('exponential')
    const values = sample(() => randomExponential(random, 7))
    expect(Math.abs(mean(values) - 7)).toBeLessThan(0.18)
    expect(Math.abs(variance(values) - 49)).toBeLessThan(4)
  })

  it('has 63.2 % of Weibull lives over at the characteristic life, whatever the shape', () => {
    for (const shape of [0.8, 1, 1.7, 3.5]) {
      const random = randomSeeded(`weibull-${shape}`)
      const over = sample(() => randomWeibull(random, 250, shape)).filter((life) => life <= 250).length / MANY
      expect(Math.abs(over - (1 - Math.exp(-1)))).toBeLessThan(0.012)
    }
  })

  it('has Poisson counts with variance equal to the mean, small and large', () => {
    for (const rate of [0.4, 6, 90]) {
      const random = randomSeeded(`poisson-${rate}`)
      const values = sample(() => randomPoisson(random, rate))
      expect(Math.abs(mean(values) - rate)).toBeLessThan(5 * Math.sqrt(rate / MANY))
      expect(Math.abs(variance(values) / rate - 1)).toBeLessThan(0.06)
    }
    expect(randomPoisson(randomSeeded('none'), 0)).toBe(0)
  })

  it('has normal values with mean, deviation and 95.45 % within two deviations', () => {
    const random = randomSeeded('normal')
    const values = sample(() => randomNormal(random, 12, 3))
    expect(Math.abs(mean(values) - 12)).toBeLessThan(0.075)
    expect(Math.abs(Math.sqrt(variance(values)) - 3)).toBeLessThan(0.06)
    expect(Math.abs(values.filter((v) => Math.abs(v - 12) <= 6).length / MANY - 0.9545)).toBeLessThan(0.006)
  })

  it('shuffles every card into every place equally often and leaves the pack handed in alone', () => {
    const random = randomSeeded('cards')
    const pack = Object.freeze(['a', 'b', 'c', 'd'])
    const firstPlace = sample(() => 'abcd'.indexOf(randomShuffle(random, pack)[0]!))
    for (const card of [0, 1, 2, 3])
      expect(Math.abs(firstPlace.filter((at) => at === card).length / MANY - 0.25)).toBeLessThan(0.012)
    expect([...randomShuffle(random, pack)].sort()).toEqual([...pack])
    expect(() => randomPick(random, [])).toThrow(RangeError)
  })
})
