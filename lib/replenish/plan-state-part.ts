import { ModelBuilder, type Solve } from '../solver/model.ts'
import { type Cluster, plainQuantity } from './plan-cluster.ts'
import { type FactSupplier, orderKey, type PlanFacts, type Purchase } from './plan-facts.ts'
import { boughtOf, clusterFill } from './plan-fill.ts'
import type { Making, OrderVars } from './plan-making.ts'
import { clusterModel } from './plan-model-cluster.ts'
import { packsPrice } from './plan-price.ts'
import { type Split, type SplitOffer, splitLeast } from './plan-split.ts'
import { type Mixture, type OrderState, type PlainWays, sameWay, type Way } from './plan-state-way.ts'

/** An order whose carriage or minimum matters. */
export interface StateOrder {
  key: string
  supplier: FactSupplier
}

/** Orders of these clusters, by their key; those that cost nothing and ask for nothing are in none. */
export function stateOrders(facts: PlanFacts, clusters: readonly Cluster[]): StateOrder[] {
  const orders = new Map<string, StateOrder>()
  for (const { supplies } of clusters)
    for (const { kind, offer, orderDay } of supplies) {
      if (kind === 'stock') continue
      const at = facts.offers[offer]!.supplier
      const supplier = facts.suppliers[at]!
      const key = orderKey(at, orderDay)
      if (supplier.carriage > 0 || supplier.minimum > 0) orders.set(key, { key, supplier })
    }
  return [...orders.values()]
}

/** An offer on a day, as what fills one part. */
export interface WayOffer {
  offer: number
  day: number
  /** Minor units in a pack. */
  pack: number
  /** Money for a minor unit that comes late. */
  late: number
}

/** Ways of a plain part: each offer alone at its cheapest, and the cheapest mixture. Null where the cluster is not so plain. */
export function plainWays(facts: PlanFacts, cluster: Cluster, orderAt: ReadonlyMap<string, number>): PlainWays | null {
  const quantity = plainQuantity(facts, cluster)
  if (quantity === null) return null
  if (quantity === 0) return NOTHING
  const offers = cluster.groups[0]!.arcs.flatMap(({ supply, cost: late }) => {
    const { kind, offer, orderDay: day } = cluster.supplies[supply]!
    return kind === 'stock' ? [] : [{ offer, day, late, pack: facts.offers[offer]!.holds[0]!.quantity }]
  })
  return waysFor(facts, offers, quantity, orderAt)
}

/** Where nothing is missing. */
const NOTHING: PlainWays = {
  ways: [{ cost: 0, goods: new Map(), purchases: [] }],
  mixture: () => null,
  mixtureAt: () => null,
  mixed: [],
}

/** Mixtures of a part that a plan may be mended with. */
const MIXED_MAX = 30

/** The same of so much of a part that these offers fill. */
export function waysFor(
  facts: PlanFacts,
  offers: readonly WayOffer[],
  quantity: number,
  orderAt: ReadonlyMap<string, number>,
): PlainWays {
  if (quantity === 0) return NOTHING
  const ways: Way[] = []
  const shares: SplitOffer[] = []
  const shareOf: WayOffer[] = []
  for (const one of offers) {
    const { offer: at, day, late, pack } = one
    const { segments, supplier } = facts.offers[at]!
    const least = Math.ceil(quantity / pack)
    const best = segments
      .filter(({ hi }) => hi >= least)
      .map(({ lo, fixed, perPack }) => ({
        packs: Math.max(lo, least),
        price: fixed + perPack * Math.max(lo, least),
      }))
      .sort((a, b) => a.price - b.price)[0]
    if (best)
      ways.push({
        cost: best.price + late * quantity,
        goods: goodsOf([{ order: orderAt.get(orderKey(supplier, day)), price: best.price }]),
        purchases: [{ offer: at, day, packs: best.packs }],
      })
    const runs = segments.flatMap((run) => (run.lo < least ? [{ ...run, hi: Math.min(run.hi, least - 1) }] : []))
    if (runs.length === 0) continue
    shares.push({ pack, runs })
    shareOf.push(one)
  }
  const orders = shareOf.map(({ offer, day }) => orderAt.get(orderKey(facts.offers[offer]!.supplier, day)) ?? -1)
  const known = new Map<string, Mixture | null>()
  const mixed: Way[] = []
  const seen: Seen[] = []
  const wayOf = (at: readonly number[], packs: NonNullable<Split['packs']>): Way => {
    const lines = packs.map(({ offer: nth, packs: count }) => {
      const { offer, day, late, pack } = shareOf[at[nth]!]!
      const price = packsPrice(count, facts.offers[offer]!.segments)
      return { offer, day, packs: count, price, order: orders[at[nth]!], late: late * pack * count }
    })
    return {
      cost: lines.reduce((sum, { price, late }) => sum + price + late, 0),
      goods: goodsOf(lines),
      purchases: lines.map(({ offer, day, packs: count }) => ({ offer, day, packs: count })),
    }
  }
  const placesIn = (states: readonly OrderState[]) =>
    [...shareOf.keys()].filter((place) => orders[place]! < 0 || states[orders[place]!] !== 0)
  return {
    ways,
    mixed,
    mixture(states) {
      const at = placesIn(states)
      const key = at.join()
      const before = known.get(key)
      if (before !== undefined) return before
      const { least, packs } = splitLeast(
        at.map((place) => shares[place]!),
        quantity,
      )
      const isNone = least === Infinity
      const placed = [...new Set(at.map((place) => orders[place]!))]
      const found = isNone ? null : { least, orders: placed, way: packs && wayOf(at, packs) }
      known.set(key, found)
      return found
    },
    mixtureAt({ states, worth }, than) {
      const counts = orders.map((order) => (order < 0 ? 1 : states[order] === 0 ? Infinity : 1 - worth[order]!))
      const limit = seen.reduce((most, one) => Math.max(most, limitBy(one, counts)), 0)
      if (limit >= than * (1 - NEAR)) return { value: Math.min(limit, than), way: null }
      const at = [...shareOf.keys()].filter((place) => counts[place]! < Infinity)
      const { least, packs } = splitLeast(
        at.map((place) => shares[place]!),
        quantity,
        at.map((place) => counts[place]!),
      )
      if (packs === null) return null
      if (seen.length === SEEN_MAX) seen.shift()
      seen.push({ counts, least })
      const way = wayOf(at, packs)
      if (mixed.length < MIXED_MAX && !mixed.some((one) => sameWay(one, way))) mixed.push(way)
      // Lateness is left out, as it is where a limit is reckoned.
      return { value: least, way }
    },
  }
}

