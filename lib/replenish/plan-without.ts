import { moneyFormat } from '../measure/money.ts'
import { planRead } from './plan-read.ts'
import { type PlanAsked, planSolve } from './plan-solve.ts'

/** The plan as it would be without one thing that was said by hand. */
export interface PlanWithout {
  /** In words: "the budget of £120.00", "what is fixed of AB-12 from Alder Vale". */
  without: string
  /** Needs that would still be open; those that nothing can fill whatever is said are among them. */
  open: number
  /** Goods and carriage, money minor units. */
  paidMinor: number
}

/** So many things are tried at most, each for an equal share of the time. */
const TRIED_MAX = 8

/**
 * Each thing that was said by hand, taken away alone: which of them it is that keeps needs open. Only those without which fewer
 * stay open are answered, those that help most first.
 */
export function planWithout(problem: unknown, asked: PlanAsked): PlanWithout[] {
  const tries = triesOf(problem).slice(0, TRIED_MAX)
  const solved = (json: unknown) => {
    const read = planRead(json)
    if (!read.facts) return null
    const { plan, open, unreached } = planSolve(read.facts, { ...asked, seconds: asked.seconds / (tries.length + 1) })
    return { open: open.length + unreached.length + read.unfilled.length, paidMinor: plan.paid }
  }
  if (tries.length === 0) return []
  const before = solved(problem)
  return tries
    .flatMap(({ without, json }) => {
      const one = solved(json)
      return one && before && one.open < before.open ? [{ without, ...one }] : []
    })
    .sort((a, b) => a.open - b.open || a.paidMinor - b.paidMinor)
}

/** Each thing that was said by hand, with the problem as it is without it. */
export function triesOf(json: unknown): { without: string; json: unknown }[] {
  if (typeof json !== 'object' || json === null) return []
  const problem = json as Record<string, unknown>
  const list = (name: 'fixed' | 'forbidden') => (Array.isArray(problem[name]) ? (problem[name] as unknown[]) : [])
  const named = (item: unknown, key: 'offer' | 'supplier') =>
    typeof item === 'object' && item !== null && key in item ? String((item as Record<string, unknown>)[key]) : null
  const { budgetMinor, ...free } = problem
  const less = (name: 'fixed' | 'forbidden', at: number) => ({ ...problem, [name]: list(name).toSpliced(at, 1) })
  return [
    ...(typeof budgetMinor === 'number'
      ? [{ without: `the budget of ${moneyFormat(budgetMinor, String(problem.currency))}`, json: free }]
      : []),
    ...list('forbidden').map((item, at) => ({
      without: `the refusal of ${named(item, 'supplier') ?? named(item, 'offer')}`,
      json: less('forbidden', at),
    })),
    ...list('fixed').map((item, at) => ({
      without: `the quantity set for ${named(item, 'offer')}`,
      json: less('fixed', at),
    })),
  ]
}
