import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { orderNeed } from '../../lib/replenish/order-list.ts'
import { planAnswer } from '../../lib/replenish/plan-answer.ts'
import { planRead } from '../../lib/replenish/plan-read.ts'
import { shopProblem } from '../../lib/replenish/plan-shop.ts'
import type { ShopNeed, ShopPart, ShopState } from '../../lib/replenish/plan-shop-state.ts'
import {
  forWinterSays,
  type ShopWinterNeed,
  type WinterHolds,
  winterNeeds,
  winterTakesOnce,
} from '../../lib/replenish/plan-shop-winter.ts'
import { planSolve } from '../../lib/replenish/plan-solve.ts'
import { peggedSays } from '../../lib/replenish/plan-words.ts'
import { highsSolver } from '../../lib/solver/highs.ts'
import type { Solve } from '../../lib/solver/model.ts'

let solve: Solve
beforeAll(async () => {
  solve = await highsSolver()
})

const TODAY = '2026-11-30'
const WINTER = { id: 7, name: 'Winter 2026/27' }

const aWinterNeed = (quantity: number, more: Partial<ShopWinterNeed> = {}): ShopWinterNeed => ({
  id: `winter 7/1/${more.on ?? '2027-01-11'}${more.isCertain === false ? '/perhaps' : ''}`,
  planId: WINTER.id,
  plan: WINTER.name,
  partId: 1,
  quantity,
  on: '2027-01-11',
  machines: ['T-03'],
  isCertain: true,
  ...more,
})
const aJob = (quantity: number): ShopNeed => ({
  ...{ id: 1, partId: 1, quantity, jobId: 1, job: 214, machine: 'T-03', needOn: '2026-12-07', priority: 2 },
})
const hubSeal = (more: Partial<ShopPart>): ShopPart => ({
  ...{ id: 1, number: 'HS-40', maker: 'Thornley & Pike', unit: 'each', onHand: 0, allocated: 0, wantedByJobs: 0 },
  ...{ incoming: [], level: null, discontinued: false },
  ...more,
})
const coming = (quantity: number): ShopPart['incoming'] =>
  quantity === 0 ? [] : [{ quantity, on: '2026-12-02', is: 'on order', document: 'order 9', orderId: 9, draftId: null }]

/** One supplier and one part. */
function planned(
  part: Partial<ShopPart>,
  winter: ShopWinterNeed[],
  jobs: ShopNeed[] = [],
  more: Partial<ShopState> = {},
) {
  const { problem, names } = shopProblem({
    today: TODAY,
    currency: 'GBP',
    standingDayMinor: 10_000,
    parts: [hubSeal(part)],
    needs: jobs,
    winter,
    suppliers: [
      {
        ...{ id: 1, name: 'Alder Vale', leadDays: 3, orderDays: [], carriageMinor: 0 },
        ...{ carriagePaidFromMinor: null, minimumOrderMinor: 0 },
      },
    ],
    offers: [
      {
        ...{ supplierId: 1, partId: 1, pack: 1, minimum: 1, prices: [{ from: 1, priceMinor: 420 }] },
        ...{ breaks: 'all-units', discountPercent: 0, preferred: false },
      },
    ],
    ...{ kits: [], links: [], alternatives: [], byHand: [], faults: [] },
    ...more,
  })
  const read = planRead(problem)
  if (!read.facts) throw new Error(JSON.stringify(read.faults))
  expect(read.faults).toEqual([])
  const now = () => performance.now() / 1000
  const answer = planAnswer(read, planSolve(read.facts, { solve, now, seconds: 10, gap: 0 }))
  const lines = answer.orders.flatMap((order) => order.lines)
  return { answer, names, lines, bought: lines.reduce((sum, { quantity }) => sum + quantity, 0) }
}

