import { isForLevel, type PlanFacts } from './plan-facts.ts'

interface Opened {
  open: readonly { need: number; quantity: number }[]
  paid: number
  lateCost: number
}

/** What stays open: for jobs and the like, then for levels, each need by the share of it that is open; then money. */
export function openRank({ needs }: PlanFacts, { open, paid, lateCost }: Opened): number[] {
  const shares = (ofLevel: boolean) =>
    open.reduce((sum, { need, quantity }) => {
      const one = needs[need]!
      return sum + (isForLevel(one) === ofLevel ? quantity / one.quantity : 0)
    }, 0)
  return [shares(false), shares(true), paid + lateCost]
}

/** Negative where the first leaves less open, or costs less where both leave as much. */
export function rankCompare(one: readonly number[], other: readonly number[]): number {
  for (const [at, value] of one.entries()) if (Math.abs(value - other[at]!) > 1e-9) return value - other[at]!
  return 0
}
