import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { negativeBinomialMoments, poisson } from '../../lib/demand/distribution.ts'
import { randomSeeded } from '../../lib/maths/random.ts'
import { aimParse, levelSays, sentence, shareSays } from '../../lib/replenish/explain.ts'
import { fillRate, type LevelFacts, level, matched, type Target } from '../../lib/replenish/level.ts'
import { aheadInTaking, needOver, protection, sizeMoments } from '../../lib/replenish/protection.ts'
import { stepSays } from '../../lib/replenish/step.ts'

const fill = (share: number): Target => ({ kind: 'fill', share })
const cycle = (share: number): Target => ({ kind: 'cycle', share })

function facts(over: Partial<LevelFacts> = {}): LevelFacts {
  return {
    need: { mean: 2, variance: 2 },
    time: { leadMean: 1.5, leadSd: 0, review: 0 },
    target: fill(0.95),
    quantity: 1,
    oneJob: 1,
    set: 1,
    grain: null,
    ...over,
  }
}

interface Shelf {
  rate: number
  size: () => number
  lead: () => number
  review: number
  reorderPoint: number
  orderUpTo: number
}

/**
 * A shelf that is run for a long time: takings at random moments, an order up to the level when the position is at or below the
 * reorder point, seen at every taking or at reviews. Nothing of the formulas under test is in it. Answers the share of pieces that
 * were there when asked for, and the mean on hand.
 */
function run({ rate, size, lead, review, reorderPoint, orderUpTo }: Shelf, takings: number, seed: string) {
  const random = randomSeeded(seed)
  const coming: { at: number; quantity: number }[] = []
  let now = 0
  let nextReview = review
  let net = orderUpTo
  let position = orderUpTo
  let [asked, served, area] = [0, 0, 0]
  const order = (at: number) => {
    if (position > reorderPoint) return
    coming.push({ at: at + lead(), quantity: orderUpTo - position })
    position = orderUpTo
    coming.sort((a, b) => a.at - b.at)
  }
  const moveTo = (at: number) => {
    for (let first = coming[0]; first && first.at <= at; first = coming[0]) {
      area += Math.max(0, net) * (first.at - now)
      now = first.at
      net += first.quantity
      coming.shift()
    }
    area += Math.max(0, net) * (at - now)
    now = at
  }
  for (let at = 0; at < takings; at++) {
    const next = now - Math.log(1 - random()) / rate
    while (review > 0 && nextReview <= next) {
      moveTo(nextReview)
      order(nextReview)
      nextReview += review
    }
    moveTo(next)
    const quantity = size()
    asked += quantity
    served += Math.min(quantity, Math.max(0, net))
    net -= quantity
    position -= quantity
    if (review === 0) order(next)
  }
  return { fill: served / asked, onHand: area / now }
}

