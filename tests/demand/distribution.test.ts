import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  betaBinomial,
  compoundCounts,
  compoundNegativeBinomial,
  compoundPoisson,
  type Distribution,
  empirical,
  empiricalTotal,
  gamma,
  gammaMoments,
  negativeBinomial,
  negativeBinomialMean,
  negativeBinomialMoments,
  normal,
  poisson,
  stuttering,
} from '../../lib/demand/distribution.ts'
import { apart, distributionRows } from '../support/distribution-rows.ts'
import { needReference } from '../support/reference.ts'

// R 4.2.2, each value checked there with 80 digits: far tails are in the file on purpose.
test('every probability, tail, quantile and loss agrees with R and 80 digits to 1e-9', (context) => {
  const rows = distributionRows(needReference(context, 'distributions.csv'))
  expect(rows.length).toBeGreaterThan(3000)
  expect(rows.filter((row) => !(row.apart <= 1e-9))).toEqual([])
})

/** One of the families, with parameters from next to nothing to a million. */
const mean = fc.oneof(
  fc.double({ min: 1e-6, max: 40, noNaN: true }),
  fc.constantFrom(0, 1e-9, 0.5, 1, 7, 90, 1500, 1e6),
)
const shape = fc.oneof(fc.double({ min: 0.02, max: 30, noNaN: true }), fc.constantFrom(1e-6, 1e-4, 0.01, 1, 1e4, 1e12))
const sizes = fc
  .array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 8 })
  .filter((chances) => chances.some((chance) => chance > 0))
const whole: fc.Arbitrary<Distribution> = fc.oneof(
  mean.map(poisson),
  fc.tuple(shape, mean).map(([r, m]) => negativeBinomialMean(r, m)),
  fc.tuple(mean, fc.double({ min: 0, max: 1e6, noNaN: true })).map(([m, v]) => negativeBinomialMoments(m, v)),
  fc.tuple(mean, fc.double({ min: 0, max: 0.95, noNaN: true })).map(([m, rho]) => stuttering(m, rho)),
  fc.tuple(mean, sizes).map(([m, chances]) => compoundPoisson(m, chances)),
  fc
    .tuple(fc.double({ min: 0.05, max: 30, noNaN: true }), mean, sizes)
    .map(([r, m, chances]) => compoundNegativeBinomial(r, m, chances)),
  fc.array(fc.integer({ min: 0, max: 300 }), { minLength: 1, maxLength: 30 }).map((seen) => empirical(seen)),
  fc
    .tuple(fc.integer({ min: 0, max: 30 }), fc.double({ min: 0.1, max: 20, noNaN: true }))
    .map(([n, a]) => betaBinomial(n, a, 2.5)),
)
const poured: fc.Arbitrary<Distribution> = fc.oneof(
  fc.tuple(shape, fc.double({ min: 1e-3, max: 1e3, noNaN: true })).map(([k, rate]) => gamma(k, rate)),
  // A variance of up to a million means: beyond it the tail is a difference of numbers next to one (lib/demand/gamma.ts).
  fc.tuple(mean, fc.double({ min: 0, max: 1e6, noNaN: true })).map(([m, v]) => gammaMoments(m, v * m)),
  fc.tuple(mean, fc.double({ min: 0, max: 1e3, noNaN: true })).map(([m, s]) => normal(m, s)),
)
const chance = fc.oneof(
  fc.double({ min: 0.001, max: 0.999, noNaN: true }),
  fc.constantFrom(1e-9, 0.9, 0.95, 0.99, 0.9999, 1 - 1e-9),
)
const amount = fc.oneof(fc.integer({ min: 0, max: 60 }), fc.constantFrom(0, 500, 20_000, 1_000_000))

