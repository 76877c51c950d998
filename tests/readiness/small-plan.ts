import fc from 'fast-check'
import { planRead, type WorkPlan } from '../../lib/readiness/plan-check.ts'

const day = fc.constantFrom('2026-11-20', '2026-12-10', '2027-01-15', '2027-02-20')
const chance = fc.constantFrom(0, 0.05, 0.3, 0.5, 0.9, 1)
const part = fc.constantFrom('A', 'B', 'C')
const quantity = fc.integer({ min: 1, max: 2 })
const line = fc.oneof(
  fc.record({ part, quantity }),
  fc.record({ part, quantity, chance }),
  fc.record({ part, quantity, places: fc.integer({ min: 1, max: 2 }), look: fc.constantFrom('L', 'M') }),
  fc.record({ part, quantity, cause: fc.constant('box') }),
  fc.record({ part, quantity, cause: fc.constant('box'), chance }),
)
const job = fc.record(
  {
    machine: fc.constantFrom('M1', 'M2'),
    priority: fc.integer({ min: 1, max: 3 }),
    date: day,
    causes: fc.oneof(fc.constant([{ id: 'box', chance: 0.4 }]), fc.constant([{ id: 'box', look: 'M' }])),
    lines: fc.array(line, { minLength: 1, maxLength: 3 }),
  },
  { requiredKeys: ['machine', 'causes', 'lines'] },
)
const stock = fc.record({
  free: fc.integer({ min: 0, max: 4 }),
  price: fc.integer({ min: 1, max: 50 }),
  pack: fc.constantFrom(1, 1, 2),
  minimum: fc.constantFrom(1, 1, 3),
  leadDays: fc.constantFrom(5, 20, 50),
  onOrder: fc.array(fc.record({ quantity, date: day }), { maxLength: 1 }),
})

/** Two or three jobs on two machines that share three parts, two looks and some causes. */
export const smallPlan = fc.record({
  jobs: fc.array(job, { minLength: 1, maxLength: 3 }),
  stocks: fc.tuple(stock, stock, stock),
  looks: fc.tuple(fc.integer({ min: 0, max: 3 }), fc.integer({ min: 0, max: 2 })),
})

export function planOf({
  jobs,
  stocks,
  looks,
}: typeof smallPlan extends fc.Arbitrary<infer Plan> ? Plan : never): unknown {
  return {
    today: '2026-11-02',
    season: { from: '2026-11-16', until: '2027-03-12' },
    suppliers: [{ id: 'S', orderDays: ['tue'] }],
    machines: [{ id: 'M1' }, { id: 'M2' }],
    parts: ['A', 'B', 'C'].map((id, at) => ({ id, supplier: 'S', ...stocks[at] })),
    looks: ['L', 'M'].map((id, at) => ({ id, renewed: looks[at], looked: 4 })),
    jobs: jobs.map((one, at) => ({ id: `J${at}`, ...one })),
  }
}

/** A plan without a fault, as it is reckoned with. */
export function planWithoutFault(value: unknown): WorkPlan {
  const { plan, faults } = planRead(value)
  if (plan === null || faults.length > 0)
    throw new Error(faults.map(({ where, says }) => `${where}: ${says}`).join('; '))
  return plan
}
