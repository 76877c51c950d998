import { must } from '../must.ts'
import type { Solve } from '../solver/model.ts'
import { type Cluster, clustersOf, Union } from './plan-cluster.ts'
import { type OrderCost, ordersCost, ordersPaid } from './plan-cost.ts'
import { isForLevel, orderKey, type PlanFacts, type Purchase } from './plan-facts.ts'
import { boughtOf, clusterFill, type Fill } from './plan-fill.ts'
import { JOB_BEFORE_LEVEL, type Making } from './plan-making.ts'
import { choicesSettled, choicesWhole, orderIsFree, type PlanModel, planModel, purchasesOf } from './plan-model.ts'
import { simplePlan } from './plan-simple.ts'
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

/** A set of purchases with all that follows from it. */
export interface Priced {
  purchases: Purchase[]
  orders: OrderCost[]
  fills: Fill[]
  open: { need: number; quantity: number }[]
  /** Goods and carriage. */
  paid: number
  lateCost: number
}

export interface Solution {
  plan: Priced
  simple: Priced
  /** What the simple rule breaks; empty where it could be ordered as it stands. */
  simpleBreaks: SimpleBreak[]
  /** Lower limit of goods, carriage and lateness; null where not all needs can be filled, since then there is no such plan. */
  bound: number | null
  isProven: boolean
  /** Needs that no supply at all reaches in time. */
  unreached: number[]
  /** Needs that stay open or in part, because limits contradict each other. */
  open: { need: number; quantity: number }[]
  /** With a budget that is too small: the least that filling all of it takes. */
  budgetNeeded: number | null
  seconds: number
}

export type SimpleBreak = 'budget' | 'minimum' | 'open'

const costOf = ({ paid, lateCost }: Priced): number => paid + lateCost

/** Prices purchases and deals out what they bring. */
export function priced(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  purchases: readonly Purchase[],
  solve: Solve,
): Priced {
  const orders = ordersCost(facts, purchases)
  const bought = boughtOf(purchases)
  const filled = clusters.map((cluster) => clusterFill(facts, cluster, bought, solve))
  return {
    purchases: [...purchases],
    orders,
    fills: filled.flatMap(({ fills }) => fills),
    open: filled.flatMap(({ open }) => open),
    paid: ordersPaid(orders),
    lateCost: filled.reduce((sum, { lateCost }) => sum + lateCost, 0),
  }
}

function breaksOf(facts: PlanFacts, { paid, orders, open }: Priced): SimpleBreak[] {
  const breaks: SimpleBreak[] = []
  if (facts.budget !== null && paid > facts.budget) breaks.push('budget')
  if (orders.some(({ belowMinimum }) => belowMinimum > 0)) breaks.push('minimum')
  if (open.length > 0) breaks.push('open')
  return breaks
}

