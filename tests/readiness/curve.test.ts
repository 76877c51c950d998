import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { buyList } from '../../lib/readiness/buy-list.ts'
import { curveAt, curveBudgetFor, readinessCurve } from '../../lib/readiness/curve.ts'
import { orderArrives, orderLastDay } from '../../lib/readiness/order-day.ts'
import type { WorkPlan } from '../../lib/readiness/plan-check.ts'
import { planKnown } from '../../lib/readiness/readiness.ts'
import { judged } from './enumerate.ts'
import { planOf, planWithoutFault, smallPlan } from './small-plan.ts'

const DICE = { seed: 'a', runs: 2000 }
const curveOf = (plan: WorkPlan) => readinessCurve(plan, planKnown(plan, DICE))

function boughtOf(plan: WorkPlan, packs: ReadonlyMap<number, number>) {
  return new Map(
    [...packs].map(([part, count]) => {
      const { pack, offer } = plan.parts[part]!
      const { orderDays } = plan.suppliers[offer!.supplier]!
      return [part, { pieces: count * pack, arrives: orderArrives(plan.today, offer!.leadDays, orderDays) }] as const
    }),
  )
}

describe('what to buy', () => {
  test('brings at every step the readiness that handing out the parts finds, and never less than before', () => {
    fc.assert(
      fc.property(smallPlan, (small) => {
        const plan = planWithoutFault(planOf(small))
        const curve = curveOf(plan)
        if (curve.leftOut.length > 0) return
        expect(curve.start).toBeCloseTo(judged(plan).plan, 10)
        const packs = new Map<number, number>()
        let before = curve.start
        let cost = 0
        for (const step of curve.steps) {
          packs.set(step.part, (packs.get(step.part) ?? 0) + step.packs)
          cost += step.packs * plan.parts[step.part]!.offer!.price
          // What is bought with the next one stands at the cost and the readiness of both.
          if (step.isWithNext) {
            const next = curve.steps[curve.steps.indexOf(step) + 1]!
            expect([step.cost, step.readiness]).toEqual([next.cost, next.readiness])
            continue
          }
          expect(step.cost).toBe(cost)
          expect(packs.get(step.part)).toBeGreaterThanOrEqual(plan.parts[step.part]!.packsLeast)
          expect(step.readiness).toBeCloseTo(judged(plan, boughtOf(plan, packs)).plan, 9)
          expect(step.readiness).toBeGreaterThanOrEqual(before)
          before = step.readiness
        }
      }),
      { numRuns: 120 },
    )
  }, 60_000)

  test('is passed by no choice for the same money: all of them were tried', () => {
    let tried = 0
    fc.assert(
      fc.property(smallPlan, fc.nat(200), (small, budget) => {
        // Parts that know nothing of each other: no causes, and a look of its own for each.
        const jobs = small.jobs.map((one) => ({
          ...one,
          lines: one.lines.flatMap((line) =>
            'cause' in line ? [] : [{ ...line, ...('look' in line ? { look: line.part === 'A' ? 'L' : 'M' } : {}) }],
          ),
        }))
        const withoutTies = jobs.map((one) => ({
          ...one,
          lines: one.lines.filter((line) => !('look' in line) || line.part !== 'C'),
        }))
        const plan = planWithoutFault(planOf({ ...small, jobs: withoutTies } as typeof small))
        const curve = curveOf(plan)
        expect(curve.hasTied).toBe(false)
        const { spent, readiness, bestPossible } = curveAt(curve, budget)
        if (bestPossible === null || curve.leftOut.length > 0) return
        tried += 1
        const prices = plan.parts.map(({ offer }) => offer!.price)
        const most = plan.parts.map(({ pack }) => Math.ceil(12 / pack))
        for (let a = 0; a <= most[0]!; a++)
          for (let b = 0; b <= most[1]!; b++)
            for (let c = 0; c <= most[2]!; c++) {
              const cost = a * prices[0]! + b * prices[1]! + c * prices[2]!
              if (cost > budget) break
              if ([a, b, c].some((packs, at) => packs > 0 && packs < plan.parts[at]!.packsLeast)) continue
              const chance = chanceBought(plan, [a, b, c])
              expect(chance).toBeLessThanOrEqual(bestPossible + 1e-6)
              // Along the curve itself nothing better can be had for the money spent.
              if (cost <= spent) expect(chance).toBeLessThanOrEqual(readiness + 1e-6)
            }
      }),
      { numRuns: 40 },
    )
    expect(tried).toBeGreaterThan(10)
  }, 120_000)

  test('reads a budget off: none buys nothing, and the money for a readiness is the least that brings it', () => {
    const plan = planWithoutFault(PAIRS)
    const curve = curveOf(plan)
    expect(curveAt(curve, 0)).toMatchObject({ spent: 0, readiness: curve.start })
    for (const { cost, readiness } of curve.steps) {
      const budget = curveBudgetFor(curve, readiness)!
      expect(budget).toBeLessThanOrEqual(cost)
      expect(curveAt(curve, budget).readiness).toBeGreaterThanOrEqual(readiness)
      expect(curveAt(curve, budget - 1).readiness).toBeLessThan(readiness)
    }
    expect(curveBudgetFor(curve, 1.1)).toBeNull()
  })
})