/** A limit so little below the least says the same of a plan that may be a thousandth dearer than the cheapest. */
const NEAR = 5e-5
const SEEN_MAX = 6

/** The least of all mixtures where so much of each offer's price counts; Infinity of an offer that may not be used. */
interface Seen {
  counts: readonly number[]
  least: number
}

/** Where at least a share of each price counts that counted there, at least that share of the least is left. */
function limitBy({ counts: then, least }: Seen, counts: readonly number[]): number {
  let share = Infinity
  for (let place = 0; place < then.length; place++)
    if (then[place]! > 0 && counts[place]! < Infinity) share = Math.min(share, counts[place]! / then[place]!)
  return share === Infinity ? 0 : share * least
}

function goodsOf(lines: readonly { order: number | undefined; price: number }[]): Map<number, number> {
  const goods = new Map<number, number>()
  for (const { order, price } of lines)
    if (order !== undefined && order >= 0) goods.set(order, (goods.get(order) ?? 0) + price)
  return goods
}

export interface ClusterAsked {
  /** Which orders may be used. */
  isOn: (order: number) => boolean
  /** What a minor unit of goods with an order is worth to its threshold. */
  worth: (order: number) => number
  orderAt: ReadonlyMap<string, number>
  solve: Solve
  seconds: number
  gap: number
}

/** The cheapest way of a cluster that is not plain, where goods are worth something to their orders; null where there is none. */
export function clusterWay(
  facts: PlanFacts,
  cluster: Cluster,
  { isOn, worth, orderAt, solve, seconds, gap }: ClusterAsked,
): { bound: number; way: Way | null } | null {
  const builder = new ModelBuilder()
  const orders = new Map<string, OrderVars & { at: number | undefined }>()
  const orderOf = (offer: number, day: number): OrderVars => {
    const { supplier } = facts.offers[offer]!
    const key = orderKey(supplier, day)
    let order = orders.get(key)
    if (!order) {
      const at = orderAt.get(key)
      const placed = at === undefined || isOn(at) ? null : builder.column(0, 0, 0, false)
      order = { supplier, day, placed, waived: null, goods: [], at }
      orders.set(key, order)
    }
    return order
  }
  // What only lifts an order is worth its own money and is no part of a cluster: so no pack is bought for that here.
  const suppliers = facts.suppliers.map((one) => ({ ...one, carriage: 0, paidFrom: null, minimum: 0 }))
  const making: Making = {
    facts: { ...facts, suppliers },
    builder,
    orderOf,
    purchases: [],
    short: null,
    choices: [],
    settled: new Map(),
  }
  clusterModel(making, cluster)
  for (const { at, goods } of orders.values())
    if (at !== undefined) for (const [column, money] of goods) builder.model.columns[column]!.cost -= worth(at) * money
  const solved = solve(builder.model, { seconds, gap })
  if (solved.status === 'impossible' || solved.status === 'endless') return null
  const bound = Math.max(0, solved.bound)
  if (solved.status === 'none') return { bound, way: null }
  const { values } = solved
  const purchases = making.purchases.flatMap(({ offer, day, packs }) => {
    const count = packs.reduce((sum, [column, times]) => sum + Math.round(values[column]!) * times, 0)
    return count > 0 ? [{ offer, day, packs: count }] : []
  })
  const goods = goodsOf(
    purchases.map(({ offer, day, packs }) => {
      const { segments, supplier } = facts.offers[offer]!
      return { order: orderAt.get(orderKey(supplier, day)), price: packsPrice(packs, segments) }
    }),
  )
  const gained = [...goods].reduce((sum, [order, money]) => sum + worth(order) * money, 0)
  return { bound, way: { cost: solved.cost + gained, goods, purchases } }
}

/** What is bought of a cluster anyway, as a way to fill it; null where that leaves something open. */
export function wayBought(
  facts: PlanFacts,
  cluster: Cluster,
  all: readonly Purchase[],
  { orderAt, solve }: Pick<ClusterAsked, 'orderAt' | 'solve'>,
): Way | null {
  const offers = new Set(cluster.supplies.map(({ offer }) => offer))
  const purchases = all.filter(({ offer }) => offers.has(offer))
  const { open, lateCost } = clusterFill(facts, cluster, boughtOf(purchases), solve)
  if (open.length > 0) return null
  const lines = purchases.map(({ offer, day, packs }) => {
    const { segments, supplier } = facts.offers[offer]!
    return { order: orderAt.get(orderKey(supplier, day)), price: packsPrice(packs, segments) }
  })
  return { cost: lines.reduce((sum, { price }) => sum + price, lateCost), goods: goodsOf(lines), purchases }
}