describe('every distribution of demand', () => {
  test('answers a number whatever it is asked, and more on the shelf never makes more shortage', () => {
    fc.assert(
      fc.property(fc.oneof(whole, poured), amount, fc.double({ min: 0, max: 50, noNaN: true }), (of, x, more) => {
        for (const answer of [of.cdf(x), of.upper(x)]) {
          expect(answer).toBeGreaterThanOrEqual(0)
          expect(answer).toBeLessThanOrEqual(1 + 1e-12)
        }
        expect(of.pmf(x)).toBeGreaterThanOrEqual(0)
        expect(of.cdf(x) + of.upper(x)).toBeCloseTo(1, 9)
        expect(of.cdf(x + more)).toBeGreaterThanOrEqual(of.cdf(x) - 1e-12)
        expect(of.upper(x + more)).toBeLessThanOrEqual(of.upper(x) * (1 + 1e-9) + 1e-12)
        expect(of.loss(x)).toBeGreaterThanOrEqual(0)
        expect(of.loss(x + more)).toBeLessThanOrEqual(of.loss(x) * (1 + 1e-9) + 1e-12)
        // What is short is at least what the mean lacks.
        expect(of.loss(x)).toBeGreaterThanOrEqual((of.mean - x) * (1 - 1e-9) - 1e-9)
      }),
      { numRuns: 400 },
    )
  })

  test('answers far out, where chances are smaller than a double can say', () => {
    // Batches of 1, 3 or 4, chance of another one 10 in 11: at 20,000 pieces the tail is about 1e-320.
    const far = compoundNegativeBinomial(0.05, 0.5, [0, 1, 0, 1, 1])
    for (const k of [500, 20_000, 60_000]) {
      expect(far.upper(k)).toBeLessThan(1e-6)
      expect(far.loss(k)).toBeLessThan(1e-4)
    }
    expect(far.upper(500)).toBeGreaterThan(0)
  })

  test('has as quantile the smallest amount that is enough', () => {
    fc.assert(
      fc.property(whole, chance, (of, p) => {
        const level = of.quantile(p)
        expect(Number.isInteger(level)).toBe(true)
        expect(of.cdf(level)).toBeGreaterThanOrEqual(p - 1e-12)
        if (level > 0) expect(of.upper(level - 1)).toBeGreaterThan((1 - p) * (1 - 1e-9) - 1e-12)
      }),
      { numRuns: 400 },
    )
    fc.assert(
      fc.property(poured, chance, (of, p) => {
        const level = of.quantile(p)
        // Next to no spread, or a level below the smallest double, leaves no digits to compare.
        if (of.variance > 1e-12 * (1 + of.mean ** 2) && level > 1e-290) expect(of.cdf(level)).toBeCloseTo(p, 7)
      }),
    )
  })

  test('loses by one piece less what the chance of a larger demand says: E(D - x)+ is the sum of P(D > k) from x on', () => {
    fc.assert(
      fc.property(whole, fc.integer({ min: 0, max: 400 }), (of, x) => {
        let sum = 0
        for (let k = x; k < x + 20; k++) sum += of.upper(k)
        expect(of.loss(x) - of.loss(x + 20)).toBeCloseTo(sum, 6)
        expect(of.loss(x + 0.25)).toBeCloseTo(0.75 * of.loss(x) + 0.25 * of.loss(x + 1), 6)
        expect(of.loss(0)).toBeCloseTo(of.mean, 6)
      }),
      { numRuns: 300 },
    )
  })

  test('has the mean and variance it says', () => {
    for (const of of [
      poisson(3.5),
      negativeBinomial(0.7, 0.2),
      negativeBinomialMoments(4, 9),
      stuttering(1.5, 0.4),
      compoundPoisson(2, [0.5, 0.2, 0, 0.3]),
      compoundNegativeBinomial(0.8, 1.7, [3, 1, 0, 2]),
      betaBinomial(12, 2, 3),
      empiricalTotal([0, 0, 3, 1, 7], 3),
    ]) {
      let first = 0
      let second = 0
      for (let k = 0; k < 400; k++) {
        first += k * of.pmf(k)
        second += k * k * of.pmf(k)
      }
      expect([of.family, apart(first, of.mean) < 1e-9]).toEqual([of.family, true])
      expect([of.family, apart(second - first * first, of.variance) < 1e-9]).toEqual([of.family, true])
    }
  })
})