const memory = new WeakMap<WorkPlan, Map<string, number>>()
function chanceBought(plan: WorkPlan, packs: readonly number[]): number {
  const known = memory.get(plan) ?? new Map<string, number>()
  memory.set(plan, known)
  // Parts know nothing of each other here: each is judged alone, the others there in plenty.
  return packs.reduce((product, count, part) => {
    const key = `${part}/${count}`
    const plenty = packs.map((_, at) => [at, at === part ? count : 99] as const)
    const bought = boughtOf(plan, new Map(plenty))
    for (const [at, one] of bought) if (at !== part) bought.set(at, { ...one, arrives: plan.today })
    const chance = known.get(key) ?? judged(plan, bought).plan
    known.set(key, chance)
    return product * chance
  }, 1)
}

const PAIRS = {
  today: '2026-11-02',
  season: { from: '2026-11-16', until: '2027-03-12' },
  suppliers: [
    { id: 'near', leadDays: 10, orderDays: ['mon', 'thu'] },
    { id: 'far', leadDays: 40 },
  ],
  machines: [{ id: 'M' }],
  parts: [
    { id: 'shoe', supplier: 'near', price: 300, free: 1 },
    { id: 'oil filter', supplier: 'near', price: 90 },
    { id: 'gear', supplier: 'far', price: 8000 },
  ],
  jobs: [
    {
      id: 'J',
      machine: 'M',
      date: '2026-12-01',
      lines: [
        { part: 'shoe', quantity: 4, chance: 0.5 },
        { part: 'oil filter', quantity: 2 },
        { part: 'gear', chance: 0.1 },
      ],
    },
  ],
}

test('what is certain to lack comes first, then brake shoes by the set that one axle takes', () => {
  const plan = planWithoutFault({
    ...PAIRS,
    parts: PAIRS.parts.map((one) => ({ ...one, ...(one.id === 'gear' ? { free: 1 } : {}) })),
  })
  const { steps } = curveOf(plan)
  expect(steps).toMatchObject([
    { part: 1, packs: 2, cost: 180, isCertain: true, readiness: 0.5 },
    { part: 0, packs: 3, cost: 1080, isCertain: false, readiness: 1 },
  ])
})

/** Jobs of one gearbox each that is opened or not: what an opened one takes. */
function boxes(
  count: number,
  chance: number,
  { takes, parts }: { takes: Record<string, number>; parts: Record<string, object> },
) {
  return planWithoutFault({
    ...PAIRS,
    parts: Object.entries(parts).map(([id, more]) => ({ id, supplier: 'near', ...more })),
    jobs: Array.from({ length: count }, (_, at) => ({
      id: `J${at}`,
      machine: 'M',
      date: '2026-12-01',
      causes: [{ id: 'box', chance }],
      lines: Object.entries(takes).map(([part, quantity]) => ({ part, quantity, cause: 'box' })),
    })),
  })
}
/** At most so many of `count` boxes are opened: the binomial sum, worked here term by term. */
function openedAtMost(most: number, count: number, chance: number): number {
  let [sum, term] = [0, (1 - chance) ** count]
  for (let k = 0; k <= most; k++) {
    sum += term
    term *= ((count - k) / (k + 1)) * (chance / (1 - chance))
  }
  return sum
}

/**
 * Pieces of each part for a budget when each is ranked by its own chance alone, by log gained for its money: what knows nothing
 * of the gasket when it buys the seal. `chanceOf`: that no more boxes are opened than a part is there for.
 */