describe('need while an order is on its way', () => {
  test('what goes before a piece of its own taking: nothing for single pieces, half a piece for pairs', () => {
    expect(aheadInTaking(sizeMoments([1, 1, 1]))).toEqual({ mean: 0, variance: 0 })
    expect(aheadInTaking(sizeMoments([2, 2]))).toEqual({ mean: 0.5, variance: 0.25 })
    // Sizes 1 and 3: 4 pieces, of which two have 0 before them, one 1, one 2.
    const { mean, variance } = aheadInTaking(sizeMoments([1, 3]))
    expect(mean).toBeCloseTo(3 / 4, 12)
    expect(variance).toBeCloseTo(5 / 4 - 9 / 16, 12)
  })

  test('jobs that take a pair and come in runs: what goes before a piece is summed over runs of every length', () => {
    // Runs of n jobs with the chance p^n / n of the logarithmic series, two pieces a job, summed by hand.
    const p = 0.3
    const runs = Array.from({ length: 80 }, (_, at) => ({ pieces: 2 * (at + 1), weight: p ** (at + 1) / (at + 1) }))
    const sum = (of: (pieces: number) => number) => runs.reduce((all, run) => all + run.weight * of(run.pieces), 0)
    const pieces = sum((many) => many)
    const mean = sum((many) => (many * (many - 1)) / 2) / pieces
    const square = sum((many) => ((many - 1) * many * (2 * many - 1)) / 6) / pieces
    const ratio = sum((many) => many ** 2) / pieces
    const { piece } = protection(
      { mean: 1, variance: ratio, sizes: sizeMoments([2]) },
      { leadMean: 0, leadSd: 0, review: 0 },
    )
    expect(piece.mean).toBeCloseTo(mean, 10)
    expect(piece.variance).toBeCloseTo(square - mean ** 2, 10)
  })

  test('a rate that is not known for sure does not average out over a longer time', () => {
    const spread = (time: number) =>
      needOver({ mean: 1, variance: 1, rateVariance: 0.5 }, { mean: time, variance: 0 }).variance / time
    expect(spread(8)).toBeGreaterThan(spread(1))
    // Gamma rate of shape 2 and mean 1, Poisson need: negative binomial over any time, variance m + m^2 / 2.
    expect(spread(8) * 8).toBeCloseTo(8 + 64 / 2, 12)
  })

  test('Poisson need and a gamma lead time make a negative binomial, met exactly', () => {
    // Zipkin, Foundations of Inventory Management, section 7.5 (from memory): lead time gamma(shape k), need NB(shape k).
    const moments = needOver({ mean: 3, variance: 3 }, { mean: 2, variance: 4 / 5 })
    const exact = negativeBinomialMoments(6, 6 + 36 / 5)
    for (const x of [0, 3, 6, 12, 20]) expect(matched(moments, false).cdf(x)).toBeCloseTo(exact.cdf(x), 12)
  })
})

describe('levels against a shelf that is run', () => {
  const rows: [
    string,
    { mean: number; pair?: boolean; leadSd?: number; review: number; quantity: number; share: number },
    number,
  ][] = [
    ['single pieces, every taking seen', { mean: 2, review: 0, quantity: 1, share: 0.9 }, 0.004],
    ['single pieces in packs of ten', { mean: 2, review: 0, quantity: 10, share: 0.9 }, 0.004],
    ['a look at the shelf each month', { mean: 2, review: 1, quantity: 1, share: 0.95 }, 0.01],
    ['pairs', { mean: 3, pair: true, review: 0, quantity: 4, share: 0.95 }, 0.01],
    [
      'pairs and a lead time that varies',
      { mean: 3, pair: true, leadSd: 0.6, review: 0, quantity: 4, share: 0.9 },
      // Lead times that differ let one order come before another, which no formula here follows.
      0.025,
    ],
  ]
  test.each(rows)('%s', (_, { mean, pair = false, leadSd = 0, review, quantity, share }, within) => {
    const random = randomSeeded('lead')
    const size = pair ? 2 : 1
    const answer = level(
      facts({
        need: { mean, variance: mean * size, sizes: sizeMoments([size]) },
        time: { leadMean: 1.5, leadSd, review },
        target: fill(share),
        quantity,
        set: size,
        oneJob: size,
      }),
    )
    const lead = () => (leadSd === 0 ? 1.5 : 1.5 + leadSd * (random() < 0.5 ? -1 : 1))
    const { reorderPoint, orderUpTo } = answer
    const shelf = { rate: mean / size, size: () => size, lead, review, reorderPoint, orderUpTo }
    const ran = run(shelf, 200_000, 'shelf')
    expect(ran.fill).toBeGreaterThanOrEqual(share - within)
    expect(Math.abs(ran.fill - answer.fillRate)).toBeLessThan(within)
    expect(Math.abs(ran.onHand - answer.meanOnHand) / ran.onHand).toBeLessThan(0.05)
    // One step less does not meet the target: nothing is kept for nothing.
    const less = run({ ...shelf, reorderPoint: reorderPoint - size, orderUpTo: orderUpTo - size }, 200_000, 'shelf')
    expect(less.fill).toBeLessThan(share)
  })

  test('looked at once a month, single pieces: the same as loss over lead time and review less loss over lead time', () => {
    // 1 - (E(D(L+1) - S)+ - E(D(L) - S)+) / E(D(1)), the usual formula of periodic review (Silver, Pyke & Peterson; from memory).
    for (const S of [3, 5, 8]) {
      const usual = 1 - (poisson(2 * 2.5).loss(S) - poisson(2 * 1.5).loss(S)) / 2
      const { piece } = protection({ mean: 2, variance: 2 }, { leadMean: 1.5, leadSd: 0, review: 1 })
      expect(fillRate(matched(piece, false), S - 1, 1)).toBeCloseTo(usual, 2)
    }
  })
})

