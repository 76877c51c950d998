import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { planKnown, planSimulated, readiness } from '../../lib/readiness/readiness.ts'
import { runsError } from '../../lib/readiness/simulate.ts'
import { needReference, readHandbook } from '../support/reference.ts'
import { judged } from './enumerate.ts'
import { planOf, planWithoutFault, smallPlan } from './small-plan.ts'

const DICE = { seed: 'a', runs: 2000 }
const HEAD = { today: '2026-11-02', season: { from: '2026-11-16', until: '2027-03-12' }, machines: [{ id: 'M' }] }
const SUPPLIERS = [{ id: 'S', leadDays: 7 }]
const found = (value: unknown) => {
  const plan = planWithoutFault(value)
  return readiness(plan, planKnown(plan, DICE))
}

describe('readiness of a small plan', () => {
  test('is that of every way in which its looks and causes may turn out', () => {
    fc.assert(
      fc.property(smallPlan, (small) => {
        const plan = planWithoutFault(planOf(small))
        const answer = readiness(plan, planKnown(plan, DICE))
        const truth = judged(plan)
        expect(answer.runs).toBeNull()
        expect(answer.plan.chance).toBeCloseTo(truth.plan, 10)
        for (const [at, { chance }] of answer.jobs.entries()) expect(chance).toBeCloseTo(truth.jobs[at]!, 10)
        for (const [at, { chance }] of answer.machines.entries()) expect(chance).toBeCloseTo(truth.machines[at]!, 10)
      }),
      { numRuns: 200 },
    )
  }, 60_000)

  test('never falls when there is one piece more', () => {
    fc.assert(
      fc.property(smallPlan, fc.nat(2), (small, at) => {
        const more = {
          ...small,
          stocks: small.stocks.map((one, part) => (part === at ? { ...one, free: one.free + 1 } : one)),
        }
        const [before, after] = [found(planOf(small)), found(planOf(more as typeof small))]
        expect(after.plan.chance).toBeGreaterThanOrEqual(before.plan.chance - 1e-12)
        for (const [job, { chance }] of after.jobs.entries())
          expect(chance).toBeGreaterThanOrEqual(before.jobs[job]!.chance - 1e-12)
      }),
      { numRuns: 100 },
    )
  }, 60_000)
})

// Handbook, B/statistics: three lines that know nothing of each other are there with 0.98, 0.95 and 0.90.
test('a job with three independent lines waits for nothing with the product of their chances', (context) => {
  const { inputs, expected } = readHandbook(needReference(context, 'handbook.json')).find(
    ({ id }) => id === 'readiness-independent',
  )!
  const there = inputs.stock_ok as number[]
  const answer = found({
    ...HEAD,
    suppliers: SUPPLIERS,
    parts: there.map((_, at) => ({ id: `P${at}`, supplier: 'S', price: 1 })),
    jobs: [{ id: 'J', machine: 'M', lines: there.map((chance, at) => ({ part: `P${at}`, chance: 1 - chance })) }],
  })
  expect(Math.abs(answer.jobs[0]!.chance - (expected as number))).toBeLessThanOrEqual(1e-6)
})

// Handbook, B/statistics: 3 of 10 past strips under a flat prior, five coming strips. Jeffreys' prior of the look stands in by
// half a look on either side that its class adds.
test('discs looked at on five machines share the chance that past strips have told', (context) => {
  const { inputs, expected } = readHandbook(needReference(context, 'handbook.json')).find(
    ({ id }) => id === 'beta-binomial-a',
  )!
  const { k, n, m } = inputs as Record<string, number>
  const { mean_chance: mean, P0, P_le_1: atMostOne } = expected as Record<string, number>
  const plan = (free: number) => ({
    ...HEAD,
    suppliers: SUPPLIERS,
    parts: [{ id: 'D', supplier: 'S', price: 1, free }],
    looks: [{ id: 'disc', renewed: k, looked: n, ofClass: { renewed: 1, looked: 1 } }],
    jobs: Array.from({ length: m! }, (_, at) => ({ id: `J${at}`, machine: 'M', lines: [{ part: 'D', look: 'disc' }] })),
  })
  // ofClass of one hit makes Beta(0.5 + 1 + 3, 0.5 + 7); the handbook's is Beta(4, 8): asked of the planned need itself.
  const own = planWithoutFault(plan(0))
  own.looks[0] = { id: 'disc', a: 1 + k!, b: 1 + n! - k! }
  const [part] = readiness(own, planKnown(own, DICE)).parts
  expect(part!.planned.mean / m!).toBeCloseTo(mean!, 9)
  expect(part!.planned.pmf(0)).toBeCloseTo(P0!, 9)
  expect(part!.planned.cdf(1)).toBeCloseTo(atMostOne!, 9)
  own.parts[0]!.free = 1
  expect(readiness(own, planKnown(own, DICE)).plan.chance).toBeCloseTo(atMostOne!, 9)
})