function eachByItself(
  parts: readonly [Stock, Stock],
  budget: number,
  chanceOf: (opened: number) => number,
): [number, number] {
  const bought: [number, number] = [0, 0]
  let left = budget
  for (;;) {
    const moves = parts.map(({ free, price, takes }, at) => {
      const enough = Math.floor((free + bought[at]!) / takes)
      const pieces = takes * (enough + 1) - free - bought[at]!
      const gain = Math.log(Math.min(1, chanceOf(enough + 1))) - Math.log(Math.min(1, chanceOf(enough)))
      return { at, pieces, cost: pieces * price, ratio: gain / (pieces * price) }
    })
    const best = moves.reduce((one, other) => (other.ratio > one.ratio ? other : one))
    if (best.ratio < 1e-9 || best.cost > left) return bought
    bought[best.at]! += best.pieces
    left -= best.cost
  }
}
interface Stock {
  free: number
  price: number
  takes: number
}

describe('parts that are needed together are bought together', () => {
  test('a gasket is bought with its seal: a second gasket alone, however cheap, brings nothing', () => {
    const parts = { gasket: { free: 1, price: 100 }, seal: { free: 1, price: 300 } }
    const curve = curveOf(boxes(6, 0.3, { takes: { gasket: 1, seal: 1 }, parts }))
    // Binomial tables: 6 trials of 0.3, at most 1: 0.4202, at most 2: 0.7443.
    expect([1, 2].map((most) => openedAtMost(most, 6, 0.3).toFixed(4))).toEqual(['0.4202', '0.7443'])
    for (let pairs = 0; pairs <= 5; pairs++) {
      expect(curveAt(curve, 400 * pairs).readiness).toBeCloseTo(openedAtMost(1 + pairs, 6, 0.3), 9)
      expect(curveAt(curve, 400 * pairs + 399)).toMatchObject({ spent: 400 * pairs })
    }
    const list = buyList(boxes(6, 0.3, { takes: { gasket: 1, seal: 1 }, parts }), curve, 400)
    expect(list[0]!.lines).toMatchObject([
      { part: 0, pieces: 1 },
      { part: 1, pieces: 1 },
    ])
  })

  test('where dice stand in for too many causes too: first the gasket that is one fewer, then both', () => {
    const parts = { gasket: { free: 3, price: 100 }, seal: { free: 4, price: 300 } }
    const plan = boxes(22, 0.2, { takes: { gasket: 1, seal: 1 }, parts })
    const known = planKnown(plan, { seed: 'a', runs: 4000 })
    expect(known.groups[0]!.simulated).not.toBeNull()
    const { steps } = readinessCurve(plan, known)
    expect(steps.slice(0, 5).map(({ part, packs, isWithNext }) => [part, packs, isWithNext])).toEqual([
      [0, 1, false],
      [0, 1, true],
      [1, 1, false],
      [0, 1, true],
      [1, 1, false],
    ])
  })

  test('comes close to the best of all choices at any sum, and much closer than each part by itself', () => {
    let [gap, apart, sums] = [0, 0, 0]
    const price = fc.integer({ min: 1, max: 9 })
    const stock = fc.record({ free: fc.nat(2), price, takes: fc.constantFrom(1, 1, 2) })
    fc.assert(
      fc.property(
        fc.tuple(stock, stock),
        fc.integer({ min: 2, max: 5 }),
        fc.constantFrom(0.2, 0.3, 0.5),
        ([a, b], count, chance) => {
          const parts = { a: { free: a.free, price: a.price }, b: { free: b.free, price: b.price } }
          const plan = boxes(count, chance, { takes: { a: a.takes, b: b.takes }, parts })
          const curve = curveOf(plan)
          const opened = (x: number, y: number) =>
            Math.min(Math.floor((a.free + x) / a.takes), Math.floor((b.free + y) / b.takes))
          const chanceOf = (x: number, y: number) => openedAtMost(Math.min(count, opened(x, y)), count, chance)
          const top = curve.steps.at(-1)?.cost ?? 0
          let before = 0
          for (let budget = 0; budget <= top; budget++) {
            let best = 0
            for (let x = 0; x * a.price <= budget; x++)
              best = Math.max(best, chanceOf(x, Math.floor((budget - x * a.price) / b.price)))
            const { readiness } = curveAt(curve, budget)
            expect(readiness).toBeLessThanOrEqual(best + 1e-9)
            expect(readiness).toBeGreaterThanOrEqual(before)
            before = readiness
            gap += best - readiness
            apart +=
              best -
              chanceOf(
                ...eachByItself([a, b], budget, (opened) => openedAtMost(Math.min(count, opened), count, chance)),
              )
            sums += 1
          }
        },
      ),
      { numRuns: 60 },
    )
    expect(sums).toBeGreaterThan(500)
    expect(gap / sums).toBeLessThan(0.01)
    expect(gap).toBeLessThan(apart / 2)
  })
})

