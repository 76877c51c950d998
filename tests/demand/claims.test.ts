import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { compoundCounts, poisson, stuttering } from '../../lib/demand/distribution.ts'
import { installedBase } from '../../lib/demand/installed-base.ts'
import { inLots, lotOf, quantitiesInLots } from '../../lib/demand/lots.ts'
import type { PartHistory } from '../../lib/demand/method.ts'
import { type Random, randomPoisson, randomSeeded } from '../../lib/maths/random.ts'

const MONTHS = 30
/** Parts whose months are drawn by `draw`, each with a mean of its own. */
function drawn(name: string, means: readonly number[], draw: (random: Random, mean: number) => number): PartHistory[] {
  const random = randomSeeded(name)
  return means.map((mean, at) => ({
    id: `${name}-${at}`,
    quantities: Array.from({ length: MONTHS }, () => draw(random, mean)),
  }))
}

/** What a level for two months claims, and how often two months really ask for no more, over all parts. */
function claims(
  parts: readonly PartHistory[],
  target: number,
  truth: (at: number, level: number) => number,
): { claimed: number; achieved: number } {
  const { outlooks } = installedBase(parts)
  let claimed = 0
  let achieved = 0
  for (const [at, outlook] of outlooks.entries()) {
    const ahead = outlook(2)
    const level = ahead.quantile(target)
    claimed += ahead.cdf(level) / parts.length
    achieved += truth(at, level) / parts.length
  }
  return { claimed, achieved }
}

describe('what is foreseen comes true', () => {
  test('of parts that are taken by the twenty or the hundred every month', () => {
    const means = Array.from({ length: 60 }, (_, at) => 20 * 10 ** (at / 59))
    const parts = drawn('steady', means, randomPoisson)
    for (const target of [0.9, 0.95, 0.99]) {
      const { claimed, achieved } = claims(parts, target, (at, level) => poisson(2 * means[at]!).cdf(level))
      expect(Math.abs(claimed - achieved)).toBeLessThan(0.03)
    }
    const { outlooks } = installedBase(parts)
    const wide = outlooks.reduce((sum, outlook, at) => sum + outlook(1).variance / means[at]! / means.length, 0)
    expect(wide).toBeGreaterThan(0.8)
    expect(wide).toBeLessThan(1.4)
  })

  test('of three filters every month, among themselves and in a class of seals that seldom fail', () => {
    const threes = Array.from({ length: 10 }, (_, at) => ({ id: `f${at}`, quantities: Array(24).fill(3) }))
    for (const outlook of installedBase(threes).outlooks) {
      expect(outlook(1).mean).toBeCloseTo(3, 1)
      expect(outlook(2).quantile(0.95)).toBeGreaterThanOrEqual(6)
      expect(outlook(2).quantile(0.95)).toBeLessThanOrEqual(7)
    }
    const seals = drawn('seals', Array(100).fill(0.1), randomPoisson)
    const filters = drawn('filters', Array(5).fill(3), (random) => 2 + Math.floor(3 * random()))
    const mixed = [...seals, ...filters].map((part) => ({ ...part, partClass: 'seal' }))
    for (const outlook of installedBase(mixed).outlooks.slice(-5)) {
      expect(outlook(1).mean).toBeGreaterThan(2.6)
      expect(outlook(1).mean).toBeLessThan(3.3)
      expect(outlook(2).quantile(0.95)).toBeGreaterThanOrEqual(7)
    }
  })

  test('of a single part on a list of its own, over many such lists', () => {
    let claimed = 0
    let achieved = 0
    const lists = 40
    for (let list = 0; list < lists; list++) {
      const one = claims(drawn(`alone ${list}`, [1], randomPoisson), 0.95, (_, level) => poisson(2).cdf(level))
      claimed += one.claimed / lists
      achieved += one.achieved / lists
    }
    // Two years of one part leave more open than that; above is what levels are set by.
    expect(claimed - achieved).toBeLessThan(0.03)
  })

  test('of five thousand at once in every tenth month: none, or five thousand', () => {
    const parts = drawn('lumps', Array(60).fill(0.1), (random, mean) => (random() < mean ? 5000 : 0))
    for (const outlook of installedBase(parts).outlooks) {
      const month = outlook(1)
      expect(month.pmf(0)).toBeGreaterThan(0.7)
      expect(month.quantile(0.99) % 5000).toBe(0)
      expect(month.quantile(0.99)).toBeGreaterThan(0)
      expect(month.cdf(4999)).toBeCloseTo(month.pmf(0), 12)
    }
    const two = claims(parts, 0.95, (_, level) => (level >= 10_000 ? 1 : level >= 5000 ? 0.99 : 0.81))
    expect(Math.abs(two.claimed - two.achieved)).toBeLessThan(0.03)
  })

  test('of what is poured: two and a half litres at a time, and less as the fleet goes', () => {
    const parts = drawn('litres', Array(60).fill(0.3), (random, mean) => 2.5 * randomPoisson(random, mean))
    const two = claims(parts, 0.95, (_, level) => poisson(0.6).cdf(Math.floor(level / 2.5 + 1e-9)))
    expect(Math.abs(two.claimed - two.achieved)).toBeLessThan(0.03)
    // One machine of a hundred is left.
    const exposure = Array.from({ length: 72 }, (_, at) => (at < 36 ? 100 : 1))
    const ahead = (size: number) => {
      const random = randomSeeded('fleet')
      const fleet = Array.from({ length: 40 }, (_, nth) => ({
        id: `${nth}`,
        exposure,
        quantities: exposure.map((ran) => size * Math.min(1, randomPoisson(random, 0.004 * ran))),
      }))
      const { outlooks } = installedBase(fleet)
      return outlooks.reduce((sum, outlook) => sum + outlook(1).mean / size, 0) / fleet.length
    }
    expect(ahead(2.5)).toBeLessThan(0.05)
    expect(ahead(2.5) / ahead(1)).toBeCloseTo(1, 0)
  })
})