// Handbook, B/spares: expected backorders and their variance (Sherbrooke, Optimal Inventory Modeling of Systems, chapters 2, 5).
test('pieces short of failures alone are the expected backorders of the textbook, with their variance', (context) => {
  const rows = readHandbook(needReference(context, 'handbook.json'))
  const short = (mean: number, free: number) =>
    found({ ...HEAD, parts: [{ id: 'F', free }], failures: [{ part: 'F', rate: mean }] }).parts[0]!.short
  const { inputs, expected } = rows.find(({ id }) => id === 'vbo')!
  const { EBO, VBO } = expected as Record<string, number>
  const found3 = short(inputs.mean as number, inputs.s as number)
  expect(Math.abs(found3.mean - EBO!)).toBeLessThanOrEqual(2e-6)
  expect(Math.abs(found3.deviation ** 2 - VBO!)).toBeLessThanOrEqual(2e-6)
  const recursion = rows.find(({ id }) => id === 'ebo-recursion')!.expected as Record<string, number>
  expect(Math.abs(short(2.5, 2).mean - recursion.EBO_2!)).toBeLessThanOrEqual(2e-5)
  expect(Math.abs(short(2.5, 3).mean - recursion.EBO_3!)).toBeLessThanOrEqual(2e-5)
})

test('an order of certain need is a plain sum: enough is ready for sure, one too few waits for sure', () => {
  const plan = (free: number) => ({
    ...HEAD,
    suppliers: SUPPLIERS,
    parts: [{ id: 'F', supplier: 'S', price: 1, free }],
    jobs: [4, 1, 2].map((quantity, at) => ({
      id: `J${at}`,
      machine: 'M',
      date: `2026-12-0${at + 1}`,
      lines: [{ part: 'F', quantity, places: 2 }],
    })),
  })
  const enough = found(plan(14))
  expect(enough.plan).toEqual({ chance: 1, error: 0 })
  expect(enough.parts[0]).toMatchObject({ certain: 14, covered: 1, short: { mean: 0, deviation: 0 } })
  const few = found(plan(13))
  expect(few.jobs.map(({ chance }) => chance)).toEqual([1, 1, 0])
  expect(few.plan.chance).toBe(0)
})

test('a job that comes first is given its parts before one that can wait, whatever their days', () => {
  const plan = (priority: number) => ({
    ...HEAD,
    suppliers: SUPPLIERS,
    parts: [{ id: 'F', supplier: 'S', price: 1, free: 1 }],
    jobs: [
      { id: 'early', machine: 'M', date: '2026-12-01', lines: [{ part: 'F' }] },
      { id: 'late', machine: 'M', date: '2027-01-01', priority, lines: [{ part: 'F' }] },
    ],
  })
  const ready = (priority: number) => {
    const own = planWithoutFault(plan(priority))
    const { jobs } = readiness(own, planKnown(own, DICE))
    return Object.fromEntries(own.jobs.map(({ id }, at) => [id, jobs[at]!.chance]))
  }
  expect(ready(2)).toEqual({ early: 1, late: 0 })
  expect(ready(1)).toEqual({ early: 0, late: 1 })
})

