import type { PlanFacts, Purchase } from './plan-facts.ts'
import { orderKey } from './plan-facts.ts'
import { packsPrice, supplierCarriage } from './plan-price.ts'

export interface OrderCost {
  supplier: number
  day: number
  goods: number
  carriage: number
  /** How far the goods are below the minimum order of the supplier; 0 where they reach it. */
  belowMinimum: number
  lines: (Purchase & { price: number })[]
}

/** What the purchases cost, order by order, from the price lists alone: nothing of the solver's answer but packs is believed. */
export function ordersCost(facts: PlanFacts, purchases: readonly Purchase[]): OrderCost[] {
  const orders = new Map<string, OrderCost>()
  for (const one of purchases) {
    const { supplier, segments } = facts.offers[one.offer]!
    const price = packsPrice(one.packs, segments)
    const key = orderKey(supplier, one.day)
    const order = orders.get(key) ?? { supplier, day: one.day, goods: 0, carriage: 0, belowMinimum: 0, lines: [] }
    order.goods += price
    order.lines.push({ ...one, price })
    orders.set(key, order)
  }
  for (const order of orders.values()) {
    const supplier = facts.suppliers[order.supplier]!
    order.carriage = supplierCarriage(order.goods, supplier)
    order.belowMinimum = Math.max(0, supplier.minimum - order.goods)
  }
  return [...orders.values()].sort((a, b) => a.day - b.day || a.supplier - b.supplier)
}

/** Goods and carriage. */
export const ordersPaid = (orders: readonly OrderCost[]): number =>
  orders.reduce((sum, { goods, carriage }) => sum + goods + carriage, 0)
