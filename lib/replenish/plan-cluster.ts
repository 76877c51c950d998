import type { PlanFacts } from './plan-facts.ts'
import { isForLevel, perFor, type StandIn, supplyDay } from './plan-facts.ts'

/** Something that can fill needs of the parts it gives: stock by its day, or an offer on an order day. */
export interface Supply {
  /** Of `facts.parts[part].stock` or `facts.offers`. */
  kind: 'stock' | 'order'
  offer: number
  orderDay: number
  /** Day from which it is there. */
  day: number
  /** Minor units for each unit of supply: a pack of an order, the whole of a stock. */
  gives: { part: number; quantity: number }[]
  says: string
  /** Comes in a kit, which is no use where the part itself is asked for. */
  inKit: boolean
}

/** A way for a supply to fill a need, `per` minor units of what is given for one that is needed. */
export interface Arc {
  supply: number
  part: number
  per: number
  lateDays: number
  /** Money for each minor unit that comes late. */
  cost: number
}

/** Needs of one part that everything reaches at the same cost: to the plan they are one. */
export interface NeedGroup {
  part: number
  quantity: number
  /** What waits for it first, then by date, earliest first. */
  needs: number[]
  arcs: Arc[]
}

/** Parts that hang together by stand-ins and kits, with all that can fill them. */
export interface Cluster {
  parts: number[]
  supplies: Supply[]
  groups: NeedGroup[]
}

/** Sets that grow together. */
export class Union {
  private readonly above: number[]

  constructor(count: number) {
    this.above = Array.from({ length: count }, (_, at) => at)
  }

  of(one: number): number {
    let root = one
    while (this.above[root] !== root) root = this.above[root]!
    for (let at = one; this.above[at] !== root; ) [at, this.above[at]] = [this.above[at]!, root]
    return root
  }

  join(one: number, other: number): void {
    this.above[this.of(one)] = this.of(other)
  }
}

function suppliesOf(facts: PlanFacts): { supply: Supply; root: number }[] {
  const stock = facts.parts.flatMap(({ stock: list }, part) =>
    list.map(({ quantity, day, says, inKit }) => ({
      supply: { kind: 'stock' as const, offer: -1, orderDay: day, day, gives: [{ part, quantity }], says, inKit },
      root: part,
    })),
  )
  const orders = facts.offers.flatMap(({ days, holds, isKit }, offer) =>
    days.map((day) => ({
      supply: {
        kind: 'order' as const,
        offer,
        orderDay: day,
        day: supplyDay(facts, { offer, day }),
        gives: holds,
        says: '',
        inKit: isKit,
      },
      root: holds[0]!.part,
    })),
  )
  return [...stock, ...orders]
}

/** Everything that hangs together, with the needs that are alike put together; parts without a need or a fixed line are left out. */
export function clustersOf(facts: PlanFacts): Cluster[] {
  const union = new Union(facts.parts.length)
  for (const { holds } of facts.offers) for (const { part } of holds) union.join(part, holds[0]!.part)
  for (const { part, fills } of facts.standIns) union.join(part, fills)
  const clusters = new Map<number, Cluster>()
  const wanted = new Set(facts.needs.map(({ part }) => union.of(part)))
  for (const { holds, fixedPacks } of facts.offers) if (fixedPacks !== null) wanted.add(union.of(holds[0]!.part))
  for (const root of wanted) clusters.set(root, { parts: [], supplies: [], groups: [] })
  for (const part of facts.parts.keys()) clusters.get(union.of(part))?.parts.push(part)
  for (const { supply, root } of suppliesOf(facts)) clusters.get(union.of(root))?.supplies.push(supply)

  const standsFor = new Map<number, Map<number, StandIn>>()
  for (const one of facts.standIns)
    standsFor.set(one.fills, (standsFor.get(one.fills) ?? new Map<number, StandIn>()).set(one.part, one))
  const groups = new Map<string, NeedGroup>()
  // A level waits for whatever a job wants, however early the one and late the other.
  const rank = (need: number) => Number(isForLevel(facts.needs[need]!))
  const byDate = [...facts.needs.keys()].sort(
    (a, b) => rank(a) - rank(b) || facts.needs[a]!.day - facts.needs[b]!.day || a - b,
  )
  for (const at of byDate) {
    const need = facts.needs[at]!
    const cluster = clusters.get(union.of(need.part))!
    const arcs = cluster.supplies.flatMap(({ gives, day, inKit }, supply) =>
      gives.flatMap(({ part }): Arc[] => {
        if (inKit && need.itself) return []
        const standIn = standsFor.get(need.part)?.get(part)
        const per = part === need.part ? 1 : standIn && perFor(need, standIn)
        const lateDays = Math.max(0, day - need.day)
        if (per === undefined || (lateDays > 0 && need.latePerDay === null)) return []
        const cost = ((need.latePerDay ?? 0) * lateDays) / facts.parts[need.part]!.scale
        return [{ supply, part, per, lateDays, cost }]
      }),
    )
    const alike = `${need.part}|${arcs.map(({ supply, part, cost }) => `${supply},${part},${cost}`).join('|')}`
    const group = groups.get(alike)
    if (group) {
      group.quantity += need.quantity
      group.needs.push(at)
    } else {
      const made = { part: need.part, quantity: need.quantity, needs: [at], arcs }
      groups.set(alike, made)
      cluster.groups.push(made)
    }
  }
  return [...clusters.values()]
}

/**
 * What is left to buy where a cluster is one part with one group and everything in stock reaches it at no cost; null where it is
 * not so plain. Such a part is modelled by whole ways to cover it, which is what makes large plans quick.
 */
export function plainQuantity(facts: PlanFacts, { parts, supplies, groups }: Cluster): number | null {
  const group = groups[0]
  if (parts.length !== 1 || groups.length !== 1 || !group) return null
  const reached = new Map(group.arcs.map((arc) => [arc.supply, arc]))
  let left = group.quantity
  for (const [at, { kind, offer, gives }] of supplies.entries()) {
    if (kind === 'order') {
      if (facts.offers[offer]!.fixedPacks !== null) return null
      continue
    }
    const arc = reached.get(at)
    if (arc === undefined || arc.cost > 0) return null
    left -= gives[0]!.quantity
  }
  return Math.max(0, left)
}

/**
 * What a group is for, levels apart: how much of it at most, and what share of a need each minor unit is. Needs of one group are
 * dealt out one after another, so of each kind every unit counts alike: a litre of five is a fifth of a need, not a thousand pieces.
 */
export function groupShares(
  { needs: all }: PlanFacts,
  { needs }: NeedGroup,
): { isLevel: boolean; most: number; share: number }[] {
  return [true, false].flatMap((isLevel) => {
    const own = needs.filter((at) => isForLevel(all[at]!) === isLevel)
    const most = own.reduce((sum, at) => sum + all[at]!.quantity, 0)
    return most === 0 ? [] : [{ isLevel, most, share: own.length / most }]
  })
}