describe('a level is what a storekeeper would keep', () => {
  test('the dearer the standing machine, the more; the dearer the piece, the less', () => {
    const at = (holding: number, standing: number) =>
      level(facts({ target: { kind: 'least-cost', holding, standing }, quantity: 3 })).reorderPoint
    expect(at(1, 2000)).toBeGreaterThan(at(1, 20))
    expect(at(50, 200)).toBeLessThan(at(1, 200))
    expect(at(1, 0)).toBe(0)
  })

  test('a larger order needs less behind it for the same fill rate', () => {
    const at = (quantity: number) => level(facts({ need: { mean: 20, variance: 20 }, quantity })).reorderPoint
    expect(at(60)).toBeLessThan(at(1))
  })

  test('brake shoes of an axle are kept in pairs, and never less than a pair', () => {
    const shoes = facts({
      need: { mean: 0.05, variance: 0.1, sizes: sizeMoments([2, 2]) },
      quantity: 1,
      oneJob: 2,
      set: 2,
    })
    const answer = level(shoes)
    expect(answer.orderUpTo % 2).toBe(0)
    expect(answer).toMatchObject({ reorderPoint: 1, orderUpTo: 2 })
    expect(answer.steps.reorderPoint.map((step) => stepSays(step, String))).toEqual([
      'smallest that meets the target: 0',
      'one job’s worth at least: 0 becomes 1',
    ])
    expect(
      levelSays(answer, shoes.target, { used: 'about 1 a year is used', lead: '14 days', review: 0, show: String }),
    ).toMatch(
      /^Order up to 2 when 1 or fewer are left: about 1 a year is used, a delivery takes 14 days, and the aim is 95 of 100 there at once; .* are expected; never less than one job’s worth is kept\.$/,
    )
  })

  test('a set of ten that two jobs a year take is kept in one or two sets, though its months are a little wider than tens', () => {
    const at = (variance: number) =>
      level(
        facts({
          need: { mean: 1.7, variance, sizes: sizeMoments([10]) },
          time: { leadMean: 0.3, leadSd: 0.1, review: 0.25 },
          target: fill(0.99),
          quantity: 14,
          oneJob: 10,
          set: 10,
        }),
      ).reorderPoint
    // Chance of two more jobs within the ten days before an order comes: under half a per cent, so one set more is enough.
    expect(at(17)).toBe(10)
    expect(at(18.7)).toBe(10)
  })

  test('oil is said in tenths of a litre', () => {
    const oil = level(
      facts({ need: { mean: 7.3, variance: 40 }, target: fill(0.97), quantity: 20, oneJob: 4.5, grain: 0.1 }),
    )
    expect(Math.round(oil.reorderPoint * 10) / 10).toBe(oil.reorderPoint)
    expect(oil.reorderPoint).toBeGreaterThanOrEqual(4.4)
    expect(oil.fillRate).toBeGreaterThanOrEqual(0.97)
    const less = (oil.reorderPoint - 0.1) as number
    expect(fillRate(matched(oil.protection.piece, true), less, 20)).toBeLessThan(0.97)
  })

  test('an aim is typed as so many of a hundred, with a point or a comma', () => {
    expect(['95', '98.5', '99,95', ' 90 '].map(aimParse)).toEqual([0.95, 0.985, 0.9995, 0.9])
    expect(['', '0', '100', '-5', '95 %', '99.999', 'most'].map(aimParse)).toEqual(Array(7).fill(null))
  })

  test('a reason behind a sentence reads like one, and is not ended twice', () => {
    expect(sentence('about 2 a year')).toBe('About 2 a year.')
    expect(sentence('As Nell says.')).toBe('As Nell says.')
  })

  test('a share is never said to be more than it is', () => {
    expect(shareSays(0.9599)).toBe('95 of 100')
    expect(shareSays(0.99)).toBe('99 of 100')
    expect(shareSays(0.9987)).toBe('998 of 1000')
    expect(shareSays(1)).toBe('all but a few')
  })

  test('what no rule allows is refused', () => {
    expect(() => level(facts({ target: fill(1) }))).toThrow('share between 0 and 1')
    expect(() => level(facts({ quantity: 0 }))).toThrow('more than nothing')
    expect(() => level(facts({ need: { mean: Number.NaN, variance: 1 } }))).toThrow('numbers from 0')
  })
})