/** Clusters that share an order whose carriage or minimum matters hang together; the others are solved by themselves. */
function componentsOf(facts: PlanFacts, clusters: readonly Cluster[]): Cluster[][] {
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

interface Part {
  purchases: Purchase[] | null
  bound: number
  isProven: boolean
  isImpossible: boolean
}

function modelSolve(model: PlanModel, seconds: number, { solve, gap }: PlanAsked): Part {
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

const WHOLE_UP_TO = 150

/**
 * A component with all that may be bought where it is small. Where it is large, first a limit that no plan goes below, whose own
 * ways made whole are a plan that is mostly as cheap; then a choice among whole ways; and only where these stay apart the whole
 * model gets what time is left.
 */
function componentSolve(facts: PlanFacts, list: readonly Cluster[], seconds: number, asked: PlanAsked): Part {
  const began = asked.now()
  const left = () => Math.max(0.05, seconds - (asked.now() - began))
  const size = list.reduce((sum, { groups }) => sum + groups.reduce((more, { arcs }) => more + arcs.length, 0), 0)
  const whole = () => planModel(facts, list, { budget: null, shortCost: null })
  if (size <= (asked.wholeUpTo ?? WHOLE_UP_TO)) return modelSolve(whole(), left(), asked)
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
    const ways = planModel(facts, list, { budget: null, shortCost: null, by: 'ways', settled })
    look(modelSolve(ways, seconds, { ...asked, gap: asked.gap / 4 }).purchases)
  }
  const states = statesSolve(facts, list, {
    solve: asked.solve,
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
  const limitModel = planModel(facts, list, { budget: null, shortCost: null, by: 'limit' })
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

/**
 * The plan: what hangs together is solved together, the small before the large, and what time they leave goes to the next. The
 * simple rule's plan takes the place of whatever the solver did not better.
 */
export function planSolve(facts: PlanFacts, asked: PlanAsked): Solution {
  const began = asked.now()
  const left = () => Math.max(0.05, asked.seconds - (asked.now() - began))
  const unreached = unreachedOf(facts)
  const whole: PlanFacts = { ...facts, needs: facts.needs.map((need) => need) }
  const isOut = new Set(unreached)
  const kept = [...facts.needs.keys()].filter((need) => !isOut.has(need))
  whole.needs = kept.map((need) => facts.needs[need]!)
  const clusters = clustersOf(whole)
  const simple = priced(whole, clusters, simplePlan(whole), asked.solve)
  const simpleBreaks = breaksOf(whole, simple)

  const components = componentsOf(whole, clusters).sort((a, b) => a.length - b.length)
  let open = clusters.length
  const purchases: Purchase[] = []
  let bound = 0
  let isProven = true
  let isImpossible = false
  for (const list of components) {
    const share = list.length / open
    open -= list.length
    const part = componentSolve(whole, list, Math.max(0.05, left() * share), asked)
    bound += part.bound
    isProven &&= part.isProven
    if (part.isImpossible) {
      isImpossible = true
      const short = shortSolve(whole, list, { budget: null, seconds: left() * Math.max(0.2, share), asked })
      purchases.push(...short)
    } else purchases.push(...better(whole, list, part.purchases, simple, asked))
  }
  let plan = priced(whole, clusters, purchases, asked.solve)
  let budgetNeeded: number | null = null
  if (facts.budget !== null && plan.paid > facts.budget) {
    const bounded = modelSolve(planModel(whole, clusters, { budget: facts.budget, shortCost: null }), left(), asked)
    if (isImpossible || bounded.isImpossible) {
      budgetNeeded = isImpossible ? null : Math.ceil(bound - 1e-6)
      isImpossible = true
      const short = shortSolve(whole, clusters, { budget: facts.budget, seconds: left(), asked })
      const [dropped, solved] = [linesDropped(facts, plan), short].map((one) =>
        priced(whole, clusters, one, asked.solve),
      ) as [Priced, Priced]
      const canDrop = dropped.paid <= facts.budget && dropped.orders.every(({ belowMinimum }) => belowMinimum === 0)
      plan = canDrop && openWeight(whole, dropped) < openWeight(whole, solved) ? dropped : solved
    } else {
      const found = bounded.purchases
      if (found === null) {
        isImpossible = true
        plan = priced(
          whole,
          clusters,
          shortSolve(whole, clusters, { budget: facts.budget, seconds: 5, asked }),
          asked.solve,
        )
      } else plan = priced(whole, clusters, found, asked.solve)
      bound = Math.max(bound, bounded.bound)
      isProven = bounded.isProven
    }
  }
  if (!isImpossible && simpleBreaks.length === 0 && costOf(simple) < costOf(plan)) plan = simple
  return {
    ...named(kept, { plan, simple }),
    simpleBreaks,
    bound: isImpossible || plan.open.length > 0 ? null : Math.min(bound, costOf(plan)),
    isProven: isProven && !isImpossible && plan.open.length === 0,
    unreached,
    open: plan.open.map(({ need, quantity }) => ({ need: kept[need]!, quantity })),
    budgetNeeded,
    seconds: asked.now() - began,
  }
}

/** Needs by their place in the facts, where some had been left out. */
function named(kept: readonly number[], { plan, simple }: { plan: Priced; simple: Priced }) {
  const back = (one: Priced): Priced => ({
    ...one,
    fills: one.fills.map((fill) => ({ ...fill, need: kept[fill.need]! })),
    open: one.open.map(({ need, quantity }) => ({ need: kept[need]!, quantity })),
  })
  return { plan: back(plan), simple: back(simple) }
}

/** The solver's purchases for a component, or the simple rule's where those cost less or there are none. */
function better(
  facts: PlanFacts,
  list: readonly Cluster[],
  found: Purchase[] | null,
  simple: Priced,
  { solve }: PlanAsked,
): Purchase[] {
  const offers = new Set(list.flatMap(({ supplies }) => supplies.map(({ offer }) => offer)))
  const bySimple = priced(
    facts,
    list,
    simple.purchases.filter(({ offer }) => offers.has(offer)),
    solve,
  )
  const canSimple = breaksOf({ ...facts, budget: null }, bySimple).length === 0
  if (found === null) return bySimple.purchases
  const bySolver = priced(facts, list, found, solve)
  return canSimple && costOf(bySimple) < costOf(bySolver) ? bySimple.purchases : bySolver.purchases
}

/** The purchases of a plan without the fewest lines that bring it within the budget; the cheapest of those where one is enough. */
function linesDropped({ budget, offers }: PlanFacts, { orders, paid }: Priced): Purchase[] {
  let over = paid - (budget ?? Infinity)
  const lines = orders.flatMap((order) => order.lines).sort((a, b) => a.price - b.price)
  const gone = new Set<Purchase>()
  while (over > 0 && gone.size < lines.length) {
    const open = lines.filter((line) => !gone.has(line) && offers[line.offer]!.fixedPacks === null)
    const line = open.find(({ price }) => price >= over) ?? open.at(-1)
    if (!line) break
    gone.add(line)
    over -= line.price
  }
  return lines.filter((line) => !gone.has(line)).map(({ offer, day, packs }) => ({ offer, day, packs }))
}

/** What stays open, need by need; one that a job waits for counts as much as many levels. */
const openWeight = ({ needs }: PlanFacts, { open }: Priced): number =>
  open.reduce((sum, { need }) => sum + (isForLevel(needs[need]!) ? 1 : JOB_BEFORE_LEVEL), 0)

/** As many needs as the limits let be filled, and of those ways the cheapest: what stays open costs more than anything else. */
function shortSolve(
  facts: PlanFacts,
  list: readonly Cluster[],
  { budget, seconds, asked }: { budget: number | null; seconds: number; asked: PlanAsked },
): Purchase[] {
  const offers = [
    ...new Set(list.flatMap(({ supplies }) => supplies.flatMap(({ offer }) => (offer < 0 ? [] : [offer])))),
  ]
  const dearest = Math.max(
    1,
    ...offers.map((at) => {
      const { segments, supplier, holds } = facts.offers[at]!
      const { carriage, minimum } = facts.suppliers[supplier]!
      const [first] = segments
      return (first!.fixed + first!.perPack * first!.lo) / holds[0]!.quantity + carriage + minimum
    }),
  )
  const model = planModel(facts, list, { budget, shortCost: dearest * 4 })
  const part = modelSolve(model, seconds, { ...asked, gap: Math.max(asked.gap, 1e-4) })
  return part.purchases ?? []
}

/** Needs that neither stock nor any offer reaches by their date, where they may not be late. */
function unreachedOf(facts: PlanFacts): number[] {
  return clustersOf(facts).flatMap(({ groups }) =>
    groups.flatMap(({ arcs, needs }) => (arcs.length === 0 ? needs : [])),
  )
}
