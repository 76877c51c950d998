import type { Term } from '../solver/model.ts'
import type { Cluster, NeedGroup } from './plan-cluster.ts'
import { type Making, packsExtra, shortTerms } from './plan-making.ts'

interface Given {
  /** What a supply gives of a part, as columns and a constant. */
  terms: Term[]
  constant: number
  /** Yes or no columns that must be on for any of it; null for stock, which is there. */
  chosen: Term[] | null
}

/** Minor units of a part that its own needs and those it stands in for can take at most. */
function takenAtMost(groups: readonly NeedGroup[], supply: number, part: number): number {
  return groups.reduce((sum, { arcs, quantity }) => {
    const arc = arcs.find((one) => one.supply === supply && one.part === part)
    return sum + (arc === undefined ? 0 : arc.per * quantity)
  }, 0)
}

/**
 * Parts that hang together, with several dates, stand-ins, kits or lines fixed by hand: packs of each offer by the runs of its
 * price list, and how much of each supply goes to each need. Nothing can be taken from an offer whose yes or no is off, need by
 * need, which keeps the relaxation close.
 */
export function clusterModel(making: Making, cluster: Cluster): void {
  const { builder } = making
  const { supplies, groups } = cluster
  const given = supplies.map((_, supply) => givenOf(making, cluster, supply))
  // Whole by themselves where one goes for one; two for one would else fill a need with half a part.
  const isWhole = groups.some(({ arcs }) => arcs.some(({ per }) => per > 1))
  const taken = new Map<string, Term[]>()
  for (const group of groups) {
    const cover: Term[] = []
    for (const { supply, part, per, cost } of group.arcs) {
      const { chosen } = given[supply]!
      const column = builder.column(0, group.quantity, cost, isWhole)
      cover.push([column, 1])
      const key = `${supply},${part}`
      taken.set(key, [...(taken.get(key) ?? []), [column, per]])
      if (chosen !== null) builder.atMost(0, [[column, 1], ...chosen.map(([one]): Term => [one, -group.quantity])])
    }
    cover.push(...shortTerms(making, group, { quantity: group.quantity, isWhole }))
    builder.row(group.quantity, group.quantity, cover)
  }
  for (const [supply, { gives }] of supplies.entries())
    for (const { part, quantity } of gives) {
      const terms = taken.get(`${supply},${part}`)
      if (!terms) continue
      const { terms: packs, constant } = given[supply]!
      builder.atMost(constant * quantity, [
        ...terms,
        ...packs.map(([column, times]): Term => [column, -times * quantity]),
      ])
    }
  fixedRows(making, cluster, given)
}

function givenOf({ facts, builder, orderOf, purchases }: Making, { supplies, groups }: Cluster, supply: number): Given {
  const { kind, offer: at, orderDay, gives } = supplies[supply]!
  if (kind === 'stock') return { terms: [], constant: 1, chosen: null }
  const offer = facts.offers[at]!
  const supplier = facts.suppliers[offer.supplier]!
  const sensible = Math.max(
    offer.fixedPacks ?? 0,
    ...gives.map(({ part, quantity }) => Math.ceil(takenAtMost(groups, supply, part) / quantity)),
  )
  // What no need can take is not bought to fill up an order either.
  if (sensible === 0) return { terms: [], constant: 0, chosen: [] }
  const order = orderOf(at, orderDay)
  const packs: Term[] = []
  const chosen: Term[] = []
  for (const { lo, hi, fixed, perPack } of offer.segments) {
    const least = fixed + perPack * lo
    const extra = packsExtra(supplier, perPack)
    const most = Math.min(hi, Math.max(lo, sensible) + extra)
    const column = builder.choice(least)
    if (least !== 0) order.goods.push([column, least])
    packs.push([column, lo])
    chosen.push([column, 1])
    if (most > lo) {
      const more = builder.column(0, most - lo, perPack, true)
      if (perPack !== 0) order.goods.push([more, perPack])
      packs.push([more, 1])
      builder.atMost(0, [
        [more, 1],
        [column, lo - most],
      ])
    }
  }
  builder.atMost(order.placed === null ? 1 : 0, order.placed === null ? chosen : [...chosen, [order.placed, -1]])
  purchases.push({ offer: at, day: orderDay, packs })
  return { terms: packs, constant: 0, chosen }
}

/** What is fixed by hand is ordered in all its days together, no more and no less. */
function fixedRows({ facts, builder }: Making, { supplies }: Cluster, given: readonly Given[]): void {
  const offers = new Set(supplies.flatMap(({ kind, offer }) => (kind === 'order' ? [offer] : [])))
  for (const offer of offers) {
    const { fixedPacks } = facts.offers[offer]!
    if (fixedPacks === null) continue
    const terms = supplies.flatMap((one, at) => (one.kind === 'order' && one.offer === offer ? given[at]!.terms : []))
    builder.row(fixedPacks, fixedPacks, terms)
  }
}
