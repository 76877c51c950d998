import { must } from '../must.ts'
import type { Solve } from '../solver/model.ts'
import { type Cluster, Union } from './plan-cluster.ts'
import { orderKey, type PlanFacts, type Purchase } from './plan-facts.ts'
import { planImproved } from './plan-improve.ts'
import type { Making } from './plan-making.ts'
import { choicesSettled, choicesWhole, orderIsFree, type PlanModel, planModel, purchasesOf } from './plan-model.ts'
import { breaksOf, costOf, priced } from './plan-priced.ts'
import { statesSolve } from './plan-state.ts'

export interface PlanAsked {
  solve: Solve
  /** Seconds that run by; only differences are used. */
  now: () => number
  seconds: number
  /** Share of the cost that the plan may lie above the least possible. */
  gap: number
  /** Offers by needs up to which the whole model is the quickest way to a proof. */
  wholeUpTo?: number
}

/** Offers by needs. */
export const sizeOf = (list: readonly Cluster[]): number =>
  list.reduce((sum, { groups }) => sum + groups.reduce((more, { arcs }) => more + arcs.length, 0), 0)

/** Clusters that share an order whose carriage or minimum matters hang together; the others are solved by themselves. */
export function componentsOf(facts: PlanFacts, clusters: readonly Cluster[]): Cluster[][] {
  const union = new Union(clusters.length)
  const first = new Map<string, number>()
  for (const [at, { supplies }] of clusters.entries())
    for (const { kind, offer, orderDay } of supplies) {
      if (kind === 'stock') continue
      const { supplier } = facts.offers[offer]!
      if (orderIsFree(facts, supplier)) continue
      const key = orderKey(supplier, orderDay)
      union.join(at, first.get(key) ?? at)
      first.set(key, at)
    }
  const parts = new Map<number, Cluster[]>()
  for (const [at, cluster] of clusters.entries()) {
    const root = union.of(at)
    parts.set(root, [...(parts.get(root) ?? []), cluster])
  }
  return [...parts.values()]
}

/** What was found for some clusters. */
export interface Part {
  purchases: Purchase[] | null
  bound: number
  isProven: boolean
  isImpossible: boolean
}

export function modelSolve(model: PlanModel, seconds: number, { solve, gap }: PlanAsked): Part {
  const solved = solve(model.model, { seconds, gap })
  must(solved.status !== 'endless', 'no plan earns money by ordering')
  if (solved.status === 'impossible') return { purchases: null, bound: 0, isProven: false, isImpossible: true }
  // Nothing costs less than nothing, whatever little the solver had time to prove.
  const bound = Math.max(0, solved.bound)
  if (solved.status === 'none') return { purchases: null, bound, isProven: false, isImpossible: false }
  return {
    purchases: purchasesOf(model, solved.values),
    bound,
    isProven: solved.status === 'proven',
    isImpossible: false,
  }
}

/** Offers by needs up to which the whole model is the quickest way to a proof. */
export const WHOLE_UP_TO = 150

/**
 * A component with all that may be bought where it is small. Where it is large, first a limit that no plan goes below, whose own
 * ways made whole are a plan that is mostly as cheap; then a choice among whole ways; and only where these stay apart the whole
 * model gets what time is left.
 */
export function componentSolve(
  facts: PlanFacts,
  list: readonly Cluster[],
  seconds: number,
  asked: PlanAsked & { simple: readonly Purchase[] },
): Part {
  const began = asked.now()
  const left = () => Math.max(0.05, seconds - (asked.now() - began))
  const whole = () => planModel(facts, list, { budget: null })
  if (sizeOf(list) <= (asked.wholeUpTo ?? WHOLE_UP_TO)) return modelSolve(whole(), left(), asked)
  let best: { purchases: Purchase[]; cost: number } | null = null
  let bound = 0
  const isNear = () => best !== null && best.cost - bound <= Math.max(0.5, asked.gap * best.cost)
  const look = (purchases: Purchase[] | null): number => {
    if (purchases === null) return Infinity
    const one = priced(facts, list, purchases, asked.solve)
    if (breaksOf({ ...facts, budget: null }, one).length > 0) return Infinity
    if (best === null || costOf(one) < best.cost) best = { purchases, cost: costOf(one) }
    return costOf(one)
  }
  const byWays = (seconds: number, settled: Making['settled']) => {
    const ways = planModel(facts, list, { budget: null, by: 'ways', settled })
    look(modelSolve(ways, seconds, { ...asked, gap: asked.gap / 4 }).purchases)
  }
  const states = statesSolve(facts, list, {
    solve: asked.solve,
    simple: asked.simple,
    left: () => seconds * 0.6 - (asked.now() - began),
    look,
    isNear: (sure) => best !== null && best.cost - sure <= Math.max(0.5, asked.gap * best.cost),
  })
  bound = states?.bound ?? 0
  const done = () => ({
    purchases: (best as { purchases: Purchase[] } | null)?.purchases ?? null,
    bound,
    isProven: isNear(),
    isImpossible: false,
  })
  if (isNear()) return done()
  // At hand in no time, and all there is where the solver finds nothing.
  const improved = (share: number) => {
    const [from, most] = [asked.now(), left() * share]
    const before = (best as { purchases: Purchase[] } | null)?.purchases ?? asked.simple
    look(planImproved(facts, list, before, { solve: asked.solve, left: () => most - (asked.now() - from) }))
  }
  improved(0.25)
  if (isNear()) return done()
  const limitModel = planModel(facts, list, { budget: null, by: 'limit' })
  const limit = asked.solve(limitModel.model, { seconds: left() * 0.5, gap: asked.gap / 4 })
  must(limit.status !== 'endless', 'no plan earns money by ordering')
  if (limit.status === 'impossible') return { purchases: null, bound: 0, isProven: false, isImpossible: true }
  bound = Math.max(bound, limit.bound)
  if (limit.status !== 'none') {
    look(purchasesOf(limitModel, choicesWhole(limitModel, limit.values)))
    // Few parts are taken in shares: with the others settled, only those and what tops an order up are left to choose.
    if (!isNear()) byWays(left() * 0.4, choicesSettled(limitModel, limit.values))
  }
  if (!isNear()) byWays(left() * 0.6, new Map())
  if (!isNear() && left() > 0.05) {
    const full = modelSolve(whole(), left(), asked)
    if (full.isImpossible) return full
    bound = Math.max(bound, full.bound)
    look(full.purchases)
  }
  return done()
}
