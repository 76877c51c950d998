import { type Model, ModelBuilder, type Term } from '../solver/model.ts'
import { type Cluster, plainQuantity } from './plan-cluster.ts'
import type { PlanFacts, Purchase } from './plan-facts.ts'
import type { Making, OrderVars, PurchaseVars, ShortVars } from './plan-making.ts'
import { clusterModel } from './plan-model-cluster.ts'
import { plainModel } from './plan-model-plain.ts'
import { type Floating, floatingGoods, waysModel } from './plan-model-ways.ts'

/**
 * Of a plain part: all that may be bought; only the ways that cover it, which is quick and may miss a few pence; or a limit that
 * no plan goes below.
 */
export type PlanWays = 'all' | 'ways' | 'limit'

interface PlanModelAsked {
  budget: number | null
  /** Needs may stay open. */
  canBeShort?: boolean
  by?: PlanWays
  settled?: Making['settled']
}

export interface PlanModel {
  model: Model
  purchases: PurchaseVars[]
  /** What stays open; empty where nothing may. */
  short: ShortVars[]
  choices: Making['choices']
}

/** Costs nothing by itself and asks for nothing: such an order links no parts. */
export const orderIsFree = ({ suppliers }: PlanFacts, supplier: number): boolean =>
  suppliers[supplier]!.carriage === 0 && suppliers[supplier]!.minimum === 0

/**
 * The whole plan of some clusters as a mixed-integer programme. Packs are whole; each run of a price list has a yes or no and its
 * own limits, no larger than what can ever be sensible, which keeps the relaxation close; an order has a yes or no for its
 * carriage and minimum, and one for the threshold from which the supplier pays the carriage.
 */
export function planModel(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  { budget, canBeShort = false, by = 'all', settled = new Map() }: PlanModelAsked,
): PlanModel {
  const builder = new ModelBuilder()
  const orders = new Map<string, OrderVars>()
  const orderOf = (offer: number, day: number): OrderVars => {
    const { supplier } = facts.offers[offer]!
    const key = `${supplier}@${day}`
    let order = orders.get(key)
    if (!order) {
      const { carriage, paidFrom } = facts.suppliers[supplier]!
      const placed = orderIsFree(facts, supplier) ? null : builder.choice(carriage)
      const waived = placed !== null && carriage > 0 && paidFrom !== null ? builder.choice(-carriage) : null
      order = { supplier, day, placed, waived, goods: [] }
      orders.set(key, order)
    }
    return order
  }
  const making: Making = { facts, builder, orderOf, purchases: [], short: canBeShort ? [] : null, choices: [], settled }
  const floating: Floating | null = by === 'limit' ? { spent: [] } : null
  for (const cluster of clusters) {
    const plain = plainQuantity(facts, cluster)
    if (plain === null) clusterModel(making, cluster)
    else if (plain > 0 && by === 'all') plainModel(making, cluster, plain)
    else if (plain > 0) waysModel(making, cluster, plain, floating)
  }
  const all = [...orders.values()]
  if (floating) floatingGoods(builder, all, floating)
  const spent: Term[] = []
  for (const { supplier, placed, waived, goods } of all) {
    const { minimum, paidFrom, carriage } = facts.suppliers[supplier]!
    spent.push(...goods)
    if (placed === null) continue
    if (minimum > 0) builder.atLeast(0, [...goods, [placed, -minimum]])
    spent.push([placed, carriage])
    if (waived === null) continue
    spent.push([waived, -carriage])
    builder.atMost(0, [
      [waived, 1],
      [placed, -1],
    ])
    builder.atLeast(0, [...goods, [waived, -(paidFrom ?? 0)]])
  }
  if (budget !== null) builder.atMost(budget, spent)
  return { model: builder.model, purchases: making.purchases, short: making.short ?? [], choices: making.choices }
}

/** Of each part the way that an answer in shares leans to most, whole. */
export function choicesWhole({ choices }: PlanModel, values: readonly number[]): number[] {
  const whole = [...values]
  for (const { columns } of choices) {
    let most = columns[0]!
    for (const column of columns) {
      if (values[column]! > values[most]!) most = column
      whole[column] = 0
    }
    whole[most] = 1
  }
  return whole
}

/** Parts of which an answer in shares takes one offer alone, and nothing else. */
export function choicesSettled({ choices }: PlanModel, values: readonly number[]): Making['settled'] {
  return new Map(
    choices.flatMap(({ part, columns, alone }) => {
      const taken = alone.get(columns.find((column) => values[column]! > 0.9999) ?? -1)
      return taken ? [[part, taken] as const] : []
    }),
  )
}

/** Packs bought in an answer of the solver, whole again. */
export function purchasesOf({ purchases }: PlanModel, values: readonly number[]): Purchase[] {
  return purchases.flatMap(({ offer, day, packs }) => {
    const count = packs.reduce((sum, [column, times]) => sum + Math.round(values[column]!) * times, 0)
    return count > 0 ? [{ offer, day, packs: count }] : []
  })
}
