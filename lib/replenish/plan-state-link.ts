import type { Cluster } from './plan-cluster.ts'
import { orderKey, type PlanFacts } from './plan-facts.ts'
import { type CoverTable, coverTable, type SplitOffer } from './plan-split.ts'
import { type WayOffer, waysFor } from './plan-state-part.ts'
import type { PlainWays, Way, Worths } from './plan-state-way.ts'
import { type Least, plainLeast } from './plan-state-worth.ts'

/** So many cases of who fills what are gone through, cluster by cluster. */
const CASES_MAX = 4_000

/** The least of a cluster for any worths of goods, without a solver. */
export type LinkedTable = (worths: Worths) => { value: number; way: Way | null }

interface Item {
  offers: WayOffer[]
  /** Offer by offer: its order (-1 where it does not matter) and what a pack of it holds and costs. */
  orders: number[]
  covers: SplitOffer[]
  /** No case buys more. */
  most: number
  ways: Map<number, PlainWays>
}

/** How much of each item is bought in a case. */
type Case = readonly number[]

/**
 * Parts that hang together by stand-ins and kits fall apart again once it is said how much each stands in for and how many kits
 * there are: each case is plain parts. Where nothing comes late and the cases are few, all of them are looked at, which is exact.
 * Null where it is not so.
 */
export function linkedTable(
  facts: PlanFacts,
  cluster: Cluster,
  orderAt: ReadonlyMap<string, number>,
): LinkedTable | null {
  const said = itemsOf(facts, cluster)
  const cases = said && casesOf(said)
  if (!cases) return null
  const items = said.items.map(({ offers }, at): Item => {
    const most = cases.reduce((sum, one) => Math.max(sum, one[at]!), 0)
    const orders = offers.map(({ offer, day }) => orderAt.get(orderKey(facts.offers[offer]!.supplier, day)) ?? -1)
    const covers = offers.map(({ offer, pack }) => ({ pack, runs: facts.offers[offer]!.segments }))
    return { offers, orders, covers, most, ways: new Map() }
  })
  const waysAt = (item: Item, quantity: number) => {
    const ways = item.ways.get(quantity) ?? waysFor(facts, item.offers, quantity, orderAt)
    item.ways.set(quantity, ways)
    return ways
  }
  return (worths) => {
    const tables = items.map((item) => coversOf(item, worths))
    const seen = items.map(() => new Map<number, Least>())
    const leastAt = (at: number, quantity: number) => {
      const least = seen[at]!.get(quantity) ?? plainLeast(waysAt(items[at]!, quantity), worths)
      seen[at]!.set(quantity, least)
      return least
    }
    const valueAt = (at: number, quantity: number) => {
      const table = tables[at]
      return table ? table.least[Math.ceil(quantity / table.grain)]! : leastAt(at, quantity).value
    }
    let [best, value]: [Case | null, number] = [null, Infinity]
    for (const one of cases) {
      let sum = 0
      for (let at = 0; at < one.length && sum < value; at++) sum += valueAt(at, one[at]!)
      if (sum < value) [best, value] = [one, sum]
    }
    const ways = best?.map((quantity, at) => leastAt(at, quantity).way) ?? [null]
    return { value, way: ways.every((way) => way !== null) ? together(ways as Way[]) : null }
  }
}

/** What every quantity of an item costs after what its goods are worth; null where that takes too long. */
function coversOf({ orders, covers, most }: Item, { states, worth }: Worths): CoverTable | null {
  const places = [...covers.keys()].filter((place) => orders[place]! < 0 || states[orders[place]!] !== 0)
  return coverTable(
    places.map((place) => covers[place]!),
    most,
    places.map((place) => (orders[place]! < 0 ? 1 : 1 - worth[orders[place]!]!)),
  )
}

function together(ways: readonly Way[]): Way {
  const goods = new Map<number, number>()
  for (const way of ways) for (const [order, money] of way.goods) goods.set(order, (goods.get(order) ?? 0) + money)
  return {
    cost: ways.reduce((sum, { cost }) => sum + cost, 0),
    goods,
    purchases: ways.flatMap(({ purchases }) => purchases),
  }
}

