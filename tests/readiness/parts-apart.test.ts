import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readinessCurve } from '../../lib/readiness/curve.ts'
import { planKnown, readiness } from '../../lib/readiness/readiness.ts'
import { judged } from './enumerate.ts'
import { planOf, planWithoutFault, smallPlan } from './small-plan.ts'

const DICE = { seed: 'a', runs: 2000 }
const apart = (plan: ReturnType<typeof planWithoutFault>, casesAll: number) =>
  planKnown(plan, DICE, () => undefined, casesAll)

test('parts taken apart keep their own chances and needs, and the plan is never said to be readier than it is', () => {
  fc.assert(
    fc.property(smallPlan, (small) => {
      const plan = planWithoutFault(planOf(small))
      const truth = judged(plan)
      const [whole, loose] = [readiness(plan, planKnown(plan, DICE)), readiness(plan, apart(plan, 0))]
      expect(loose.plan.chance).toBeLessThanOrEqual(truth.plan + 1e-10)
      for (const [at, { chance }] of loose.jobs.entries()) expect(chance).toBeLessThanOrEqual(truth.jobs[at]! + 1e-10)
      for (const [at, part] of whole.parts.entries()) {
        const own = loose.parts[at]!
        expect(own.readiness.chance).toBeCloseTo(part.readiness.chance, 10)
        expect(own.all.mean).toBeCloseTo(part.all.mean, 9)
        for (const [job, chance] of part.jobs) expect(own.jobs.get(job)).toBeCloseTo(chance, 10)
      }
    }),
    { numRuns: 150 },
  )
}, 60_000)

/** Forty machines, each with a bearing that one look in four finds worn; with it go two seals, and cleaner as for all else. */
function fleet(machines: number): unknown {
  const at = Array.from({ length: machines }, (_, one) => one)
  const worn = (cause: string, parts: Record<string, number>) =>
    Object.entries(parts).map(([part, quantity]) => ({ part, quantity, cause }))
  return {
    today: '2026-10-05',
    season: { from: '2026-11-16', until: '2027-03-12' },
    suppliers: [{ id: 'S', leadDays: 7 }],
    machines: at.map((one) => ({ id: `M${one}` })),
    parts: [
      { id: 'bearing', free: 2, supplier: 'S', price: 1890 },
      { id: 'seal', free: 4, supplier: 'S', price: 420 },
      { id: 'belt', free: 1, supplier: 'S', price: 2150 },
      { id: 'cleaner', free: 3, supplier: 'S', price: 380 },
    ],
    looks: [
      { id: 'L', renewed: 1, looked: 4 },
      { id: 'M', renewed: 2, looked: 4 },
    ],
    jobs: at.map((one) => ({
      id: `J${one}`,
      machine: `M${one}`,
      causes: [
        { id: 'bearing', look: 'L' },
        { id: 'belt', look: 'M' },
      ],
      lines: [...worn('bearing', { bearing: 1, seal: 2, cleaner: 1 }), ...worn('belt', { belt: 1, cleaner: 1 })],
    })),
  }
}

test('what all works use is taken out first, and what lies on one shaft stays together', () => {
  const plan = planWithoutFault(fleet(3))
  const cleaner = plan.parts.findIndex(({ id }) => id === 'cleaner')
  expect([...apart(plan, 1_000).apart]).toEqual([cleaner])
  // Three machines, so at most three bearings and six seals: both are short exactly when all three are worn, with
  // Beta(1.5, 3.5) that is 1.5/5 x 2.5/6 x 3.5/7 = 0.0625 (Gelman and others, Bayesian Data Analysis, 3rd edition, section 2.4).
  const known = apart(plan, 1_000)
  const together = known.groups.find(({ group }) => group.parts.length === 2)!
  expect(together.chance.plan).toBeCloseTo(1 - 0.0625, 12)
})

test('a fleet of forty is reckoned without dice, and what to buy is asked of it as of any other', () => {
  const plan = planWithoutFault(fleet(40))
  const known = apart(plan, 150_000)
  expect([known.apart.size > 0, known.groups.every(({ simulated }) => simulated === null)]).toEqual([true, true])
  const curve = readinessCurve(plan, known)
  expect(curve.steps.at(-1)!.readiness).toBeGreaterThan(0.999)
  // The look is shared by all forty: what is needed of seals is twice what is needed of bearings, to the last digit.
  const [bearing, seal] = readiness(plan, known).parts
  expect(seal!.all.mean).toBeCloseTo(2 * bearing!.all.mean, 9)
  expect(seal!.all.quantile(0.95)).toBe(2 * bearing!.all.quantile(0.95))
})
