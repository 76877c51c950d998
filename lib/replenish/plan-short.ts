import { solveInTurn } from '../solver/in-turn.ts'
import type { Solve, Term } from '../solver/model.ts'
import type { Cluster } from './plan-cluster.ts'
import { ordersCost, ordersPaid } from './plan-cost.ts'
import { isForLevel, type PlanFacts, type Purchase } from './plan-facts.ts'
import { shortGoals } from './plan-making.ts'
import { planModel, purchasesOf } from './plan-model.ts'
import type { Priced } from './plan-priced.ts'

interface ShortAsked {
  budget: number | null
  solve: Solve
  left: () => number
  gap: number
}

/** A gap that nobody asks to be smaller where not all can be had. */
const SHORT_GAP = 1e-4

/**
 * Where not all can be had: first the least open of what jobs and the like wait for, each need by its share; of those ways the
 * least open of levels; of those the cheapest. `purchases` null where the time ran out before any was found, or where the limits
 * do not even leave what is fixed by hand.
 */
export function shortSolve(
  facts: PlanFacts,
  list: readonly Cluster[],
  { budget, solve, left, gap }: ShortAsked,
): { purchases: Purchase[] | null; isProven: boolean } {
  const model = planModel(facts, list, { budget, canBeShort: true })
  const money = model.model.columns.flatMap(({ cost }, column): Term[] => (cost === 0 ? [] : [[column, cost]]))
  const goals = [...shortGoals(model.short).filter((goal) => goal.length > 0), money]
  const solved = solveInTurn(model.model, goals, { solve, left, gap: Math.max(gap, SHORT_GAP) })
  if (solved.status !== 'proven' && solved.status !== 'found') return { purchases: null, isProven: false }
  return { purchases: purchasesOf(model, solved.values), isProven: solved.status === 'proven' }
}

interface CutLine extends Purchase {
  price: number
  /** Needs that it fills, each by its share: those of jobs and the like, and levels. */
  jobs: number
  levels: number
}

/**
 * A plan brought within the budget and the minimum orders without a solver: what is only for levels goes first, of that and of the
 * rest what fills least for its money; then whatever still fits comes back. What is fixed by hand stays.
 */
export function planCut(facts: PlanFacts, { orders, fills }: Pick<Priced, 'orders' | 'fills'>): Purchase[] {
  const { budget, needs, offers } = facts
  const lines = orders.flatMap((order) =>
    order.lines.map((line): CutLine => {
      const own = fills.filter(
        ({ supply }) => supply.kind === 'order' && supply.offer === line.offer && supply.orderDay === line.day,
      )
      const filled = (ofLevel: boolean) =>
        own.reduce((sum, { need, covers }) => {
          const one = needs[need]!
          return isForLevel(one) === ofLevel ? sum + covers / one.quantity : sum
        }, 0)
      return { ...line, jobs: filled(false), levels: filled(true) }
    }),
  )
  const worth = (value: number, { price }: CutLine) => value / Math.max(1, price)
  const dearestFirst = lines
    .filter(({ offer }) => offers[offer]!.fixedPacks === null)
    .sort((a, b) => worth(a.jobs, a) - worth(b.jobs, b) || worth(a.levels, a) - worth(b.levels, b) || b.price - a.price)
  const gone = new Set<CutLine>()
  const kept = () => lines.filter((line) => !gone.has(line))
  const paid = () => ordersPaid(ordersCost(facts, kept()))
  const isOver = () => budget !== null && paid() > budget
  for (const line of dearestFirst) {
    if (!isOver()) break
    gone.add(line)
  }
  const below = () => ordersCost(facts, kept()).filter(({ belowMinimum }) => belowMinimum > 0)
  for (const order of below())
    for (const line of dearestFirst)
      if (line.day === order.day && offers[line.offer]!.supplier === order.supplier) gone.add(line)
  for (const line of [...dearestFirst].reverse()) {
    if (!gone.has(line)) continue
    gone.delete(line)
    if (isOver() || below().length > 0) gone.add(line)
  }
  return kept().map(({ offer, day, packs }) => ({ offer, day, packs }))
}
