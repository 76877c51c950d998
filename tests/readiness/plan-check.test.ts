import { expect, test } from 'vitest'
import { planRead } from '../../lib/readiness/plan-check.ts'

const PLAN = {
  today: '2026-11-02',
  season: { from: '2026-11-16', until: '2027-03-12' },
  suppliers: [{ id: 'S', leadDays: 7 }],
  machines: [{ id: 'M' }],
  parts: [
    { id: 'good', supplier: 'S', price: 100, free: 1 },
    { id: 'unsold', free: 2 },
    { id: 'old', supplier: 'S', price: 100, free: 1, supersededBy: 'good' },
    { id: 'broken', free: -3 },
  ],
  jobs: [
    { id: 'fine', machine: 'M', lines: [{ part: 'good' }, { part: 'unsold' }, { part: 'old' }] },
    { id: 'elsewhere', machine: 'N', lines: [{ part: 'good' }] },
    { id: 'nothing', machine: 'M', lines: [{ part: 'good', quantity: -1 }] },
    { id: 'too sure', machine: 'M', lines: [{ part: 'good', chance: 1.2 }] },
    { id: 'unknown', machine: 'M', lines: [{ part: 'lost' }] },
    { id: 'no cause', machine: 'M', lines: [{ part: 'good', cause: 'box' }] },
  ],
  failures: [{ part: 'good', rate: -1 }],
}

test('every fault of a plan is said with where it is and what to do, and the rest is reckoned with', () => {
  const { plan, faults } = planRead(PLAN)
  const said = faults.map(({ where, says, next }) => `${where}: ${says} ${next}`)
  for (const words of [
    /^part 4 \(broken\), free: must be a whole number from 0/,
    /^job elsewhere: there is no machine N Add it/,
    /^job nothing, line 1, quantity: must be a whole number from 1/,
    /^job too sure, line 1, chance: must be a chance from 0 to 1/,
    /^job unknown, line 1: there is no part lost Add it/,
    /^job no cause, line 1: the job has no cause box/,
    /^part unsold: nobody sells it Name its supplier\. Until then only what is there/,
    /^job fine, line 3: old is superseded by good Name good\./,
    /^failure 1, rate: must be zero or more/,
  ])
    expect(said.filter((one) => words.test(one))).toHaveLength(1)
  expect(faults).toHaveLength(9)
  expect(plan!.jobs.map(({ id }) => id)).toEqual(['fine'])
  expect(plan!.jobsLeftOut).toEqual(['elsewhere', 'nothing', 'too sure', 'unknown', 'no cause'])
  expect(plan!.parts.map(({ id, offer }) => [id, offer !== null])).toEqual([
    ['good', true],
    ['unsold', false],
    ['old', false],
  ])
})

test('without a day or a season there is no plan', () => {
  for (const head of [{ today: 'soon' }, { season: { from: '2027-03-12', until: '2026-11-16' } }]) {
    const { plan, faults } = planRead({ ...PLAN, ...head })
    expect(plan).toBeNull()
    expect(faults).toHaveLength(1)
  }
  expect(planRead([]).plan).toBeNull()
})
