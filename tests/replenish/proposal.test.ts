import { describe, expect, test } from 'vitest'
import type { MonthUse } from '../../lib/demand/history.ts'
import { level, matched } from '../../lib/replenish/level.ts'
import { LEVEL_SETTINGS } from '../../lib/replenish/level-settings.ts'
import {
  isEverNeeded,
  jobWorth,
  levelProposal,
  monthsThatTell,
  type ProposalChoice,
  type ProposalFacts,
} from '../../lib/replenish/proposal.ts'
import { runProposal } from '../../lib/replenish/run-proposal.ts'

function month(failure: number, more: Partial<MonthUse> = {}): MonthUse {
  return { month: '2026-01', planned: 0, other: 0, isCensored: false, isOutlier: false, failure, ...more }
}

/** Foreseen for a part that was never taken: a job in so many years, each taking so many. */
function never(years: number, size: number) {
  const mean = size / years / 12
  const need = { mean, variance: mean * size }
  return { withPlanned: need, withoutPlanned: need, newOf: { partClass: 'other', machines: 2 } }
}

const words = { show: String, lead: '14 days' }
const choice: ProposalChoice = { aim: { kind: 'fill', share: 0.95 }, leadDays: 14, priceMinor: 2500, withPlanned: true }

function facts(more: Partial<ProposalFacts> = {}): ProposalFacts {
  const months = [1, 0, 2, 0, 1, 1, 0, 3, 0, 1, 0, 1].map((quantity) => month(quantity))
  return { scale: 1, months, takings: [], perPlace: null, leadSdDays: 4, pack: 1, minimum: 1, ...more }
}

// How a history is read: common practice, no source. Worked by hand.
describe('months that tell of need', () => {
  test('leave out what was taken of an empty shelf, unless it was as much as usual', () => {
    const stocked = [2, 2, 2, 2, 2, 2].map((quantity) => month(quantity))
    const empty = [month(0, { isCensored: true }), month(5, { isCensored: true })]
    expect(monthsThatTell([...stocked, ...empty], true)).toEqual({ use: [2, 2, 2, 2, 2, 2, 5], leftOut: 1 })
    expect(monthsThatTell([...stocked.slice(1), ...empty], true).leftOut).toBe(0)
  })

  test('count services only where they are to be counted', () => {
    const months = [month(1, { planned: 4, other: 2 })]
    expect(monthsThatTell(months, true).use).toEqual([7])
    expect(monthsThatTell(months, false).use).toEqual([3])
  })
})

describe('what one job takes', () => {
  test('is told by the takings, a part taken in twos is kept in twos', () => {
    expect(jobWorth([2, 4, 2, 2], 1)).toEqual({ oneJob: 2, set: 2 })
    expect(jobWorth([2, 3, 2], 1)).toEqual({ oneJob: 2, set: 1 })
  })

  test('is told by the parts list until three have been taken', () => {
    expect(jobWorth([2], 4)).toEqual({ oneJob: 4, set: 1 })
    expect(jobWorth([], null)).toEqual({ oneJob: 1, set: 1 })
  })
})

