import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chanceRenewed, chanceSays } from '../../lib/service/chance.ts'

const none = { looked: 0, renewed: 0 }
const looks = fc
  .record({ looked: fc.integer({ min: 0, max: 200 }), share: fc.double({ min: 0, max: 1, noNaN: true }) })
  .map(({ looked, share }) => ({ looked, renewed: Math.round(looked * share) }))

/** Probability of k in n under a beta-binomial, by its own formula: C(n,k) B(k+a, n-k+b) / B(a, b), for whole k by products. */
function betaBinomial(k: number, n: number, a: number, b: number): number {
  const rising = (x: number, times: number) =>
    Array.from({ length: times }, (_, at) => x + at).reduce((p, q) => p * q, 1)
  const choose = rising(n - k + 1, k) / rising(1, k)
  return (choose * rising(a, k) * rising(b, n - k)) / rising(a + b, n)
}

describe('the chance that a part on condition is renewed', () => {
  // Beta-binomial of one look: computed here from the distribution's definition (k = 1 of n = 1).
  it.each([
    [4, 9],
    [0, 3],
    [7, 7],
  ])('renewed at %i of %i: the chance of one look by the beta-binomial', (renewed, looked) => {
    const chance = chanceRenewed({ looked, renewed }, none)
    expect(chance).toBeCloseTo(betaBinomial(1, 1, 0.5 + renewed, 0.5 + looked - renewed), 12)
    // The formula in hand is the right one: value of an outside table (R, extraDistr::dbbinom, n = 7, a = 2, b = 3).
    expect(betaBinomial(3, 7, 2, 3)).toBeCloseTo(0.181818181818182, 12)
  })

  it('nothing is ever certain, and it lies between what was seen here and what its class says', () => {
    fc.assert(
      fc.property(looks, looks, (own, others) => {
        const chance = chanceRenewed(own, others)
        expect(chance).toBeGreaterThan(0)
        expect(chance).toBeLessThan(1)
      }),
    )
  })

  it('one more renewed raises it, one more found good lowers it', () => {
    fc.assert(
      fc.property(looks, looks, (own, others) => {
        const now = chanceRenewed(own, others)
        expect(chanceRenewed({ looked: own.looked + 1, renewed: own.renewed + 1 }, others)).toBeGreaterThan(now)
        expect(chanceRenewed({ looked: own.looked + 1, renewed: own.renewed }, others)).toBeLessThan(now)
      }),
    )
  })

  it('a class with a thousand looks weighs no more than four: nine own looks outweigh it', () => {
    const wornOut = { looked: 1000, renewed: 1000 }
    const chance = chanceRenewed({ looked: 9, renewed: 0 }, wornOut)
    expect(chance).toBeCloseTo(4.5 / 14, 12)
    expect(chanceRenewed(none, wornOut)).toBeCloseTo(4.5 / 5, 12)
  })

  it('says what was found at past services first', () => {
    expect(chanceSays({ looked: 9, renewed: 4 }, none)).toBe('renewed at 4 of 9, likely 45 %')
    expect(chanceSays(none, { looked: 4, renewed: 1 })).toBe('not looked at yet; by its class likely 30 %')
    expect(chanceSays(none, none)).toBe('not looked at yet')
  })
})