interface Said {
  /** Parts first, then kits. */
  items: { offers: WayOffer[]; holds: { item: number; quantity: number }[] }[]
  parts: { own: number; stock: number }[]
  /** `from` may fill so much of `to`. */
  links: { from: number; to: number; per: number; most: number }[]
}

/** What is bought, wanted and may stand for what; null where dates or what must be the part itself make a difference. */
function itemsOf(facts: PlanFacts, { parts, supplies, groups }: Cluster): Said | null {
  const at = new Map(parts.map((part, item) => [part, item]))
  const said: Said = {
    items: parts.map(() => ({ offers: [], holds: [] })),
    parts: parts.map(() => ({ own: 0, stock: 0 })),
    links: [],
  }
  const kits = new Map<string, number>()
  for (const { kind, offer, orderDay, gives, inKit } of supplies) {
    if (kind === 'stock') {
      if (inKit) return null
      said.parts[at.get(gives[0]!.part)!]!.stock += gives[0]!.quantity
      continue
    }
    const { isKit, fixedPacks, pack } = facts.offers[offer]!
    if (fixedPacks !== null) return null
    if (!isKit) {
      const { part, quantity } = gives[0]!
      said.items[at.get(part)!]!.offers.push({ offer, day: orderDay, late: 0, pack: quantity })
      continue
    }
    // The same kit by another supplier is one to choose from; a pack of it holds so many.
    const holds = gives.map(({ part, quantity }) => ({ item: at.get(part)!, quantity: quantity / pack }))
    const key = JSON.stringify(holds)
    const item = kits.get(key) ?? said.items.push({ offers: [], holds }) - 1
    kits.set(key, item)
    said.items[item]!.offers.push({ offer, day: orderDay, late: 0, pack })
  }
  for (const { part, quantity, arcs } of groups) {
    const item = at.get(part)!
    said.parts[item]!.own += quantity
    const from = new Map<number, number>()
    for (const { part: other, per, cost } of arcs) {
      if (cost > 0) return null
      from.set(at.get(other)!, per)
    }
    const reached = new Set(arcs.map(({ supply, part: other }) => `${supply},${other}`))
    const isAll = supplies.every(({ gives }, supply) =>
      gives.every(({ part: other }) => !from.has(at.get(other)!) || reached.has(`${supply},${other}`)),
    )
    if (!isAll) return null
    from.delete(item)
    for (const [other, per] of from) {
      const link = said.links.find((one) => one.from === other && one.to === item)
      if (link) link.most += quantity
      else said.links.push({ from: other, to: item, per, most: quantity })
    }
  }
  return said
}

/** Every case as what it buys of each item; null where there are too many. */
function casesOf({ items, parts, links }: Said): Case[] | null {
  const wanted = parts.map(
    ({ own }, item) => own + links.reduce((sum, { from, per, most }) => sum + (from === item ? per * most : 0), 0),
  )
  const kits = items.slice(parts.length).map(({ holds }) => ({
    holds,
    most: Math.max(...holds.map(({ item, quantity }) => Math.ceil(wanted[item]! / quantity))),
  }))
  const count = [...links, ...kits].reduce((times, { most }) => times * (most + 1), 1)
  if (count > CASES_MAX) return null
  let chosen: number[][] = [[]]
  for (const { most } of [...links, ...kits])
    chosen = chosen.flatMap((before) => Array.from({ length: most + 1 }, (_, at) => [...before, at]))
  const cases = new Map<string, number[]>()
  for (const one of chosen) {
    const left = parts.map(({ own, stock }) => own - stock)
    for (const [at, { from, to, per }] of links.entries()) {
      left[from]! += per * one[at]!
      left[to]! -= one[at]!
    }
    const counts = one.slice(links.length)
    for (const [at, { holds }] of kits.entries())
      for (const { item, quantity } of holds) left[item]! -= quantity * counts[at]!
    const bought = [...left.map((quantity) => Math.max(0, quantity)), ...counts]
    cases.set(bought.join(' '), bought)
  }
  return [...cases.values()]
}