describe('a proposed level', () => {
  test('is higher with a longer lead time, a higher aim and the need of services', () => {
    const point = (more: Partial<ProposalChoice>, of = facts()) =>
      levelProposal(of, { ...choice, ...more }, words).reorderPoint
    expect(point({ leadDays: 60 })).toBeGreaterThan(point({}))
    expect(point({ aim: { kind: 'fill', share: 0.99 } })).toBeGreaterThan(point({ aim: { kind: 'fill', share: 0.8 } }))
    const served = facts({ months: facts().months.map((one) => ({ ...one, planned: 3 })) })
    expect(point({}, served)).toBeGreaterThan(point({ withPlanned: false }, served))
  })

  test('says of a part that was never taken that its need is foreseen, not used', () => {
    const none = facts({ months: [month(0), month(0)], forecast: never(1, 1) })
    expect(levelProposal(none, choice, words).says).toMatch(
      /^Never taken yet, so foreseen from parts without a class and the 2 machines that have it: Order up to .* about 1 a year are foreseen, a delivery/,
    )
    expect(levelProposal(facts(), choice, words).says).toContain(' a year are used, a delivery')
  })

  test('aims at looks after which nobody waits where the workshop says so, and tells what is expected of looks and of deliveries', () => {
    const of = { kind: 'cycle', share: 0.95 } as const
    const looks = levelProposal(facts(), { ...choice, aim: of }, words)
    expect(looks.answer.cycleService).toBeGreaterThanOrEqual(0.95)
    expect(looks.says).toMatch(
      /the aim is nobody waiting after 95 of 100 looks at the shelf until the order of the next has come; 9\d+ of 1000? are expected, about \d+ of 1000? counted by deliveries, and \d+ of 1000? there at once\.$/,
    )
    expect(looks.reason).toMatch(
      /aim nobody waiting after 95 of 100 looks at the shelf until the order of the next has come$/,
    )
    // The smallest that does: one less does not.
    const answer = level({
      need: { mean: looks.perYear / 12, variance: looks.perYear / 12 },
      time: { leadMean: 14 / 30.44, leadSd: 4 / 30.44, review: 7 / 30.44 },
      target: of,
      quantity: 1,
      oneJob: 0,
      set: 1,
      grain: null,
    })
    const whole = matched(answer.protection.whole, false)
    expect(whole.cdf(answer.reorderPoint + 1)).toBeGreaterThanOrEqual(0.95)
    expect(whole.cdf(answer.reorderPoint)).toBeLessThan(0.95)
    // Slow and ordered by the dozen: nearly every piece is there though a delivery is often late, so the two aims differ.
    const large = facts({ minimum: 24 })
    const point = (kind: 'fill' | 'cycle') =>
      levelProposal(large, { ...choice, leadDays: 60, aim: { kind, share: 0.9 } }, words).reorderPoint
    expect(point('cycle')).toBeGreaterThan(point('fill'))
  })

  test('goes by what a standing machine costs', () => {
    const at = (standingDayMinor: number) =>
      levelProposal(facts(), { ...choice, aim: { kind: 'least-cost', standingDayMinor } }, words).reorderPoint
    expect(at(50_000)).toBeGreaterThan(at(1))
  })

  test('orders less of a dear part at a time', () => {
    const at = (priceMinor: number) => levelProposal(facts(), { ...choice, priceMinor }, words).quantity.quantity
    expect(at(100)).toBeGreaterThan(at(90_000))
  })

  test('orders up to a break that pays, also at another price than the listed one', () => {
    const breaks = [
      { from: 0, priceMinor: 2500 },
      { from: 9, priceMinor: 1500 },
    ]
    const broken = facts({ prices: { list: null, breakKind: 'all-units', breaks } })
    const ordered = (of: ProposalFacts, priceMinor = 2500) =>
      levelProposal(of, { ...choice, priceMinor }, words).quantity.quantity
    expect(ordered(facts())).toBeLessThan(9)
    expect(ordered(broken)).toBe(9)
    expect(ordered(broken, 5000)).toBe(9)
    const goods = (priceMinor: number) => {
      const { quantity, perYear } = levelProposal(broken, { ...choice, priceMinor }, words)
      return quantity.costYear - (LEVEL_SETTINGS.orderCostMinor * perYear) / 9
    }
    // Buying and holding double with the price, the break with it; ordering nine at a time costs what it did.
    expect(goods(5000) / goods(2500)).toBeCloseTo(2, 9)
  })

  test('of a part that nobody used yet is no reason to buy it', () => {
    const { perYear, says } = levelProposal(facts({ months: [month(0)], perPlace: 2 }), choice, words)
    expect(perYear).toBe(0)
    expect(says).toBe('Nothing of it was used in 1 month: it is bought when a job wants it.')
  })

  test('of oil is in minor units of its litre', () => {
    const oil = facts({
      scale: 1000,
      months: facts().months.map((one) => ({ ...one, failure: one.failure * 2500 })),
      pack: 5000,
      minimum: 5000,
    })
    const { reorderPoint, orderUpTo, quantity } = levelProposal(oil, { ...choice, priceMinor: 600 }, words)
    expect(reorderPoint % 100).toBe(0)
    expect(reorderPoint).toBeGreaterThan(0)
    expect(quantity.quantity % 5).toBe(0)
    expect(orderUpTo).toBe(reorderPoint + quantity.quantity * 1000)
  })

  test('the chances in the picture come to one', () => {
    for (const scale of [1, 1000]) {
      const { bars } = levelProposal(facts({ scale, takings: [] }), choice, words)
      const sum = bars.reduce((all, bar) => all + bar.chance, 0)
      expect(sum).toBeGreaterThan(0.998)
      expect(sum).toBeLessThanOrEqual(1 + 1e-9)
    }
  })

  test('says in few words why, short enough to be kept with it', () => {
    const { reason } = levelProposal(facts(), choice, words)
    expect(reason).toMatch(/^about \d+(\.\d+)? a year, 14 days to come, aim 95 of 100 there at once$/)
  })
})