test('of what is certain to lack, a small sum buys what makes most machines ready, not what the first job lacks', () => {
  const machines = ['M1', 'M2', 'M3', 'M4'].map((id) => ({ id }))
  const job = (at: number, ...lines: string[]) => ({
    id: `J${at}`,
    machine: `M${at}`,
    date: `2026-12-0${at}`,
    lines: lines.map((part) => ({ part })),
  })
  const plan = planWithoutFault({
    ...PAIRS,
    machines,
    parts: [
      { id: 'rotor', supplier: 'near', price: 200_000 },
      { id: 'belt', supplier: 'near', price: 1000 },
      { id: 'filter', supplier: 'near', price: 700 },
    ],
    jobs: [job(1, 'rotor'), job(2, 'belt'), job(3, 'belt', 'filter'), job(4, 'rotor', 'belt')],
  })
  expect(curveOf(plan).steps.map(({ part, packs, cost, isCertain }) => [part, packs, cost, isCertain])).toEqual([
    [1, 1, 1000, true],
    [1, 1, 2000, true],
    [2, 1, 2700, true],
    [0, 1, 202_700, true],
    [0, 1, 402_700, true],
    [1, 1, 403_700, true],
  ])
})

test('hammers of a rotor are bought by the set, however many a rotor has, and bolts one by one', () => {
  const rotors = fc.record({
    hammers: fc.integer({ min: 2, max: 60 }),
    free: fc.nat(59),
    // A split set can be made up: one more hammer may fail alone.
    isAlone: fc.boolean(),
    machines: fc.integer({ min: 1, max: 4 }),
  })
  fc.assert(
    fc.property(rotors, ({ hammers, free, isAlone, machines }) => {
      const lines = [
        { part: 'hammer', quantity: hammers, chance: 0.4 },
        ...(isAlone ? [{ part: 'hammer', quantity: 1, chance: 0.05 }] : []),
        { part: 'bolt', quantity: 1, places: 3, chance: 0.2 },
      ]
      const plan = planWithoutFault({
        ...PAIRS,
        parts: [
          { id: 'hammer', supplier: 'near', price: 520, free: Math.min(free, hammers - 1) },
          { id: 'bolt', supplier: 'near', price: 40 },
        ],
        machines: Array.from({ length: machines }, (_, at) => ({ id: `M${at}` })),
        jobs: Array.from({ length: machines }, (_, at) => ({
          ...PAIRS.jobs[0]!,
          id: `J${at}`,
          machine: `M${at}`,
          lines,
        })),
      })
      const { steps } = curveOf(plan)
      const bought = (part: number) => steps.filter((step) => step.part === part).map(({ packs }) => packs)
      const all = machines * (hammers + (isAlone ? 1 : 0)) - Math.min(free, hammers - 1)
      expect(bought(0).reduce((sum, packs) => sum + packs, 0)).toBe(all)
      expect(bought(1).every((packs) => packs <= 3)).toBe(true)
      expect(steps.at(-1)!.readiness).toBeCloseTo(1, 6)
    }),
    { numRuns: 60 },
  )
})

test('a part that cannot come before its job is named, and the rest is ranked without it', () => {
  const certain = { ...PAIRS, jobs: [{ ...PAIRS.jobs[0]!, lines: [{ part: 'gear' }, { part: 'oil filter' }] }] }
  const plan = planWithoutFault(certain)
  const curve = curveOf(plan)
  expect(curve.leftOut).toEqual([2])
  expect(curve.steps).toMatchObject([{ part: 1, packs: 1, readiness: 1 }])
  // Uncertain, it stays in with the chance that it is not needed.
  expect(curveOf(planWithoutFault(PAIRS)).steps.at(-1)!.readiness).toBeCloseTo(0.9, 12)
})

// Calendar of 2026: 1 December is a Tuesday, 19 November a Thursday, 2 November a Monday.
test('the last day to order is an order day far enough before the first job that may wait', () => {
  expect(orderLastDay('2026-12-01', 10, ['mon', 'thu'])).toBe('2026-11-19')
  expect(orderLastDay('2026-12-01', 10, [])).toBe('2026-11-21')
  expect(orderArrives('2026-11-03', 10, ['mon', 'thu'])).toBe('2026-11-15')
  expect(orderArrives('2026-11-05', 10, ['mon', 'thu'])).toBe('2026-11-15')
  const plan = planWithoutFault(PAIRS)
  const [order] = buyList(plan, curveOf(plan), 180)
  expect(order).toMatchObject({ supplier: 0, cost: 180, lastDay: '2026-11-19', isLate: false, arrives: '2026-11-12' })
  expect(order!.lines).toMatchObject([{ part: 1, pieces: 2, isCertain: true, neededOn: '2026-12-01' }])
})
