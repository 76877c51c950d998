import { planAnswer } from '../../lib/replenish/plan-answer.ts'
import { planRead } from '../../lib/replenish/plan-read.ts'
import { type PlanAsked, planSolve, type Solution } from '../../lib/replenish/plan-solve.ts'
import { highsSolver } from '../../lib/solver/highs.ts'

export const solve = await highsSolver()

export const now = () => performance.now() / 1000

export function planOf(json: unknown, more: Partial<PlanAsked> = {}) {
  const read = planRead(json)
  if (!read.facts) throw new Error(JSON.stringify(read.faults))
  const solution: Solution = planSolve(read.facts, { solve, now, seconds: 20, gap: 0, ...more })
  return { ...read, solution, cost: solution.plan.paid + solution.plan.lateCost }
}

export const supplier = (id: string, more: Record<string, unknown> = {}) => ({ id, leadDays: 3, ...more })
export const offer = (from: string, part: string, priceMinor: number, more: Record<string, unknown> = {}) => ({
  supplier: from,
  part,
  prices: [{ from: 1, priceMinor }],
  ...more,
})
export const need = (part: string, quantity: number, more: Record<string, unknown> = {}) => ({
  part,
  quantity,
  by: '2026-12-18',
  ...more,
})
export function problem(more: Record<string, unknown>) {
  return {
    format: 'cotterbook-order-plan',
    currency: 'GBP',
    today: '2026-11-30',
    parts: [{ id: 'belt' }, { id: 'pin' }],
    ...more,
  }
}
export function answerOf(more: Record<string, unknown>) {
  const read = planOf(problem(more))
  return planAnswer(read, read.solution)
}
