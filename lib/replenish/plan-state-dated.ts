import type { Arc, Cluster } from './plan-cluster.ts'
import { orderKey, type PlanFacts, type Segment } from './plan-facts.ts'
import { packsPrice } from './plan-price.ts'
import type { LinkedTable } from './plan-state-link.ts'
import type { Way } from './plan-state-way.ts'
import { leastOf } from './plan-state-worth.ts'

/** Steps of reckoning that a part may take each time it is asked for. */
const STEPS_MAX = 60_000
/** A limit so little below the least says the same of a plan that may be a thousandth dearer than the cheapest. */
const NEAR = 5e-5
const KEPT_MAX = 8

interface Stage {
  offer: number
  day: number
  /** Of the orders; -1 where it does not matter, null for what is there or comes anyway. */
  order: number | null
  /** Grains and money of each number of packs that may be bought; of stock the one amount. */
  choices: { packs: number; covers: number; price: number }[]
  /** Lateness of all grains up to each, and how many of them it may not fill. */
  late: Float64Array
  barred: Int32Array
}

/**
 * One part with several dates, or that may come late: least money for any worths of goods, exactly, by dynamic programming. What
 * comes first goes to the needs that lose most by waiting, in one order of the needs for all; that is the best way to deal out as
 * long as lateness is a Monge array (Hoffman 1963, from memory), which is looked at. Null where it is none, or the part too long.
 */
export function datedTable(
  facts: PlanFacts,
  cluster: Cluster,
  orderAt: ReadonlyMap<string, number>,
): LinkedTable | null {
  const { parts, supplies, groups } = cluster
  if (parts.length !== 1 || groups.length === 0 || supplies.some(({ inKit }) => inKit)) return null
  if (supplies.some(({ offer }) => offer >= 0 && facts.offers[offer]!.fixedPacks !== null)) return null
  const arrival = [...supplies.keys()].sort((a, b) => supplies[a]!.day - supplies[b]!.day || a - b)
  const costs = groups.map(({ arcs }) => costsOf(arcs, supplies.length))
  const order = monge(costs, arrival)
  if (order === null) return null
  const packOf = (at: number) => supplies[at]!.gives[0]!.quantity
  const grain = [...groups.map(({ quantity }) => quantity), ...[...supplies.keys()].map(packOf)].reduce(gcd, 0)
  const goal = groups.reduce((sum, { quantity }) => sum + quantity, 0) / grain
  const stages = arrival.map((at): Stage => {
    const { kind, offer, orderDay: day } = supplies[at]!
    const late = new Float64Array(goal + 1)
    const barred = new Int32Array(goal + 1)
    let place = 0
    for (const group of order)
      for (let end = place + groups[group]!.quantity / grain; place < end; place++) {
        const cost = costs[group]![at]!
        late[place + 1] = late[place]! + (cost === Infinity ? 0 : cost * grain)
        barred[place + 1] = barred[place]! + Number(cost === Infinity)
      }
    const covers = packOf(at) / grain
    if (kind === 'stock') return { offer, day, order: null, choices: [{ packs: 0, covers, price: 0 }], late, barred }
    const one = facts.offers[offer]!
    const choices = one.segments.flatMap((run) => choicesOf(run, covers, goal))
    return { offer, day, order: orderAt.get(orderKey(one.supplier, day)) ?? -1, choices, late, barred }
  })
  if (stages.reduce((sum, { choices }) => sum + choices.length * goal, 0) > STEPS_MAX) return null
  const known: Way[] = []
  const seen: { counts: number[]; least: number }[] = []
  return (worths) => {
    const counts = stages.map(({ order: at }) =>
      at === null || at < 0 ? 1 : worths.states[at] === 0 ? Infinity : 1 - worths.worth[at]!,
    )
    const before = leastOf(known, worths)
    const limit = seen.reduce((most, one) => Math.max(most, limitBy(one, counts)), 0)
    if (before.way !== null && limit >= before.value * (1 - NEAR))
      return { value: Math.min(limit, before.value), way: before.way }
    const found = leastWay(facts, stages, goal, counts)
    if (found === null) return { value: Infinity, way: null }
    if (seen.length === KEPT_MAX) seen.shift()
    seen.push({ counts, least: found.least })
    if (known.length === KEPT_MAX * 4) known.shift()
    known.push(found.way)
    return { value: found.least, way: found.way }
  }
}

