import { type Cluster, clustersOf } from './plan-cluster.ts'
import { componentSolve, componentsOf, modelSolve, type PlanAsked, sizeOf, WHOLE_UP_TO } from './plan-component.ts'
import type { PlanFacts, Purchase } from './plan-facts.ts'
import { planModel } from './plan-model.ts'
import { openRank, rankCompare } from './plan-open.ts'
import { breaksOf, costOf, isFixedBought, type Priced, priced } from './plan-priced.ts'
import { planCut, shortSolve } from './plan-short.ts'

/** Clusters solved part by part. */
export interface Found {
  purchases: Purchase[]
  bound: number
  isProven: boolean
  /** Some need cannot be filled within the limits, budget aside. */
  isImpossible: boolean
}

/**
 * What hangs together is solved together, the small before the large, and what time they leave goes to the next. No budget here.
 * The simple rule's plan takes the place of whatever the solver did not better.
 */
export function allSolve(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  simple: readonly Purchase[],
  asked: PlanAsked,
): Found {
  const began = asked.now()
  const left = () => asked.seconds - (asked.now() - began)
  const found: Found = { purchases: [], bound: 0, isProven: true, isImpossible: false }
  const components = componentsOf(facts, clusters).sort((a, b) => a.length - b.length)
  let open = clusters.length
  for (const list of components) {
    const share = list.length / open
    open -= list.length
    const offers = new Set(list.flatMap(({ supplies }) => supplies.map(({ offer }) => offer)))
    const bySimple = simple.filter(({ offer }) => offers.has(offer))
    const part = componentSolve(facts, list, Math.max(0.05, left() * share), { ...asked, simple: bySimple })
    found.bound += part.bound
    found.isProven &&= part.isProven
    found.isImpossible ||= part.isImpossible
    const until = left() * Math.max(0.2, share)
    const from = asked.now()
    const shortly = () =>
      shortSolve(facts, list, { ...asked, budget: null, left: () => until - (asked.now() - from) }).purchases
    const free = { ...facts, budget: null }
    // What stays open in the plan of the simple rule may be had, unless that was shown to be impossible.
    const tries = [part.purchases, bySimple, part.isImpossible ? shortly() : null]
    found.purchases.push(...bestOf(free, list, tries, asked))
  }
  return found
}

/** Of some sets of purchases the best that keeps the limits: least open, then least money. Those that keep none are cut until they do. */
export function bestOf(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  tries: readonly (readonly Purchase[] | null)[],
  { solve }: PlanAsked,
): Purchase[] {
  let best: { plan: Priced; rank: number[] } | null = null
  for (const one of tries) {
    if (one === null) continue
    let plan = priced(facts, clusters, one, solve)
    if (breaksOf(facts, plan).some((what) => what !== 'open'))
      plan = priced(facts, clusters, planCut(facts, plan), solve)
    const rank = [Number(breaksOf(facts, plan).some((what) => what !== 'open')), ...openRank(facts, plan)]
    if (best === null || rankCompare(rank, best.rank) < 0) best = { plan, rank }
  }
  return best?.plan.purchases ?? []
}

export interface Within {
  plan: Priced
  /** Lower limit of a plan within the budget that fills all; null where there is none. */
  bound: number | null
  isProven: boolean
  /** Least money that filling all takes, carriage included and lateness not; null where not known. */
  needed: number | null
  /** Time ran out before a plan that fills all was found or shown to be impossible. */
  isUnknown: boolean
}

interface WithinAsked extends PlanAsked {
  budget: number
  /** The plan without the budget, which takes more than it. */
  free: Found & { plan: Priced }
  simple: readonly Purchase[]
}

/** So often the price of money is tried. */
const TRIES = 6

/**
 * The cheapest plan within a budget that the cheapest of all goes over. What counts is only what is paid, not what comes late: so
 * first the least that can be paid at all, lateness for nothing, which says whether there is such a plan. Where there is, lateness is
 * priced at a share f of its own until the money fits: for any f from 0 to 1 every plan within the budget B costs at least
 * (least of paid + f x late - (1 - f) B) / f, the Lagrangian bound of the budget. What that leaves open is for the whole model.
 */
export function withinBudget(facts: PlanFacts, clusters: readonly Cluster[], asked: WithinAsked): Within {
  const { budget, free, now, gap, solve } = asked
  const began = now()
  const left = () => asked.seconds - (now() - began)
  const isSmall = sizeOf(clusters) <= (asked.wholeUpTo ?? WHOLE_UP_TO)
  const isLate = clusters.some(({ groups }) => groups.some(({ arcs }) => arcs.some(({ cost }) => cost > 0)))
  let bound = free.bound
  let needed: number | null = null
  let isImpossible = free.isImpossible
  let best: Priced | null = null
  const isNear = () => best !== null && costOf(best) - bound <= Math.max(0.5, gap * costOf(best))
  const tries: Purchase[][] = [free.plan.purchases]
  const look = (purchases: readonly Purchase[]): Priced => {
    const plan = priced(facts, clusters, purchases, solve)
    tries.push(plan.purchases)
    if (
      breaksOf(facts, plan).length === 0 &&
      isFixedBought(facts, plan) &&
      (best === null || costOf(plan) < costOf(best))
    )
      best = plan
    return plan
  }
  const atShare = (share: number, seconds: number) => {
    const needs = facts.needs.map((one) => ({
      ...one,
      latePerDay: one.latePerDay === null ? null : one.latePerDay * share,
    }))
    const own = { ...facts, needs, budget: null }
    const found = allSolve(own, clustersOf(own), asked.simple, { ...asked, seconds: Math.max(0.05, seconds) })
    return { found, plan: look(found.purchases) }
  }
  look(asked.simple)
  if (!isImpossible) {
    const { found, plan } = isLate ? atShare(0, left() * 0.25) : { found: free, plan: free.plan }
    const least = Math.ceil(found.bound - 1e-6)
    if (least > budget) {
      isImpossible = true
      needed = least
    } else if (!isSmall && isLate && plan.paid <= budget) {
      let [low, high] = [0, 1]
      for (let nth = 0; nth < TRIES && !isNear() && left() > 0; nth++) {
        const share = (low + high) / 2
        const one = atShare(share, (left() * 0.6) / (TRIES - nth))
        bound = Math.max(bound, (one.found.bound - (1 - share) * budget) / share)
        if (one.plan.paid <= budget) low = share
        else high = share
      }
    }
  }
  let isProven = isNear()
  if (!isImpossible && !isNear() && left() > 0) {
    const part = modelSolve(planModel(facts, clusters, { budget, canBeShort: false }), left() * (best ? 1 : 0.5), asked)
    if (part.isImpossible) isImpossible = true
    else {
      bound = Math.max(bound, part.bound)
      if (part.purchases) look(part.purchases)
      isProven = isNear()
    }
  }
  const filled = best as Priced | null
  if (filled !== null && !isImpossible)
    return { plan: filled, bound: Math.min(bound, costOf(filled)), isProven, needed, isUnknown: false }
  const short = left() > 0 ? shortSolve(facts, clusters, { ...asked, left }).purchases : null
  const plan = priced(facts, clusters, bestOf(facts, clusters, [short, ...tries], asked), solve)
  const isWhole = plan.open.length === 0
  return {
    plan,
    bound: isImpossible ? null : bound,
    isProven: false,
    needed,
    isUnknown: !isImpossible && !isWhole,
  }
}
