import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { installedBase } from '../../lib/demand/installed-base.ts'
import type { PartHistory } from '../../lib/demand/method.ts'
import { randomPoisson, randomSeeded } from '../../lib/maths/random.ts'

const periods = 36
/** Parts of a class whose failures are Poisson with the given rate per exposure, one piece at a time or `size`. */
function partsOf(partClass: string, count: number, rate: number, size = 1, exposure?: number[]): PartHistory[] {
  const random = randomSeeded(`${partClass}/${rate}/${size}`)
  return Array.from({ length: count }, (_, at) => ({
    id: `${partClass}-${at}`,
    partClass,
    quantities: Array.from(
      { length: periods },
      (_, t) => size * Math.min(1, randomPoisson(random, rate * (exposure?.[t] ?? 1))),
    ),
    ...(exposure ? { exposure } : {}),
  }))
}
const newPart = (partClass: string, more: Partial<PartHistory> = {}): PartHistory => ({
  id: 'new',
  partClass,
  quantities: [],
  ...more,
})

describe('demand from the installed base', () => {
  test('a new part has the demand of its class from the first day, and says so', () => {
    const parts = [...partsOf('shear-bolt', 40, 0.6), ...partsOf('bearing', 40, 0.05), newPart('bearing')]
    const { rates, outlooks } = installedBase(parts)
    expect(rates.at(-1)).toMatchObject({ learnedFrom: 'class', isNew: true })
    const mean = outlooks.at(-1)!(1).mean
    expect(mean).toBeGreaterThan(0.03)
    expect(mean).toBeLessThan(0.08)
    expect(installedBase([...parts.slice(0, -1), newPart('shear-bolt')]).outlooks.at(-1)!(1).mean).toBeGreaterThan(0.3)
  })

  test('a class of three learns from all parts; where nobody was ever asked for anything it says nothing', () => {
    const few = installedBase([...partsOf('belt', 30, 0.3), ...partsOf('knife', 3, 0.3)])
    expect(few.rates.at(-1)!.learnedFrom).toBe('all parts')
    expect(few.rates[0]!.learnedFrom).toBe('class')
    const silent = installedBase([{ id: 'a', quantities: [0, 0, 0] }])
    expect(silent.rates[0]).toMatchObject({ learnedFrom: 'nothing', isNew: true })
    expect(silent.outlooks[0]!(1).mean).toBeLessThan(0.5)
  })

  test('twice as many pieces running are twice as many failures', () => {
    const exposure = Array.from({ length: periods }, () => 200)
    const parts = partsOf('seal', 40, 0.0004, 1, exposure)
    const { outlooks } = installedBase([
      ...parts,
      newPart('seal', { id: 'few', quantities: [0], exposure: [100] }),
      newPart('seal', { id: 'many', quantities: [0], exposure: [200] }),
    ])
    const [few, many] = [outlooks.at(-2)!(1), outlooks.at(-1)!(1)]
    expect(many.mean / few.mean).toBeGreaterThan(1.8)
    expect(many.mean / few.mean).toBeLessThan(2.05)
  })

  test('hours that nobody ran say nothing: a part that stood still is not thought to be good', () => {
    // Good ones and bad ones in one class: what a pump does itself counts for much.
    const parts = [...partsOf('pump', 20, 0.04), ...partsOf('pump', 20, 0.5)]
    const still = newPart('pump', { quantities: [0, 0, 0, 0, 0, 0], exposure: [0, 0, 0, 0, 0, 0] })
    const ran = newPart('pump', { quantities: Array(30).fill(0) })
    const { rates } = installedBase([...parts, still, ran])
    const [ofStill, ofRan] = rates.slice(-2).map(({ rate }) => rate)
    expect(ofStill!).toBeGreaterThan(1.5 * ofRan!)
  })

  test('the own history outweighs the class once it is long', () => {
    const parts = partsOf('filter', 40, 0.1)
    const busy = newPart('filter', { quantities: Array.from({ length: 36 }, (_, at) => (at % 2 === 0 ? 1 : 0)) })
    const mean = installedBase([...parts, busy]).outlooks.at(-1)!(1).mean
    expect(mean).toBeGreaterThan(0.25)
  })

  test('what is taken in pairs is foreseen in pairs', () => {
    const { outlooks } = installedBase([...partsOf('tyre', 40, 0.2, 2)])
    const ahead = outlooks[0]!(2)
    expect(ahead.pmf(1) + ahead.pmf(3)).toBeLessThan(0.3 * (ahead.pmf(2) + ahead.pmf(4)))
  })

  test('a part that is let go is followed down, one that picks up is followed up', () => {
    const random = randomSeeded('changing')
    const series = (early: number, late: number) =>
      Array.from({ length: periods }, (_, t) => Math.min(1, randomPoisson(random, t < 24 ? early : late)))
    const parts = Array.from({ length: 80 }, (_, at) => ({
      id: String(at),
      quantities: at % 2 === 0 ? series(1.2, 0.03) : series(0.03, 1.2),
    }))
    const { outlooks } = installedBase(parts)
    const mean = (which: number) =>
      parts.reduce((sum, _, at) => sum + (at % 2 === which ? outlooks[at]!(1).mean : 0), 0) / 40
    // A year after the change; over all three years each is asked for in 0.25 to 0.48 of the months.
    expect(mean(0)).toBeLessThan(0.12)
    expect(mean(1)).toBeGreaterThan(0.55)
  })

  test('a part that is asked for less is asked for in smaller amounts: what comes in a month are fewer failures', () => {
    const random = randomSeeded('crowded months')
    const parts = Array.from({ length: 60 }, (_, at) => ({
      id: String(at),
      quantities: Array.from({ length: 48 }, (_, t) => randomPoisson(random, at < 20 && t >= 24 ? 0.15 : 2)),
    }))
    const { rates } = installedBase(parts)
    // Poisson: 2 / (1 - e^-2) = 2.31 demands in a month that has any, 0.15 / (1 - e^-0.15) = 1.08.
    expect(rates[30]!.crowdAhead).toBeGreaterThan(1.8)
    expect(rates[3]!.crowdAhead).toBeLessThan(1.3)
  })

  test('when all machines run less, all parts are asked for less, before any one of them shows it', () => {
    const random = randomSeeded('quiet year')
    const shop = (late: number) =>
      Array.from({ length: 300 }, (_, at) => ({
        id: String(at),
        quantities: Array.from({ length: 48 }, (_, t) => Math.min(1, randomPoisson(random, t < 45 ? 0.3 : late))),
      }))
    expect(installedBase(shop(0.15)).level).toBeLessThan(0.85)
    const same = installedBase(shop(0.3)).level
    expect(same).toBeGreaterThan(0.93)
    expect(same).toBeLessThan(1.07)
  })

  test('all zero, a spike of a million, decimals, no period and machines that stand leave finite levels', () => {
    const quantity = fc.oneof(
      fc.constant(0),
      fc.integer({ min: 0, max: 12 }),
      fc.constantFrom(1_000_000, 0.25, 2.5, 4000),
    )
    fc.assert(
      fc.property(
        fc.array(fc.array(quantity, { minLength: 0, maxLength: 8 }), { minLength: 1, maxLength: 8 }),
        fc.integer({ min: 1, max: 5 }),
        fc.option(fc.array(fc.constantFrom(0, 1, 0.001, 1e9), { minLength: 8, maxLength: 8 }), { nil: undefined }),
        (histories, ahead, exposure) => {
          const { outlooks } = installedBase(
            histories.map((quantities, at) => ({
              id: String(at),
              quantities,
              ...(exposure && at % 2 === 0 ? { exposure: exposure.slice(0, quantities.length) } : {}),
            })),
          )
          for (const outlook of outlooks) {
            const of = outlook(ahead)
            expect(of.mean).toBeGreaterThanOrEqual(0)
            expect(of.cdf(0)).toBeGreaterThanOrEqual(0)
            expect(of.cdf(0)).toBeLessThanOrEqual(1)
            const level = of.quantile(0.95)
            expect(level).toBeGreaterThanOrEqual(0)
            expect(Number.isFinite(level)).toBe(true)
            expect(of.loss(level)).toBeGreaterThanOrEqual(0)
            expect(of.loss(level)).toBeLessThanOrEqual(of.mean * (1 + 1e-9))
          }
        },
      ),
      { numRuns: 40 },
    )
  })
})