const amount = fc.oneof(
  fc.constantFrom(0, 1e-6, 0.02, 1, 1e6),
  fc.double({ min: 0, max: 50, noNaN: true }),
  fc.double({ min: 0, max: 1e6, noNaN: true }),
)

describe('whatever the history, a level', () => {
  const anything = fc
    .record({
      mean: amount,
      dispersion: fc.oneof(fc.constantFrom(0, 1, 2), fc.double({ min: 0, max: 1e3, noNaN: true })),
      rateVariance: fc.constantFrom(0, 0.01, 5),
      leadMean: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 40, noNaN: true })),
      leadSd: fc.oneof(fc.constant(0), fc.double({ min: 0, max: 20, noNaN: true })),
      review: fc.constantFrom(0, 0.25, 1, 12),
      quantity: fc.constantFrom(1, 2, 7, 1000, 1_000_000),
      oneJob: fc.integer({ min: 0, max: 12 }),
      set: fc.constantFrom(1, 2, 4, 10),
      isPoured: fc.boolean(),
      sizes: fc.constantFrom([], [1], [2, 2], [1, 9]),
    })
    .map(
      (one): Omit<LevelFacts, 'target'> => ({
        need: {
          mean: one.mean,
          variance: one.mean * one.dispersion,
          rateVariance: one.rateVariance,
          sizes: sizeMoments(one.sizes),
        },
        time: one,
        quantity: one.quantity,
        oneJob: one.oneJob,
        set: one.isPoured ? 1 : one.set,
        grain: one.isPoured ? 0.1 : null,
      }),
    )
  const targets = fc.oneof(
    fc.constantFrom(fill(0.5), fill(0.9), fill(0.999), cycle(0.8), cycle(0.99)),
    fc.constantFrom<Target>(
      { kind: 'least-cost', holding: 1, standing: 0 },
      { kind: 'least-cost', holding: 0.1, standing: 90 },
    ),
  )

  test('is a number, not negative, above its reorder point, in whole sets, and explained to the end', () => {
    fc.assert(
      fc.property(anything, targets, (one, target) => {
        const answer = level({ ...one, target })
        for (const value of [answer.reorderPoint, answer.orderUpTo, answer.safetyStock, answer.meanOnHand]) {
          expect(Number.isFinite(value)).toBe(true)
          expect(value).toBeGreaterThanOrEqual(0)
        }
        for (const share of [answer.fillRate, answer.cycleService]) {
          expect(share).toBeGreaterThanOrEqual(0)
          expect(share).toBeLessThanOrEqual(1)
        }
        expect(answer.orderUpTo).toBeGreaterThan(answer.reorderPoint)
        expect(answer.orderUpTo).toBeGreaterThanOrEqual(one.oneJob)
        if (one.grain === null) {
          expect(answer.orderUpTo % one.set).toBe(0)
          expect(Number.isInteger(answer.reorderPoint)).toBe(true)
          expect(answer.reorderPoint).toBeGreaterThanOrEqual(one.oneJob - 1)
        }
        expect(answer.steps.reorderPoint.at(-1)?.after).toBe(answer.reorderPoint)
        expect(answer.steps.orderUpTo.at(-1)?.after).toBe(answer.orderUpTo)
        // The difference of two losses of millions of pieces keeps six digits.
        if (target.kind === 'fill') expect(answer.fillRate).toBeGreaterThanOrEqual(target.share - 1e-6)
      }),
      { numRuns: 600 },
    )
  })

  test('is not lower for a higher target', () => {
    fc.assert(
      fc.property(anything, (one) => {
        const at = (target: Target) => level({ ...one, target }).reorderPoint
        expect(at(fill(0.97))).toBeGreaterThanOrEqual(at(fill(0.8)))
        expect(at(cycle(0.97))).toBeGreaterThanOrEqual(at(cycle(0.8)))
      }),
      { numRuns: 200 },
    )
  })
})
