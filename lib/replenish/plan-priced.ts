import type { Solve } from '../solver/model.ts'
import type { Cluster } from './plan-cluster.ts'
import { type OrderCost, ordersCost, ordersPaid } from './plan-cost.ts'
import type { PlanFacts, Purchase } from './plan-facts.ts'
import { boughtOf, clusterFill, type Fill } from './plan-fill.ts'

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

export type SimpleBreak = 'budget' | 'minimum' | 'open'

export const costOf = ({ paid, lateCost }: Priced): number => paid + lateCost

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

/** Limits that a plan breaks; empty where it can be ordered as it stands. */
export function breaksOf(
  { budget }: Pick<PlanFacts, 'budget'>,
  { paid, orders, open }: Pick<Priced, 'paid' | 'orders' | 'open'>,
): SimpleBreak[] {
  const breaks: SimpleBreak[] = []
  if (budget !== null && paid > budget) breaks.push('budget')
  if (orders.some(({ belowMinimum }) => belowMinimum > 0)) breaks.push('minimum')
  if (open.length > 0) breaks.push('open')
  return breaks
}

/** Whether all that is fixed by hand is bought. */
export function isFixedBought({ offers }: PlanFacts, { purchases }: Priced): boolean {
  return offers.every(({ fixedPacks }, at) => {
    if (fixedPacks === null) return true
    return purchases.reduce((sum, { offer, packs }) => sum + (offer === at ? packs : 0), 0) === fixedPacks
  })
}