describe('winter plans among the needs of the order plan', () => {
  test('what services take is bought less what is there, and each line says for which plan and machines', () => {
    const { lines, bought, answer, names } = planned({ onHand: 5 }, [
      aWinterNeed(4, { on: '2026-12-14', machines: ['T-03', 'T-07'] }),
      aWinterNeed(3, { on: '2027-01-11', machines: ['T-09'] }),
    ])
    expect(bought).toBe(2)
    expect(peggedSays(lines[0]!, (_, quantity) => String(quantity))).toBe('2 for Winter 2026/27: T-09')
    // The shelf goes to the weeks that come first.
    expect(answer.fromStock.map(({ quantity, for: what }) => [quantity, what.service])).toEqual([
      [4, 'Winter 2026/27: T-03, T-07'],
      [1, 'Winter 2026/27: T-09'],
    ])
    expect(lines[0]!.pegged.map(({ need }) => names.winters?.[need])).toEqual([
      { planId: 7, partId: 1, quantity: 3, says: 'Winter 2026/27: T-09' },
    ])
  })

  test('a level is what is left after the winter: the same stock is never counted for both', () => {
    const level = { reorderPoint: 2, orderUpTo: 6 }
    // 5 - 2 leave 3, above the reorder point of 2.
    expect(planned({ onHand: 5, level }, [aWinterNeed(2)]).bought).toBe(0)
    // 5 - 4 leave 1: up to 6 again is 5.
    expect(planned({ onHand: 5, level }, [aWinterNeed(4)]).bought).toBe(5)
    expect(planned({ onHand: 5, level }, []).bought).toBe(0)
  })

  test('what is on condition is met by what a level brings, and only what goes beyond it is bought on top', () => {
    const level = { reorderPoint: 2, orderUpTo: 6 }
    const perhaps = (quantity: number) => [aWinterNeed(quantity, { isCertain: false })]
    expect(planned({ onHand: 1, level }, []).bought).toBe(5)
    expect(planned({ onHand: 1, level }, perhaps(4)).bought).toBe(5)
    expect(planned({ onHand: 1, level }, perhaps(8)).bought).toBe(7)
    // Above the reorder point the shelf serves it, and the level asks for nothing because of what may never be taken.
    expect(planned({ onHand: 5, level }, perhaps(4)).bought).toBe(0)
  })

  test('jobs, winter and level together buy what a reorder rule would with the winter as wanted; ordered, nothing is bought again', {
    timeout: 60_000,
  }, () => {
    let some = 0
    fc.assert(
      fc.property(
        fc.record({
          onHand: fc.nat(9),
          onOrder: fc.nat(4),
          job: fc.nat(4),
          weeks: fc.array(fc.integer({ min: 1, max: 4 }), { maxLength: 3 }),
          level: fc.option(fc.record({ reorderPoint: fc.nat(3), more: fc.integer({ min: 1, max: 4 }) })),
        }),
        ({ onHand, onOrder, job, weeks, level }) => {
          const set = level && { reorderPoint: level.reorderPoint, orderUpTo: level.reorderPoint + level.more }
          const winter = weeks.map((quantity, at) => aWinterNeed(quantity, { on: `2027-01-${11 + 7 * at}` }))
          const jobs = job === 0 ? [] : [aJob(job)]
          const part = { onHand, wantedByJobs: job, level: set }
          const wanted = job + weeks.reduce((sum, one) => sum + one, 0)
          const need = orderNeed({
            ...{ partId: 1, onHand, onOrder, wantedByJobs: wanted },
            ...{ reorderPoint: set?.reorderPoint ?? null, orderUpTo: set?.orderUpTo ?? null },
          })
          const { bought } = planned({ ...part, incoming: coming(onOrder) }, winter, jobs)
          expect(bought).toBe(need)
          some += Number(need > 0 && weeks.length > 0)
          expect(planned({ ...part, incoming: coming(onOrder + bought) }, winter, jobs).bought).toBe(0)
        },
      ),
      { numRuns: 60, seed: 5 },
    )
    expect(some).toBeGreaterThan(20)
  })
})

