import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { betaBinomial, negativeBinomialMean, negativeBinomialMoments, poisson } from '../../lib/demand/distribution.ts'
import { ratePriorFit, type Seen } from '../../lib/demand/rate-prior.ts'
import { digamma, trigamma } from '../../lib/maths/digamma.ts'
import { randomPoisson, randomSeeded } from '../../lib/maths/random.ts'
import { needReference, readHandbook } from '../support/reference.ts'

// Gelman and others, Bayesian Data Analysis, 3rd edition, chapter 2; Sherbrooke 2004; Palm 1938: handbook, B/statistics, B/spares.
test('the handbook has the same posterior, backorders and spares', (context) => {
  const cases = readHandbook(needReference(context, 'handbook.json'))
  const byId = (id: string) => {
    const found = cases.find((one) => one.id === id)
    if (!found) throw new Error(`the handbook has no ${id}`)
    return {
      inputs: found.inputs as Record<string, number>,
      expected: found.expected as Record<string, number> & number,
      tolerance: found.tolerance,
    }
  }
  for (const id of ['gamma-poisson-a', 'gamma-poisson-new-part']) {
    const { inputs, expected } = byId(id)
    const shape = inputs.a! + inputs.failures!
    const rate = shape / (inputs.b_hours! + inputs.exposure_hours!)
    const ahead = negativeBinomialMean(shape, rate * inputs.future_hours!)
    expect(rate).toBeCloseTo(expected.rate!, 10)
    expect(ahead.mean).toBeCloseTo(expected.mean!, 9)
    expect(ahead.pmf(0)).toBeCloseTo(expected.P0!, 8)
    expect(ahead.cdf(1)).toBeCloseTo(expected.P_le_1!, 8)
  }
  const strips = byId('beta-binomial-a')
  const { a, b, k, n, m } = strips.inputs
  const need = betaBinomial(m!, a! + k!, b! + n! - k!)
  expect([need.mean / m!, need.pmf(0), need.cdf(1)].map((value) => value.toFixed(8))).toEqual(
    [strips.expected.mean_chance!, strips.expected.P0!, strips.expected.P_le_1!].map((value) => value.toFixed(8)),
  )
  const spares = cases.filter(({ area, id }) => area === 'B/spares' && /^(ebo-\d|spares-\d)/.test(id))
  expect(spares.length).toBe(22)
  for (const { id, inputs, expected } of spares) {
    const { mean, s, m: expectedDemand, level } = inputs as Record<string, number>
    if (id.startsWith('ebo')) expect(Math.abs(poisson(mean!).loss(s!) - (expected as number))).toBeLessThanOrEqual(6e-4)
    else expect([id, poisson(expectedDemand!).quantile(level!)]).toEqual([id, expected])
  }
  const moments = byId('nb-moments')
  const fitted = negativeBinomialMoments(moments.inputs.mean!, moments.inputs.var!)
  expect(fitted.parameters.r).toBeCloseTo(moments.expected.r!, 9)
  expect(fitted.parameters.p).toBeCloseTo(moments.expected.p!, 9)
  expect(fitted.pmf(0)).toBeCloseTo(moments.expected.P0!, 7)
})

// Abramowitz and Stegun, table 6.1 and 6.3.3, 6.4.2 to 6.4.4, from memory: -gamma, -gamma - 2 ln 2, pi^2 / 6, pi^2 / 2.
test('digamma and trigamma have their known values', () => {
  expect(digamma(1)).toBeCloseTo(-0.5772156649015329, 14)
  expect(digamma(0.5)).toBeCloseTo(-1.9635100260214235, 14)
  expect(trigamma(1)).toBeCloseTo(Math.PI ** 2 / 6, 14)
  expect(trigamma(0.5)).toBeCloseTo(Math.PI ** 2 / 2, 13)
  expect(digamma(30.25) - digamma(29.25)).toBeCloseTo(1 / 29.25, 14)
})

