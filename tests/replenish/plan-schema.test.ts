import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { planProblemSchema } from '../../lib/replenish/plan-problem-schema.ts'
import { planRead } from '../../lib/replenish/plan-read.ts'

const doc = (name: string) => JSON.parse(readFileSync(new URL(`../../docs/${name}`, import.meta.url), 'utf8'))
const schema = doc('order-plan.schema.json')

test('the schema in the docs is the one by which a problem is read', () => {
  // Where a shape has changed: write planProblemSchema() to docs/order-plan.schema.json.
  expect(schema).toEqual(planProblemSchema())
})

test('it takes the example of the docs, and refuses what the command refuses', () => {
  const isFine = (problem: unknown) => z.fromJSONSchema(schema).safeParse(problem).success
  const example = doc('order-plan.example.json')
  expect([isFine(example), planRead(example).faults]).toEqual([true, []])
  const breaks = (count: number) => {
    const [first, ...rest] = example.offers
    const prices = Array.from({ length: count }, (_, at) => ({ from: 1 + at * 1000, priceMinor: 900 - at }))
    return { ...example, offers: [{ ...first, prices }, ...rest] }
  }
  const wrong = [
    breaks(13),
    { ...example, needs: [{ ...example.needs[0], quantity: 0 }] },
    { ...example, suppliers: [{ id: 'Alder Vale Supplies' }] },
    { ...example, today: '2026-02-30' },
    { ...example, budgetMinor: -1 },
    { ...example, budget: 100 },
  ]
  for (const [problem, fine] of [[breaks(12), true], ...wrong.map((one) => [one, false])] as [unknown, boolean][]) {
    const { facts, faults } = planRead(problem)
    expect([isFine(problem), facts !== null && faults.length === 0]).toEqual([fine, fine])
  }
})
