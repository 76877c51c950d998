import type { Term } from '../solver/model.ts'
import type { Cluster } from './plan-cluster.ts'
import type { FactSupplier, Segment } from './plan-facts.ts'
import { type Making, packsExtra, shortTerms } from './plan-making.ts'
import { type SplitOffer, splitLeast } from './plan-split.ts'

/** A run that costs more than the cheapest cover by more than an order can ever gain from it is never taken. */
function runsWorth(runs: readonly Segment[], least: number, supplier: FactSupplier): Segment[] {
  const best = Math.min(...runs.map((run) => coverPrice(run, least)))
  // A dear run may be all that reaches the minimum of an order.
  if (supplier.minimum > best) return [...runs]
  return runs.filter((run) => coverPrice(run, least) <= best + supplier.carriage)
}

const coverPrice = ({ lo, fixed, perPack }: Segment, least: number): number => fixed + perPack * Math.max(lo, least)

/**
 * One part, one amount to buy. For each offer there are runs that cover it alone, whose packs are known but for what tops an order
 * up, and runs that cover a share of it. Shares mix freely in the relaxation, which would let it pretend to buy half a pack; a
 * row says that no mixture costs less than the cheapest real one.
 */
export function plainModel(making: Making, { supplies, groups }: Cluster, quantity: number): void {
  const { facts, builder, orderOf, purchases, short } = making
  const group = groups[0]!
  const cover: Term[] = []
  const price: Term[] = []
  const alone: { column: number; least: number }[] = []
  const shares: SplitOffer[] = []
  const shareColumns: ((canCover: boolean) => void)[] = []
  const limits: (() => void)[] = []
  for (const { supply, cost: lateCost } of group.arcs) {
    const { kind, offer: at, orderDay } = supplies[supply]!
    if (kind === 'stock') continue
    const offer = facts.offers[at]!
    const supplier = facts.suppliers[offer.supplier]!
    const pack = offer.holds[0]!.quantity
    const least = Math.ceil(quantity / pack)
    const order = orderOf(at, orderDay)
    const packs: Term[] = []
    const chosen: Term[] = []
    const pay = (column: number, money: number) => {
      if (money === 0) return
      builder.model.columns[column]!.cost += money
      order.goods.push([column, money])
      price.push([column, money])
    }
    for (const run of runsWorth(
      offer.segments.filter(({ hi }) => hi >= least),
      least,
      supplier,
    )) {
      const count = Math.max(run.lo, least)
      const column = builder.choice(lateCost * quantity)
      pay(column, coverPrice(run, least))
      packs.push([column, count])
      chosen.push([column, 1])
      cover.push([column, quantity])
      alone.push({ column, least: coverPrice(run, least) })
      const extra = Math.min(packsExtra(supplier, run.perPack), run.hi - count)
      if (extra > 0) {
        const more = builder.column(0, extra, 0, true)
        pay(more, run.perPack)
        packs.push([more, 1])
        builder.atMost(0, [
          [more, 1],
          [column, -extra],
        ])
      }
    }
    const parts = offer.segments.flatMap((run) => (run.lo < least ? [{ ...run, hi: Math.min(run.hi, least - 1) }] : []))
    if (parts.length > 0) shares.push({ pack, runs: parts })
    // Whether shares are worth a column is known when all of them have been seen: they cover together, or lift an order.
    shareColumns.push((canCover) => {
      if (!canCover && !canBeLifted(supplier)) return
      for (const run of parts) {
        if (!canCover && runLeast(run) > supplier.carriage && supplier.minimum === 0) continue
        const column = builder.choice(0)
        pay(column, run.fixed + run.perPack * run.lo)
        packs.push([column, run.lo])
        chosen.push([column, 1])
        const given: Term[] = [[column, run.lo * pack]]
        if (run.hi > run.lo) {
          const more = builder.column(0, run.hi - run.lo, 0, true)
          pay(more, run.perPack)
          packs.push([more, 1])
          given.push([more, pack])
          builder.atMost(0, [
            [more, 1],
            [column, run.lo - run.hi],
          ])
        }
        if (lateCost === 0 && short === null) cover.push(...given)
        else {
          const used = builder.column(0, quantity, lateCost, false)
          builder.atLeast(0, [...given, [used, -1]])
          cover.push([used, 1])
        }
      }
    })
    limits.push(() => {
      if (chosen.length > 0) builder.atMost(order.placed === null ? 1 : 0, placedRow(chosen, order.placed))
    })
    purchases.push({ offer: at, day: orderDay, packs })
  }
  const split = short === null ? splitLeast(shares, quantity).least : 0
  for (const make of shareColumns) make(split < Infinity)
  for (const make of limits) make()
  cover.push(...shortTerms(making, group, { quantity, isWhole: false }))
  builder.atLeast(quantity, cover)
  if (split === Infinity && alone.length > 0)
    builder.atLeast(
      1,
      alone.map(({ column }): Term => [column, 1]),
    )
  else if (split > 0 && split < Infinity)
    builder.atLeast(split, [...price, ...alone.map(({ column, least }): Term => [column, split - least])])
}

/** An order with this supplier may be worth topping up with a share of a part that comes from elsewhere. */
const canBeLifted = ({ carriage, paidFrom, minimum }: FactSupplier): boolean =>
  minimum > 0 || (carriage > 0 && paidFrom !== null)

const runLeast = ({ lo, fixed, perPack }: Segment): number => fixed + perPack * lo

const placedRow = (chosen: Term[], placed: number | null): Term[] =>
  placed === null ? chosen : [...chosen, [placed, -1]]