/** log of the negative binomial marginal, by the distribution that R agreed with. */
function likelihood(seen: readonly Seen[], shape: number, exposure: number): number {
  return seen.reduce(
    (sum, one) => sum + Math.log(negativeBinomialMean(shape, (shape / exposure) * one.exposure).pmf(one.count)),
    0,
  )
}

describe('what a class says of the rate of its parts', () => {
  test('no other prior makes the counts likelier', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ count: fc.integer({ min: 0, max: 40 }), exposure: fc.integer({ min: 1, max: 60 }) }), {
          minLength: 5,
          maxLength: 30,
        }),
        (seen) => {
          const prior = ratePriorFit(seen)
          if (!prior) {
            expect(seen.every(({ count }) => count === 0)).toBe(true)
            return
          }
          const most = seen.reduce((sum, { count }) => sum + count, 0)
          const best = likelihood(seen, prior.shape, prior.exposure)
          for (const [up, along] of [
            [1.2, 1.2],
            [1 / 1.2, 1 / 1.2],
            [1, 1.1],
            [1, 1 / 1.1],
            [1.1, 1],
            [1 / 1.1, 1],
          ] as const) {
            const shape = prior.shape * up
            if (shape < 0.01 || shape > Math.min(1000, Math.max(0.5, most))) continue
            expect(likelihood(seen, shape, prior.exposure * along)).toBeLessThanOrEqual(best + 1e-6 * Math.abs(best))
          }
        },
      ),
      {
        numRuns: 300,
        // A ridge that leads far: steps along the slope alone gave up half way.
        examples: [
          [
            [
              { count: 12, exposure: 24 },
              { count: 19, exposure: 45 },
              { count: 0, exposure: 10 },
              { count: 0, exposure: 4 },
              { count: 18, exposure: 33 },
            ],
          ],
        ],
      },
    )
  })

  test('parts of known rates are found again', () => {
    const random = randomSeeded('rates')
    // Gamma of shape 2 and mean 0.05 is the sum of two exponentials of mean 0.025.
    const seen = Array.from({ length: 4000 }, () => {
      const rate = -0.025 * (Math.log(1 - random()) + Math.log(1 - random()))
      const exposure = 20 + 60 * random()
      return { count: randomPoisson(random, rate * exposure), exposure }
    })
    const prior = ratePriorFit(seen)!
    expect(prior.shape).toBeGreaterThan(1.8)
    expect(prior.shape).toBeLessThan(2.2)
    expect(prior.shape / prior.exposure).toBeGreaterThan(0.048)
    expect(prior.shape / prior.exposure).toBeLessThan(0.052)
  })

  test('a class of four, or one that was never asked for, says nothing of its spread', () => {
    expect(ratePriorFit(Array.from({ length: 4 }, () => ({ count: 2, exposure: 10 })))).toBeNull()
    expect(ratePriorFit(Array.from({ length: 40 }, () => ({ count: 0, exposure: 10 })))).toBeNull()
  })

  test('parts that are all alike are believed only as far as they were seen', () => {
    const prior = ratePriorFit(Array.from({ length: 6 }, () => ({ count: 3, exposure: 12 })))!
    expect(prior.shape).toBeLessThanOrEqual(18 + 1e-9)
    expect(prior.shape / prior.exposure).toBeCloseTo(0.25, 6)
  })

  test('counts of a million and of next to nothing leave a number', () => {
    for (const seen of [
      [1e6, 0, 3, 0, 1],
      [0.001, 0, 0, 0, 0],
      [5, 5, 5, 5, 1e-9],
    ].map((counts) => counts.map((count) => ({ count, exposure: 1e-3 + count })))) {
      const prior = ratePriorFit(seen)!
      expect(Number.isFinite(prior.shape) && prior.shape > 0).toBe(true)
      expect(Number.isFinite(prior.exposure) && prior.exposure > 0).toBe(true)
    }
  })
})
