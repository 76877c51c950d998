import type { ModelBuilder, Term } from '../solver/model.ts'
import type { Cluster } from './plan-cluster.ts'
import type { Segment } from './plan-facts.ts'
import { type Making, type OrderVars, packsExtra } from './plan-making.ts'
import { type SplitOffer, splitLeast } from './plan-split.ts'

/** Goods of mixtures, which in a limit count for whichever order they help most. */
export interface Floating {
  spent: Term[]
}

interface Cover {
  offer: number
  day: number
  order: OrderVars
  packs: number
  price: number
  run: Segment
}

/**
 * One part, one amount, as whole ways to cover it: each offer alone at its cheapest, and the cheapest mixture. A choice among few
 * ways whose prices are known is what solvers are quick at, where packs of every offer are not.
 *
 * As a limit (`floating` given): ways may be taken in shares, the mixture costs the least that any does and asks for any one
 * order, and what it spends counts for whichever. Every plan there is has an image in it that costs no more: what covers alone goes to its
 * way, anything bought beyond that goes to what tops an order up for exactly its price, a mixture goes to the mixture.
 */
export function waysModel(making: Making, cluster: Cluster, quantity: number, floating: Floating | null): void {
  const { facts, builder, orderOf, purchases } = making
  const group = cluster.groups[0]!
  const covers: Cover[] = []
  const chosen: Term[] = []
  const shares: SplitOffer[] = []
  const shareOf: { offer: number; day: number; late: number; pack: number }[] = []
  const isWhole = floating === null
  const settled = making.settled.get(group.part)
  const alone: [number, { offer: number; day: number }][] = []
  for (const { supply, cost: late } of group.arcs) {
    const { kind, offer: at, orderDay: day } = cluster.supplies[supply]!
    if (kind === 'stock' || (settled && (settled.offer !== at || settled.day !== day))) continue
    const offer = facts.offers[at]!
    const pack = offer.holds[0]!.quantity
    const least = Math.ceil(quantity / pack)
    const order = orderOf(at, day)
    const best = offer.segments
      .filter(({ hi }) => hi >= least)
      .map((run) => ({ run, packs: Math.max(run.lo, least), price: run.fixed + run.perPack * Math.max(run.lo, least) }))
      .sort((a, b) => a.price - b.price)[0]
    if (best) {
      const column = builder.column(0, 1, best.price + late * quantity, isWhole)
      if (best.price !== 0) order.goods.push([column, best.price])
      chosen.push([column, 1])
      const packs: Term[] = [[column, best.packs]]
      if (order.placed !== null)
        builder.atMost(0, [
          [column, 1],
          [order.placed, -1],
        ])
      if (isWhole) extraPacks(making, { ...best, offer: at, day, order }, column, packs)
      covers.push({ ...best, offer: at, day, order })
      alone.push([column, { offer: at, day }])
      purchases.push({ offer: at, day, packs })
    }
    const runs = offer.segments.flatMap((run) => (run.lo < least ? [{ ...run, hi: Math.min(run.hi, least - 1) }] : []))
    if (runs.length === 0) continue
    shares.push({ pack, runs })
    shareOf.push({ offer: at, day, late, pack })
  }
  const split = splitLeast(shares, quantity)
  const dearest = Math.max(-Infinity, ...covers.map(({ price }) => price))
  if (floating && split.least < Infinity) {
    const column = builder.column(0, 1, split.least, false)
    if (split.least > 0) floating.spent.push([column, split.least])
    chosen.push([column, 1])
    for (const { offer: place, packs } of split.packs ?? []) {
      const { offer, day } = shareOf[place]!
      purchases.push({ offer, day, packs: [[column, packs]] })
    }
    const placed = new Set(shareOf.map(({ offer, day }) => orderOf(offer, day).placed))
    if (!placed.has(null)) builder.atMost(0, [[column, 1], ...[...placed].map((one): Term => [one!, -1])])
  }
  if (!floating && split.packs && split.least < dearest) chosen.push([mixture(making, split.packs, shareOf), 1])
  builder.atLeast(1, chosen)
  if (chosen.length > 0)
    making.choices.push({ part: group.part, columns: chosen.map(([column]) => column), alone: new Map(alone) })
}

function extraPacks({ facts, builder }: Making, cover: Cover, column: number, packs: Term[]): void {
  const { run, order, offer } = cover
  const supplier = facts.suppliers[facts.offers[offer]!.supplier]!
  const extra = Math.min(packsExtra(supplier, run.perPack), run.hi - cover.packs)
  if (extra <= 0 || run.perPack === 0) return
  const more = builder.column(0, extra, run.perPack, true)
  order.goods.push([more, run.perPack])
  packs.push([more, 1])
  builder.atMost(0, [
    [more, 1],
    [column, -extra],
  ])
}

/** The cheapest mixture as one choice, which needs all of its orders. */
function mixture(
  { facts, builder, orderOf, purchases }: Making,
  packs: readonly { offer: number; packs: number }[],
  shareOf: readonly { offer: number; day: number; late: number; pack: number }[],
): number {
  const column = builder.choice(0)
  for (const { offer: place, packs: count } of packs) {
    const { offer, day, late, pack } = shareOf[place]!
    const order = orderOf(offer, day)
    const run = facts.offers[offer]!.segments.find(({ lo, hi }) => count >= lo && count <= hi)!
    const price = run.fixed + run.perPack * count
    builder.model.columns[column]!.cost += price + late * pack * count
    if (price !== 0) order.goods.push([column, price])
    if (order.placed !== null)
      builder.atMost(0, [
        [column, 1],
        [order.placed, -1],
      ])
    purchases.push({ offer, day, packs: [[column, count]] })
  }
  return column
}

/** What tops orders up in a limit: money for exactly its worth, and the goods of mixtures, once each. */
export function floatingGoods(builder: ModelBuilder, orders: readonly OrderVars[], { spent }: Floating): void {
  const shared: Term[] = []
  for (const order of orders) {
    if (order.placed === null) continue
    order.goods.push([builder.column(0, Infinity, 1, false), 1])
    const share = builder.column(0, Infinity, 0, false)
    order.goods.push([share, 1])
    shared.push([share, 1])
  }
  if (shared.length > 0) builder.atMost(0, [...shared, ...spent.map(([column, times]): Term => [column, -times])])
}