describe('what can be tried out with a part', () => {
  const nothing = facts({ months: [month(0), month(0)] })

  test('is nothing where none was used and none is foreseen: no aim, lead time or price gives it a level', () => {
    expect(isEverNeeded(nothing)).toBe(false)
    expect(isEverNeeded(facts({ months: [] }))).toBe(false)
    for (const aim of [choice.aim, { kind: 'fill', share: 0.999 }, { kind: 'least-cost', standingDayMinor: 90_000 }])
      for (const leadDays of [0, 400])
        expect(levelProposal(nothing, { ...choice, aim: aim as ProposalChoice['aim'], leadDays }, words)).toMatchObject(
          {
            ...{ perYear: 0, isWorthKeeping: false },
            says: 'Nothing of it was used in 2 months: it is bought when a job wants it.',
          },
        )
  })

  test('is its level where it was used, by services alone too, or is foreseen from its class', () => {
    expect(isEverNeeded(facts())).toBe(true)
    expect(isEverNeeded(facts({ months: [month(0, { planned: 4 })] }))).toBe(true)
    expect(isEverNeeded(facts({ months: [], forecast: never(20, 1) }))).toBe(true)
  })
})

describe('a part that hardly any job asks for', () => {
  const reckoned = (years: number, before: { reorderPoint: number; orderUpTo: number } | null) =>
    runProposal(
      {
        partId: 1,
        before,
        isHeld: false,
        facts: facts({ months: [], perPlace: 10, forecast: never(years, 10) }),
        choice,
      },
      LEVEL_SETTINGS,
      String,
    )

  test('gets no level by the pieces that one job in twenty years would take', () => {
    expect(reckoned(20, null).state).toBe('below')
    expect(reckoned(1, null)).toMatchObject({ state: 'change', after: { orderUpTo: expect.any(Number) } })
    expect(reckoned(1, null).reason).toMatch(/about 10 a year, 10 at a time, /)
  })

  test('keeps the level it has, or a lower one, and says why it is not raised', () => {
    expect(reckoned(20, { reorderPoint: 0, orderUpTo: 1 })).toMatchObject({
      state: 'same',
      after: { reorderPoint: 0, orderUpTo: 1 },
      reason: expect.stringContaining('asked for so seldom is not raised'),
    })
    expect(reckoned(20, { reorderPoint: 40, orderUpTo: 60 }).after.orderUpTo).toBeLessThan(60)
  })

  test('whose spread is not told by takings is met by whole jobs, not by the tail of a curve', () => {
    const { reorderPoint, orderUpTo } = reckoned(1, null).free
    expect(orderUpTo).toBeGreaterThanOrEqual(10)
    expect(reorderPoint).toBeLessThan(20)
  })
})