/** At least that share of the least is left of which every price still counts; lateness counts whole. */
function limitBy(
  { counts: then, least }: { counts: readonly number[]; least: number },
  counts: readonly number[],
): number {
  let share = 1
  for (const [at, before] of then.entries()) {
    if (before > 0 && counts[at]! < Infinity) share = Math.min(share, before === Infinity ? 0 : counts[at]! / before)
  }
  return share * least
}

function costsOf(arcs: readonly Arc[], supplies: number): Float64Array {
  const costs = new Float64Array(supplies).fill(Infinity)
  for (const { supply, cost } of arcs) costs[supply] = cost
  return costs
}

/** Order of the groups in which what comes first goes to the first; null where no one order is best whatever comes. */
function monge(costs: readonly Float64Array[], arrival: readonly number[]): number[] | null {
  const waits = (group: number) => arrival.reduce((sum, at) => sum + Math.min(1e12, costs[group]![at]!), 0)
  const order = [...costs.keys()].sort((a, b) => waits(b) - waits(a))
  for (let nth = 0; nth + 1 < order.length; nth++)
    for (let one = 0; one < arrival.length; one++)
      for (let other = one + 1; other < arrival.length; other++) {
        const [first, second] = [costs[order[nth]!]!, costs[order[nth + 1]!]!]
        const straight = first[arrival[one]!]! + second[arrival[other]!]!
        const crossed = first[arrival[other]!]! + second[arrival[one]!]!
        if (straight > crossed + 1e-9) return null
      }
  return order
}

/** Numbers of packs up to the first that covers all. */
function choicesOf({ lo, hi, fixed, perPack }: Segment, covers: number, goal: number): Stage['choices'] {
  const last = Math.max(lo, Math.min(hi, Math.ceil(goal / covers)))
  return Array.from({ length: last - lo + 1 }, (_, nth) => ({
    packs: lo + nth,
    covers: covers * (lo + nth),
    price: fixed + perPack * (lo + nth),
  }))
}

function leastWay(
  facts: PlanFacts,
  stages: readonly Stage[],
  goal: number,
  counts: readonly number[],
): { least: number; way: Way } | null {
  let least = new Float64Array(goal + 1).fill(Infinity)
  least[0] = 0
  const steps: { taken: Int32Array; from: Int32Array }[] = []
  for (const [nth, { choices, late, barred, order }] of stages.entries()) {
    const next = least.slice()
    const taken = new Int32Array(goal + 1).fill(-1)
    const from = new Int32Array(goal + 1)
    const share = counts[nth]!
    if (share < Infinity)
      for (const [choice, { covers, price }] of choices.entries())
        for (let at = 0; at < goal; at++) {
          if (least[at] === Infinity) continue
          let to = Math.min(goal, at + covers)
          // Stock that comes too late for what is still open is not used.
          while (order === null && to > at && barred[to]! > barred[at]!) to -= 1
          if (to === at || barred[to]! > barred[at]!) continue
          const cost = least[at]! + share * price + late[to]! - late[at]!
          if (cost >= next[to]!) continue
          next[to] = cost
          taken[to] = choice
          from[to] = at
        }
    steps.push({ taken, from })
    least = next
  }
  if (least[goal] === Infinity) return null
  const way: Way = { cost: 0, goods: new Map(), purchases: [] }
  const goods = way.goods as Map<number, number>
  for (let nth = stages.length - 1, at = goal; nth >= 0; nth--) {
    const choice = steps[nth]!.taken[at]!
    if (choice < 0) continue
    const { offer, day, order, choices, late } = stages[nth]!
    const start = steps[nth]!.from[at]!
    way.cost += late[at]! - late[start]!
    at = start
    if (order === null) continue
    const { packs } = choices[choice]!
    const price = packsPrice(packs, facts.offers[offer]!.segments)
    way.cost += price
    way.purchases.push({ offer, day, packs })
    if (order >= 0) goods.set(order, (goods.get(order) ?? 0) + price)
  }
  return { least: least[goal]!, way }
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b)
}
