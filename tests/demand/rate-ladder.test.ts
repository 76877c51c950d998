import { describe, expect, test } from 'vitest'
import {
  type Busy,
  busyAhead,
  busyFrom,
  type Ladder,
  quietFrom,
  quietLookup,
  standingFollow,
} from '../../lib/demand/rate-ladder.ts'
import { ladderFit, listLeast } from '../../lib/demand/rate-ladder-fit.ts'
import { workLevel } from '../../lib/demand/work-level.ts'
import { randomPoisson, randomSeeded } from '../../lib/maths/random.ts'

const busy = (...periods: number[]): Busy => ({ periods: Uint8Array.from(periods), exposure: null })

const SMALL: Ladder = {
  rungs: Float64Array.from([0.1, 0.5, 1.4]),
  weights: Float64Array.from([0.5, 0.3, 0.2]),
  begun: 0.6,
  beginning: 0.25,
  up: 0.05,
  down: 0.15,
  ends: 0.07,
}

/** Chance of a history by going through every way that a part can take, from the definition. */
function chanceByEveryWay(
  { rungs, weights, begun, beginning, up, down, ends }: Ladder,
  periods: readonly number[],
): number {
  const top = rungs.length - 1
  const waits = -1
  const over = -2
  const show = (state: number, isBusy: number) => {
    const quiet = state < 0 ? 1 : Math.exp(-rungs[state]!)
    return isBusy === 1 ? 1 - quiet : quiet
  }
  const move = (from: number, to: number): number => {
    if (from === over) return to === over ? 1 : 0
    if (from === waits) return to === waits ? 1 - beginning : to === over ? 0 : beginning * weights[to]!
    if (to === waits) return 0
    if (to === over) return ends
    if (to === from + 1) return up
    if (to === from - 1) return down
    return to === from ? 1 - ends - (from < top ? up : 0) - (from > 0 ? down : 0) : 0
  }
  const states = [waits, over, ...rungs.keys()]
  const from = (state: number, at: number): number => {
    const here = show(state, periods[at]!)
    if (at === periods.length - 1) return here
    return here * states.reduce((sum, next) => sum + move(state, next) * from(next, at + 1), 0)
  }
  return states.reduce(
    (sum, state) => sum + (state === waits ? 1 - begun : state === over ? 0 : begun * weights[state]!) * from(state, 0),
    0,
  )
}

describe('the ladder of rates', () => {
  test('gives a history the chance that all ways through it add up to', () => {
    for (const periods of [[0], [1], [0, 0, 1, 0], [1, 1, 0, 0, 0], [0, 1, 0, 1, 1]])
      expect(standingFollow(SMALL, busy(...periods), quietLookup(SMALL)).log).toBeCloseTo(
        Math.log(chanceByEveryWay(SMALL, periods)),
        12,
      )
  })

  test('foresees as many busy periods as all coming histories have', () => {
    const past = [0, 1, 0]
    const { ahead } = standingFollow(SMALL, busy(...past), quietLookup(SMALL))
    const chances = busyAhead(SMALL, 3, 1)
    const foreseen = [0, 1, 2, 3].map((count) =>
      ahead.reduce((sum, weight, at) => sum + weight * chances[at]![count]!, 0),
    )
    const counted = [0, 0, 0, 0]
    for (let code = 0; code < 8; code++) {
      const coming = [code & 1, (code >> 1) & 1, (code >> 2) & 1]
      const chance = chanceByEveryWay(SMALL, [...past, ...coming]) / chanceByEveryWay(SMALL, past)
      counted[coming.reduce((sum, one) => sum + one, 0)]! += chance
    }
    const single = busyFrom(SMALL, ahead, 3, 1)
    for (const count of counted.keys()) {
      expect(foreseen[count]).toBeCloseTo(counted[count]!, 12)
      expect(single[count]).toBeCloseTo(counted[count]!, 12)
    }
    expect(quietFrom(SMALL, ahead, 3, 1)).toBeCloseTo(counted[0]!, 12)
  })
})

const months = 48
/** Chance of demand in the coming month, mean over parts, as the fitted ladder says from the first `seen` months. */
function foreseenMean(parts: readonly Busy[]): number {
  const ladder = ladderFit(parts)
  const chances = busyAhead(ladder, 1, 1)
  const quietOf = quietLookup(ladder)
  const each = parts.map((part) => standingFollow(ladder, part, quietOf).ahead)
  return (
    each.reduce((sum, ahead) => sum + ahead.reduce((mean, weight, at) => mean + weight * chances[at]![1]!, 0), 0) /
    parts.length
  )
}

