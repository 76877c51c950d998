import type { Solve } from '../solver/model.ts'
import type { Cluster } from './plan-cluster.ts'
import { orderKey, type PlanFacts, type Purchase } from './plan-facts.ts'
import { boughtOf, clusterFill } from './plan-fill.ts'
import { openRank, rankCompare } from './plan-open.ts'
import { packsPrice, packsSold, supplierCarriage } from './plan-price.ts'

const ROUNDS_MAX = 4

/**
 * A plan bettered line by line, without a model: each line goes to whatever other offer of its part makes the whole cheaper, carriage
 * and lateness included, or is left out where nothing misses it. Never dearer, and no minimum order is missed that was reached.
 */
export function planImproved(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  purchases: readonly Purchase[],
  { solve, left }: { solve: Solve; left: () => number },
): Purchase[] {
  const clusterOf = new Map<number, Cluster>()
  const sells = new Map<number, { offer: number; day: number }[]>()
  for (const cluster of clusters)
    for (const { kind, offer, orderDay: day } of cluster.supplies) {
      if (kind === 'stock') continue
      clusterOf.set(offer, cluster)
      const { isKit, holds, fixedPacks } = facts.offers[offer]!
      if (isKit || fixedPacks !== null) continue
      sells.set(holds[0]!.part, [...(sells.get(holds[0]!.part) ?? []), { offer, day }])
    }
  const orders = new Map<string, { supplier: number; goods: number; lines: number }>()
  const own = new Map<Cluster, Purchase[]>()
  const rest: Purchase[] = []
  const keyOf = ({ offer, day }: Purchase) => orderKey(facts.offers[offer]!.supplier, day)
  const priceOf = ({ offer, packs }: Purchase) => packsPrice(packs, facts.offers[offer]!.segments)
  const book = (line: Purchase, sign: 1 | -1) => {
    const { supplier } = facts.offers[line.offer]!
    const order = orders.get(keyOf(line)) ?? { supplier, goods: 0, lines: 0 }
    order.goods += sign * priceOf(line)
    order.lines += sign
    orders.set(keyOf(line), order)
  }
  for (const line of purchases) {
    book(line, 1)
    const cluster = clusterOf.get(line.offer)
    if (cluster) own.set(cluster, [...(own.get(cluster) ?? []), line])
    else rest.push(line)
  }
  /** What goods, carriage and missed minimums of these orders come to. */
  const costOf = (keys: Iterable<string>) => {
    let [paid, below] = [0, 0]
    for (const key of keys) {
      const order = orders.get(key)
      if (!order || order.lines === 0) continue
      const supplier = facts.suppliers[order.supplier]!
      paid += order.goods + supplierCarriage(order.goods, supplier)
      below += Math.max(0, supplier.minimum - order.goods)
    }
    return { paid, below }
  }
  for (let round = 0, isBetter = true; isBetter && round < ROUNDS_MAX; round++) {
    isBetter = false
    for (const cluster of own.keys())
      for (const line of [...own.get(cluster)!]) {
        if (left() <= 0) return [...rest, ...[...own.values()].flat()]
        const { holds, isKit, fixedPacks, pack } = facts.offers[line.offer]!
        const lines = own.get(cluster)!
        if (fixedPacks !== null || isKit || !lines.includes(line)) continue
        const others = lines.filter((one) => one !== line)
        const tried = (sells.get(holds[0]!.part) ?? []).flatMap(({ offer, day }): Purchase[] => {
          if (others.some((one) => one.offer === offer && one.day === day)) return []
          const other = facts.offers[offer]!
          const packs = packsSold(Math.ceil((line.packs * pack) / other.pack), other.segments)
          return packs === null ? [] : [{ offer, day, packs }]
        })
        const keys = new Set([line, ...tried].map(keyOf))
        book(line, -1)
        const rankOf = (to: Purchase | null): number[] => {
          if (to) book(to, 1)
          const { paid, below } = costOf(keys)
          if (to) book(to, -1)
          const bought = boughtOf(to ? [...others, to] : others)
          const { open, lateCost } = clusterFill(facts, cluster, bought, solve)
          return [below, ...openRank(facts, { open, lateCost, paid })]
        }
        let best: { to: Purchase | null; rank: number[] } = { to: line, rank: rankOf(line) }
        for (const to of [null, ...tried]) {
          const rank = rankOf(to)
          if (rankCompare(rank, best.rank) < 0) best = { to, rank }
        }
        if (best.to) book(best.to, 1)
        isBetter ||= best.to !== line
        own.set(cluster, best.to ? [...others, best.to] : others)
      }
  }
  return [...rest, ...[...own.values()].flat()]
}