describe('families that stand for one another', () => {
  // Stuttering Poisson is compound Poisson with geometric sizes; both are reckoned by other means.
  test('a Poisson number of orders that is listed order by order is compound Poisson', () => {
    const sizes = [0.5, 0.2, 0, 0.3]
    const orders = Array.from({ length: 40 }, (_, count) => poisson(1.4).pmf(count))
    const [listed, compound] = [compoundCounts(orders, sizes), compoundPoisson(1.4, sizes)]
    expect(listed.variance).toBeCloseTo(compound.variance, 10)
    for (const k of [0, 1, 4, 9, 17]) {
      expect(apart(listed.pmf(k), compound.pmf(k))).toBeLessThan(1e-12)
      expect(apart(listed.loss(k), compound.loss(k))).toBeLessThan(1e-9)
    }
    expect(compoundCounts([0.25, 0.5, 0.25], [1]).pmf(1)).toBe(0.5)
  })

  test('stuttering demand is compound demand of geometric sizes', () => {
    const geometric = Array.from({ length: 200 }, (_, at) => 0.6 * 0.4 ** at)
    const [one, other] = [stuttering(2.3, 0.4), compoundPoisson(2.3, geometric)]
    for (const k of [0, 1, 5, 17, 40]) expect(apart(one.pmf(k), other.pmf(k))).toBeLessThan(1e-12)
  })

  // Quenouille, Biometrics 5 (1949): Poisson orders of logarithmic sizes are negative binomial.
  test('Poisson orders of logarithmic sizes are negative binomial', () => {
    const q = 0.35
    const r = 1.4
    const sizesLog = Array.from({ length: 120 }, (_, at) => q ** (at + 1) / (at + 1) / -Math.log(1 - q))
    const [one, other] = [compoundPoisson(-r * Math.log(1 - q), sizesLog), negativeBinomial(r, 1 - q)]
    for (const k of [0, 1, 4, 9, 25]) expect(apart(one.pmf(k), other.pmf(k))).toBeLessThan(1e-12)
    expect(apart(one.loss(8), other.loss(8))).toBeLessThan(1e-10)
  })

  test('pieces that are always taken in pairs leave no odd demand', () => {
    const pairs = compoundNegativeBinomial(0.9, 2, [0, 1])
    const singles = negativeBinomialMean(0.9, 2)
    expect(pairs.pmf(3)).toBe(0)
    expect(apart(pairs.pmf(6), singles.pmf(3))).toBeLessThan(1e-13)
    expect(pairs.quantile(0.95)).toBe(2 * singles.quantile(0.95))
  })

  test('two months drawn from history are every pair of past months', () => {
    const seen = [0, 0, 2, 5]
    const total = empiricalTotal(seen, 2)
    const pairs = seen.flatMap((one) => seen.map((other) => one + other))
    for (const x of [0, 1, 2, 4, 5, 7, 10]) {
      expect(total.cdf(x)).toBeCloseTo(pairs.filter((pair) => pair <= x).length / 16, 12)
      expect(total.loss(x)).toBeCloseTo(pairs.reduce((sum, pair) => sum + Math.max(0, pair - x), 0) / 16, 12)
    }
  })

  test('very many orders still answer, as the negative binomial of the same mean and spread', () => {
    const many = compoundPoisson(60_000, [1, 1])
    expect(apart(many.mean, 90_000)).toBeLessThan(1e-12)
    expect(many.quantile(0.95)).toBeGreaterThan(90_000)
    expect(many.loss(many.quantile(0.5))).toBeGreaterThan(0)
  })

  test('what makes no sense is refused by name', () => {
    expect(() => poisson(-1)).toThrow('poisson: the mean must be zero or more, not -1')
    expect(() => negativeBinomialMean(0, 2)).toThrow('negativeBinomial: the shape must be above zero, not 0')
    expect(() => stuttering(1, 1)).toThrow('rho')
    expect(() => empirical([])).toThrow('at least one amount')
    expect(() => poisson(Number.NaN)).toThrow('NaN')
  })
})
