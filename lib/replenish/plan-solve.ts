import { allSolve, bestOf, withinBudget } from './plan-budget.ts'
import { clustersOf } from './plan-cluster.ts'
import type { PlanAsked } from './plan-component.ts'
import type { PlanFacts } from './plan-facts.ts'
import { fixedChecked } from './plan-fixed.ts'
import { breaksOf, costOf, type Priced, priced, type SimpleBreak } from './plan-priced.ts'
import type { PlanFault } from './plan-read-offer.ts'
import { simplePlan } from './plan-simple.ts'

export type { PlanAsked } from './plan-component.ts'
export type { Priced, SimpleBreak } from './plan-priced.ts'

export interface Solution {
  plan: Priced
  simple: Priced
  /** What the simple rule breaks; empty where it could be ordered as it stands. */
  simpleBreaks: SimpleBreak[]
  /** Lower limit of goods, carriage and lateness; null where something stays open that could be had by itself. */
  bound: number | null
  isProven: boolean
  /** Needs that no supply at all reaches in time. */
  unreached: number[]
  /** Needs that stay open or in part, because limits contradict each other. */
  open: { need: number; quantity: number }[]
  /** With a budget that is too small: the least that is paid for filling all; null where not known. */
  budgetNeeded: number | null
  /** Time ran out before it was known whether all can be filled: no plan that does costs less than this. */
  unknownFrom: number | null
  /** What is fixed by hand and could not be kept. */
  faults: PlanFault[]
  seconds: number
}

/** The plan for what was asked, by the facts as they were read. */
export function planSolve(facts: PlanFacts, asked: PlanAsked): Solution {
  const began = asked.now()
  const left = () => Math.max(0, asked.seconds - (asked.now() - began))
  const unreached = unreachedOf(facts)
  const isOut = new Set(unreached)
  const kept = [...facts.needs.keys()].filter((need) => !isOut.has(need))
  const reached: PlanFacts = { ...facts, needs: kept.map((need) => facts.needs[need]!) }
  const { facts: whole, faults } = fixedChecked(reached, asked)
  const clusters = clustersOf(whole)
  const simple = priced(whole, clusters, simplePlan(whole), asked.solve)
  const simpleBreaks = breaksOf(whole, simple)

  const { budget } = whole
  const found = allSolve(whole, clusters, simple.purchases, {
    ...asked,
    seconds: budget === null ? left() : left() * FREE_SHARE,
  })
  let plan = priced(whole, clusters, found.purchases, asked.solve)
  let { isProven } = found
  let bound: number | null = found.isImpossible ? null : found.bound
  let budgetNeeded: number | null = null
  let isUnknown = bound !== null && plan.open.length > 0
  if (budget !== null && plan.paid > budget) {
    const within = withinBudget(whole, clusters, {
      ...asked,
      seconds: left(),
      budget,
      free: { ...found, plan },
      simple: simple.purchases,
    })
    ;({ plan, bound, isProven, isUnknown } = within)
    budgetNeeded = within.needed
  } else if (budget !== null && !isProven && left() > 0 && bound !== null) {
    // What was kept for the budget is not needed for it.
    const more = allSolve(whole, clusters, plan.purchases, { ...asked, seconds: left() })
    bound = Math.max(bound, more.bound)
    plan = priced(whole, clusters, bestOf(whole, clusters, [plan.purchases, more.purchases], asked), asked.solve)
    isProven = more.isProven
  }
  if (plan.open.length === 0 && simpleBreaks.length === 0 && costOf(simple) < costOf(plan)) plan = simple
  const isWhole = plan.open.length === 0
  return {
    ...named(kept, { plan, simple }),
    simpleBreaks,
    bound: bound === null || !isWhole ? null : Math.min(bound, costOf(plan)),
    isProven: isProven && bound !== null && isWhole,
    unreached,
    open: plan.open.map(({ need, quantity }) => ({ need: kept[need]!, quantity })),
    budgetNeeded,
    unknownFrom: isUnknown ? bound : null,
    faults,
    seconds: asked.now() - began,
  }
}

/** Of the time, for the plan without its budget; most of it is left over where that is within the budget. */
const FREE_SHARE = 0.4

/** Needs by their place in the facts, where some had been left out. */
function named(kept: readonly number[], { plan, simple }: { plan: Priced; simple: Priced }) {
  const back = (one: Priced): Priced => ({
    ...one,
    fills: one.fills.map((fill) => ({ ...fill, need: kept[fill.need]! })),
    open: one.open.map(({ need, quantity }) => ({ need: kept[need]!, quantity })),
  })
  return { plan: back(plan), simple: back(simple) }
}

/** Needs that neither stock nor any offer reaches by their date, where they may not be late. */
function unreachedOf(facts: PlanFacts): number[] {
  return clustersOf(facts).flatMap(({ groups }) =>
    groups.flatMap(({ arcs, needs }) => (arcs.length === 0 ? needs : [])),
  )
}