describe('a ladder fitted to histories', () => {
  test('finds how fast parts of a known making begin and die away', () => {
    const random = randomSeeded('ladder')
    const parts = Array.from({ length: 700 }, (_, at) => {
      // Half were there from the start, the others begin by 4 in 100 a month; each rate falls to a fifth after 20 months of use.
      const begins = at % 2 === 0 ? 0 : Math.ceil(Math.log(1 - random()) / Math.log(0.96))
      return busy(
        ...Array.from({ length: months }, (_, t) => {
          if (t < begins) return 0
          return Math.min(1, randomPoisson(random, t < begins + 20 ? 1.5 : 0.3))
        }),
      )
    })
    const { begun, beginning, up, down } = ladderFit(parts)
    expect(begun).toBeGreaterThan(0.42)
    expect(begun).toBeLessThan(0.6)
    expect(beginning).toBeGreaterThan(0.03)
    expect(beginning).toBeLessThan(0.055)
    expect(down).toBeGreaterThan(4 * up)
  })

  // What the ladder is held against is the posterior of gamma and Poisson (Gelman and others, Bayesian Data Analysis, 3rd edition,
  // chapter 2): rates Gamma(1, 20) over all parts, n demands in 36 months leave Gamma(n + 1, 56), however the list was made.
  test('a list of what was asked for twice or oftener will be asked for less, and the ladder knows', () => {
    const off = ['one list', 'another', 'a third'].map((seed) => {
      const random = randomSeeded(seed)
      const all = Array.from({ length: 2000 }, () => {
        const rate = -0.05 * Math.log(1 - random())
        return Array.from({ length: 36 }, () => randomPoisson(random, rate))
      })
      const past = all.map((demands) => busy(...demands.map((demand) => Math.min(1, demand))))
      const count = (part: Busy) => part.periods.reduce((sum, one) => sum + one, 0)
      const demandsOf = new Map(past.map((part, at) => [part, all[at]!.reduce((sum, one) => sum + one, 0)]))
      const expected = (parts: readonly Busy[]) =>
        parts.reduce((sum, part) => sum + 1 - (56 / 57) ** (demandsOf.get(part)! + 1), 0) / parts.length
      const listed = past.filter((part) => count(part) >= 2)
      expect(listLeast(listed)).toBe(2)
      const before = listed.reduce((sum, part) => sum + count(part), 0) / (36 * listed.length)
      expect(before).toBeGreaterThan(1.2 * expected(listed))
      expect(foreseenMean(listed)).toBeLessThan((before + expected(listed)) / 2)
      expect(foreseenMean(listed)).toBeGreaterThan(0.95 * expected(listed))
      // With those on the list that were left off there is nothing to reckon with.
      expect(listLeast(past)).toBe(0)
      return foreseenMean(past) / expected(past) - 1
    })
    // Two thousand parts are a sample too: one list may lie a few hundredths off, three of them less.
    for (const one of off) expect(Math.abs(one)).toBeLessThan(0.08)
    expect(Math.abs(off.reduce((sum, one) => sum + one, 0) / off.length)).toBeLessThan(0.04)
  })

  test('a short list says nothing of how it was made', () => {
    expect(listLeast(Array.from({ length: 12 }, () => busy(1, 1, 0, 1)))).toBe(0)
  })
})

describe('the work of the whole shop', () => {
  const work = (came: readonly number[]) => ({
    foreseen: new Float64Array(came.length).fill(100),
    came: Float64Array.from(came),
    variance: new Float64Array(came.length).fill(80),
  })

  test('stays at 1 while what comes is within chance, and follows a change that is not', () => {
    expect(workLevel(work([104, 95, 92, 108, 110, 97, 101, 93, 99, 105, 96, 100]))).toBe(1)
    const less = workLevel(work([104, 95, 92, 108, 110, 97, 62, 71, 66, 68, 64, 70]))
    expect(less).toBeGreaterThan(0.65)
    expect(less).toBeLessThan(0.85)
  })

  test('never says more than half as much again, whatever comes', () => {
    expect(workLevel(work(Array(12).fill(900)))).toBeLessThanOrEqual(1.5)
    expect(workLevel(work(Array(12).fill(0)))).toBeGreaterThanOrEqual(1 / 1.5)
    expect(workLevel({ foreseen: new Float64Array(0), came: new Float64Array(0), variance: new Float64Array(0) })).toBe(
      1,
    )
  })
})