test('a job at the end of the queue that needs none of a part does not wait for it', () => {
  const jobs = Array.from({ length: 30 }, (_, at) => ({
    id: `J${at}`,
    machine: 'M',
    lines: [{ part: 'F', chance: 0.1 }],
  }))
  const answer = found({ ...HEAD, suppliers: SUPPLIERS, parts: [{ id: 'F', supplier: 'S', price: 1 }], jobs })
  expect(answer.jobs.at(-1)!.chance).toBeCloseTo(0.9, 12)
  expect(answer.plan.chance).toBeCloseTo(0.9 ** 30, 12)
})

const BUSY = {
  ...HEAD,
  machines: [{ id: 'M' }, { id: 'N' }],
  suppliers: SUPPLIERS,
  looks: [
    { id: 'disc', renewed: 3, looked: 10 },
    { id: 'box', renewed: 1, looked: 3 },
  ],
  parts: [
    { id: 'A', supplier: 'S', price: 1, free: 3, onOrder: [{ quantity: 2, date: '2027-01-02' }] },
    { id: 'B', supplier: 'S', price: 1, free: 6 },
    { id: 'C', supplier: 'S', price: 1, free: 1 },
  ],
  failures: [
    { part: 'A', rate: 0.02, exposure: 60, shape: 0.8 },
    { part: 'B', rate: 1.5, quantity: 2 },
  ],
  jobs: ['M', 'N', 'M', 'N'].map((machine, at) => ({
    id: `J${at}`,
    machine,
    date: `2026-12-${10 + at}`,
    causes: [{ id: 'box', look: 'box' }],
    lines: [
      { part: 'A', places: 2, look: 'disc' },
      { part: 'B', chance: 0.3, quantity: 2 },
      { part: 'B', cause: 'box' },
      { part: 'C', cause: 'box', chance: 0.6 },
    ],
  })),
}

test('forty thousand seasons by dice find what was reckoned, within four standard errors', () => {
  // One job later, after the goods on the way have come.
  BUSY.jobs[3]!.date = '2027-02-01'
  const plan = planWithoutFault(BUSY)
  const known = planKnown(plan, DICE)
  const exact = readiness(plan, known)
  expect(exact.runs).toBeNull()
  const runs = 40_000
  const played = planSimulated(plan, { seed: 'winter', runs })
  const near = (share: number, chance: number) =>
    expect(Math.abs(share - chance)).toBeLessThanOrEqual(4 * runsError(share, runs))
  near(played.plan, exact.plan.chance)
  for (const [job, share] of played.jobs) near(share, exact.jobs[job]!.chance)
  for (const [machine, share] of played.machines) near(share, exact.machines[machine]!.chance)
  for (const { part, chance } of played.parts) near(chance, exact.parts[part]!.readiness.chance)
  expect(planSimulated(plan, { seed: 'winter', runs: 500 })).toEqual(planSimulated(plan, { seed: 'winter', runs: 500 }))
})

test('where too many causes tie parts together the answer comes by dice, with its standard error', () => {
  // Thirty gearboxes, each opened with one chance in five: gasket and seal for each. Both are enough when at most six are opened.
  const jobs = Array.from({ length: 30 }, (_, at) => ({
    id: `J${at}`,
    machine: 'M',
    causes: [{ id: 'box', chance: 0.2 }],
    lines: [
      { part: 'gasket', cause: 'box' },
      { part: 'seal', cause: 'box', quantity: 2 },
    ],
  }))
  const parts = [
    { id: 'gasket', supplier: 'S', price: 1, free: 6 },
    { id: 'seal', supplier: 'S', price: 1, free: 12 },
  ]
  const plan = planWithoutFault({ ...HEAD, suppliers: SUPPLIERS, parts, jobs })
  const { plan: whole, runs } = readiness(plan, planKnown(plan, { seed: 'box', runs: 20_000 }))
  expect(runs).toBe(20_000)
  // Binomial tables: 30 trials of 0.2, at most 6: 0.6070 (worked by a sum here).
  let atMostSix = 0
  for (let k = 0, chance = 0.8 ** 30; k <= 6; k++, chance *= ((30 - k + 1) / k) * 0.25) atMostSix += chance
  expect(atMostSix).toBeCloseTo(0.607, 3)
  expect(whole.error).toBeGreaterThan(0.001)
  expect(Math.abs(whole.chance - atMostSix)).toBeLessThanOrEqual(4 * whole.error)
})