describe('amounts in lots', () => {
  test('are counted by what all of them are made of, by the piece where that can be done', () => {
    expect(lotOf([0, 3, 4, 12])).toBe(1)
    expect(lotOf([2, 4])).toBe(1)
    expect(lotOf([5000, 0, 10_000])).toBe(5000)
    expect(lotOf([2.5, 5])).toBe(2.5)
    expect(lotOf([0.75, 2.5])).toBe(0.25)
    expect(lotOf([8000, 8001])).toBe(3)
    expect(quantitiesInLots([0, 0.001, 8000], 3)).toEqual([0, 1, 2667])
  })

  test('hold all of any history to a lot, and no amount has more than four thousand of it', () => {
    const amount = fc.oneof(fc.nat(1_000_000), fc.double({ min: 0, max: 1e6, noNaN: true }))
    fc.assert(
      fc.property(fc.array(amount, { minLength: 1, maxLength: 20 }), (quantities) => {
        const lot = lotOf(quantities)
        expect(lot).toBeGreaterThan(0)
        for (const [at, lots] of quantitiesInLots(quantities, lot).entries()) {
          expect(lots).toBeLessThanOrEqual(4000)
          expect(lots > 0).toBe(quantities[at]! > 0)
          expect(Math.abs(lots * lot - quantities[at]!)).toBeLessThanOrEqual(lot)
        }
      }),
    )
  })

  test('have chances, levels and losses of the same demand in other words', () => {
    const lots = fc.constantFrom(0.25, 2.5, 3, 12, 5000)
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 40, noNaN: true }), lots, fc.nat(60), (rate, lot, k) => {
        const plain = poisson(rate)
        const of = inLots(plain, lot)
        expect(of.mean).toBeCloseTo(rate * lot, 8)
        expect(of.cdf(k * lot)).toBe(plain.cdf(k))
        expect(of.upper((k + 0.5) * lot)).toBe(plain.upper(k))
        expect(of.loss(k * lot)).toBeCloseTo(lot * plain.loss(k), 8)
        expect(of.quantile(0.95)).toBe(lot * plain.quantile(0.95))
      }),
    )
  })
})

describe('tables that are long', () => {
  // P(D = 0) of one order expected is e^-1 whatever an order brings.
  test('keep their chances: one order of five thousand pieces on average', () => {
    expect(stuttering(1, 0.9998).pmf(0)).toBeCloseTo(Math.exp(-1), 9)
  })

  test('are made coarser before they are given up, so that what comes by the lump still does', () => {
    const sizes = Array.from({ length: 4000 }, (_, at) => (at === 3999 ? 0.9 : 0.1 / 3999))
    const of = compoundCounts([0.5, ...Array(11).fill(0), 0.5], sizes)
    expect(of.pmf(0)).toBeCloseTo(0.5, 9)
    // Twelve orders of nearly always four thousand, or none.
    expect(of.cdf(20_000)).toBeCloseTo(0.5, 6)
    expect(of.mean / (6 * (0.9 * 4000 + 0.1 * 2000))).toBeCloseTo(1, 3)
  })
})