const holds = (more: Partial<WinterHolds>): WinterHolds => ({
  ...{ partId: 1, stock: 0, jobs: 0, bought: null, isByHand: false, most: null, on: '2026-12-01' },
  ...more,
})
const take = (machine: string, quantity: number, on: string, isCertain = true) => ({
  ...{ machine, partId: 1, quantity, on, isCertain },
})

describe('a winter plan as needs', () => {
  const takes = [
    take('T-07', 2, '2027-01-11'),
    take('T-03', 2, '2026-12-14'),
    take('T-09', 1, '2026-12-14'),
    take('T-05', 3, '2026-12-21', false),
  ]
  const said = (more: Partial<WinterHolds>) =>
    winterNeeds(WINTER, takes, [holds(more)]).map(({ quantity, on, machines, isCertain }) => [
      `${quantity} ${on} ${machines.join('+')}${isCertain ? '' : ' perhaps'}`,
    ])

  test('without a budget only what is certain is asked for, week by week', () => {
    const certain = [['3 2026-12-14 T-03+T-09'], ['2 2027-01-11 T-07']]
    expect(said({ stock: 4 })).toEqual(certain)
    expect(said({ stock: 4, bought: 0 })).toEqual(certain)
  })

  test('what the list buys on condition is asked for with the stock that it counts on', () => {
    // 4 there and 3 bought, 1 for a job and 5 certain: 1 is left for what is found.
    expect(said({ stock: 4, jobs: 1, bought: 3 }).at(-1)).toEqual(['1 2026-12-21 T-05 perhaps'])
    // A pack brings more than can be taken.
    expect(said({ stock: 4, bought: 10, most: 3 }).at(-1)).toEqual(['3 2026-12-21 T-05 perhaps'])
  })

  test('a quantity set by hand is the last word: with less, the latest machines go without', () => {
    expect(said({ stock: 3, bought: 0, isByHand: true })).toEqual([['3 2026-12-14 T-03+T-09']])
    expect(said({ stock: 3, bought: 1, isByHand: true })).toEqual([['3 2026-12-14 T-03+T-09'], ['1 2027-01-11 T-07']])
    expect(said({ stock: 0, bought: 0, isByHand: true })).toEqual([])
  })

  test('a machine that two plans name is served by the first of them', () => {
    const plan = (list: typeof takes) => ({ takes: list, holds: [holds({ bought: 4 })] })
    const [first, second] = winterTakesOnce([plan(takes.slice(0, 2)), plan(takes)])
    expect(first!.takes).toHaveLength(2)
    expect(second!.takes.map(({ machine }) => machine)).toEqual(['T-09', 'T-05'])
    expect([first!.holds[0]!.bought, second!.holds[0]!.bought]).toEqual([4, null])
  })

  test('its words fit in a line, and machines that do not fit are counted', () => {
    const says = (machines: string[], isCertain = true) => forWinterSays(aWinterNeed(1, { machines, isCertain }))
    expect(says(['T-03', 'T-07'])).toBe('Winter 2026/27: T-03, T-07')
    expect(says(['T-03'], false)).toBe('Winter 2026/27, on condition: T-03')
    expect(says([], false)).toBe('Winter 2026/27, failures in work')
    expect(says(Array.from({ length: 30 }, (_, at) => `T-${at + 10}`))).toMatch(
      /^Winter 2026\/27: T-10, .* and \d+ more$/,
    )
    fc.assert(
      fc.property(
        fc.string({ minLength: 3, maxLength: 60 }),
        fc.array(fc.string({ minLength: 1, maxLength: 40 }), { maxLength: 120 }),
        fc.boolean(),
        (plan, machines, isCertain) => {
          const words = forWinterSays(aWinterNeed(1, { plan, machines, isCertain }))
          expect(words.length).toBeLessThanOrEqual(80)
        },
      ),
      { seed: 8 },
    )
  })
})
