import { describe, expect, test } from 'vitest'
import { randomSeeded } from '../../lib/maths/random.ts'
import { quietTime } from '../../lib/replenish/delivery-share.ts'
import { type LevelAnswer, level } from '../../lib/replenish/level.ts'

type Random = () => number

interface Shelf {
  /** Runs that begin in a period, at the rate of one part. */
  rate: (random: Random) => number
  /** Pieces of a run. */
  size: (random: Random) => number
  lead: number
  levels: Pick<LevelAnswer, 'reorderPoint' | 'orderUpTo'>
  parts: number
  reviews: number
}

/**
 * Shelves of many parts, looked at once a period: what is taken comes at random moments, an order is raised at a look that finds the
 * position at or below the reorder point and is there `lead` later. Nothing of the formulas under test is in it. Answers the share of
 * looks, and of deliveries, before which nobody waited.
 */
function run({ rate, size, lead, levels, parts, reviews }: Shelf, seed: string) {
  const random = randomSeeded(seed)
  const late = Math.floor(lead)
  const rest = lead - late
  let [looks, looksWell, deliveries, deliveriesWell] = [0, 0, 0, 0]
  const takenIn = (time: number, perPeriod: number) => {
    let taken = 0
    let at = -Math.log(1 - random()) / perPeriod
    while (at < time) {
      taken += size(random)
      at += -Math.log(1 - random()) / perPeriod
    }
    return taken
  }
  for (let part = 0; part < parts; part++) {
    const perPeriod = rate(random)
    const ordered: number[] = []
    let net = levels.orderUpTo
    let position = levels.orderUpTo
    for (let review = 0; review < reviews; review++) {
      const isDue = position <= levels.reorderPoint
      ordered.push(isDue ? levels.orderUpTo - position : 0)
      if (isDue) position = levels.orderUpTo
      const before = takenIn(rest, perPeriod)
      net -= before
      const comes = ordered[review - late] ?? 0
      if (review > late + 1) {
        looks += 1
        if (net >= 0) looksWell += 1
        if (comes > 0) deliveries += 1
        if (comes > 0 && net >= 0) deliveriesWell += 1
      }
      net += comes
      const after = takenIn(1 - rest, perPeriod)
      net -= after
      position -= before + after
    }
  }
  return { byLook: looksWell / looks, byDelivery: deliveriesWell / deliveries }
}

/** Pieces of a run, n with the chance p^n / n of the logarithmic series. */
const logarithmic = (p: number) => (random: Random) => {
  let left = random() * -Math.log1p(-p)
  let many = 1
  let weight = p
  while (left > weight && many < 1000) {
    left -= weight
    weight *= (p * many) / (many + 1)
    many += 1
  }
  return many
}

const singly = () => 1
const known = (rate: number) => () => rate
/** Gamma of shape 2. */
const gamma = (mean: number) => (random: Random) => (-mean * Math.log((1 - random()) * (1 - random()))) / 2

interface Case {
  name: string
  need: { mean: number; variance: number; rateVariance?: number }
  lead: number
  set?: number
  rate: (random: Random) => number
  size: (random: Random) => number
}

const half = logarithmic(0.5)
// Runs of the series with p = 1/2 have the mean 1 / ln 2, and pieces the variance 2 times their mean.
const HALF_MEAN = 1 / Math.LN2

const CASES: Case[] = [
  {
    name: 'a part of the audit: 0.1 a period',
    need: { mean: 0.1, variance: 0.1 },
    lead: 1,
    rate: known(0.1),
    size: singly,
  },
  { name: 'half a piece a period', need: { mean: 0.5, variance: 0.5 }, lead: 2.5, rate: known(0.5), size: singly },
  { name: 'three a period', need: { mean: 3, variance: 3 }, lead: 0.5, rate: known(3), size: singly },
  { name: 'pairs', need: { mean: 0.6, variance: 1.2 }, lead: 1, set: 2, rate: known(0.3), size: () => 2 },
  { name: 'runs', need: { mean: 0.4, variance: 0.8 }, lead: 1.5, rate: known(0.4 / HALF_MEAN), size: half },
  {
    name: 'an unknown rate',
    need: { mean: 0.4, variance: 0.4, rateVariance: 0.08 },
    lead: 2,
    rate: gamma(0.4),
    size: singly,
  },
]

// Periodic review with single orders, judged by a simulation (seeded).
describe('the share of deliveries before which nobody waits', () => {
  test.each(CASES)(
    'is what a shelf that is looked at once a period gives: $name',
    ({ need, lead, set = 1, rate, size }) => {
      const answer = level({
        need,
        time: { leadMean: lead, leadSd: 0, review: 1 },
        target: { kind: 'cycle', share: 0.95 },
        quantity: set,
        oneJob: 0,
        set,
        grain: null,
      })
      const isKnown = need.rateVariance === undefined
      const ran = run(
        { rate, size, lead, levels: answer, parts: isKnown ? 1 : 20_000, reviews: isKnown ? 400_000 : 24 },
        'looks',
      )
      expect(answer.cycleService).toBeGreaterThanOrEqual(0.95)
      expect(Math.abs(ran.byLook - answer.cycleService)).toBeLessThan(0.004)
      expect(Math.abs(ran.byDelivery - answer.deliveryService!)).toBeLessThan(0.008)
      expect(answer.deliveryService).toBeLessThan(answer.cycleService)
    },
  )

  test('is 0.8604 where 0.9825 of all looks are well', () => {
    const slow = level({
      need: { mean: 0.1, variance: 0.1 },
      time: { leadMean: 1, leadSd: 0, review: 1 },
      target: { kind: 'cycle', share: 0.95 },
      quantity: 1,
      oneJob: 1,
      set: 1,
      grain: null,
    })
    expect(slow.reorderPoint).toBe(0)
    // One taken in the review and none in the lead time, of one or more taken in the review; Poisson, worked by hand.
    expect(slow.cycleService).toBeCloseTo(1.2 * Math.exp(-0.2), 10)
    expect(slow.deliveryService).toBeCloseTo((0.1 * Math.exp(-0.2)) / (1 - Math.exp(-0.1)), 10)
  })

  test('is the cycle service where every taking is looked at, and nothing where nothing is wanted', () => {
    const at = (review: number, mean: number, grain: number | null = null) =>
      level({
        need: { mean, variance: mean },
        time: { leadMean: 1, leadSd: 0, review },
        target: { kind: 'fill', share: 0.9 },
        quantity: 1,
        oneJob: 1,
        set: 1,
        grain,
      })
    expect(at(0, 2).deliveryService).toBe(at(0, 2).cycleService)
    expect(at(1, 0).deliveryService).toBeNull()
    expect(at(1, 2, 0.1).deliveryService).toBeNull()
    expect(at(1, 40).deliveryService).toBeCloseTo(at(1, 40).cycleService, 10)
  })

  test('a quiet time makes an unknown rate slower', () => {
    // Gamma of shape 2 and mean 0.4: (1 + 3 * 0.2)^-2, and the mean 0.4 / 1.6 (conjugate prior, worked by hand).
    const { chance, after } = quietTime({ mean: 0.4, variance: 0.4, rateVariance: 0.08 }, 3)
    expect(chance).toBeCloseTo(1.6 ** -2, 12)
    expect(after.mean).toBeCloseTo(0.25, 12)
    expect(after.rateVariance).toBeCloseTo(0.08 / 2.56, 12)
  })
})
