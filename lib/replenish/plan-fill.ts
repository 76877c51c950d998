import { must } from '../must.ts'
import { solveInTurn } from '../solver/in-turn.ts'
import { ModelBuilder, type Solve, type Term } from '../solver/model.ts'
import type { Cluster, NeedGroup, Supply } from './plan-cluster.ts'
import type { PlanFacts, Purchase } from './plan-facts.ts'
import { type ShortVars, shortGoals, shortTerms } from './plan-making.ts'
import { openRank, rankCompare } from './plan-open.ts'

/** So much of a supply goes to a need. */
export interface Fill {
  need: number
  supply: Supply
  part: number
  /** Minor units of the part given, and of the need they cover. */
  given: number
  covers: number
  lateDays: number
  /** Money for coming late. */
  cost: number
}

export interface Filled {
  fills: Fill[]
  /** What nothing fills. */
  open: { need: number; quantity: number }[]
  lateCost: number
}

interface Taken {
  group: number
  arc: number
  covers: number
}

/** Seconds that one cluster may take to be dealt out. */
const FILL_SECONDS = 3

/** Packs by offer and order day. */
export type Bought = ReadonlyMap<string, number>

const offerKey = (offer: number, day: number): string => `${offer}@${day}`

export function boughtOf(purchases: readonly Purchase[]): Bought {
  const packs = new Map<string, number>()
  for (const { offer, day, packs: count } of purchases)
    packs.set(offerKey(offer, day), (packs.get(offerKey(offer, day)) ?? 0) + count)
  return packs
}

/** What was dealt out before of the same purchases: most clusters are the same from one plan to the next. */
const known = new WeakMap<Cluster, Map<string, Filled>>()
const KNOWN_MAX = 200

/**
 * Which need gets what: as little as possible open of what jobs wait for, then of levels, then least lateness. The simple way round
 * first, and the solver only where that leaves something open or late that another way might not.
 */
export function clusterFill(facts: PlanFacts, cluster: Cluster, packs: Bought, solve: Solve): Filled {
  const bought = cluster.supplies.map(({ kind, offer, orderDay }) =>
    kind === 'stock' ? 1 : (packs.get(offerKey(offer, orderDay)) ?? 0),
  )
  const before = known.get(cluster) ?? new Map<string, Filled>()
  known.set(cluster, before)
  const key = bought.join()
  let filled = before.get(key)
  if (!filled) {
    if (before.size >= KNOWN_MAX) before.clear()
    filled = filledOf(facts, cluster, bought, solve)
    before.set(key, filled)
  }
  return filled
}

function filledOf(facts: PlanFacts, cluster: Cluster, bought: readonly number[], solve: Solve): Filled {
  const first = dealt(facts, cluster, takenSimply(cluster, bought))
  if ((first.lateCost === 0 && first.open.length === 0) || isFirstComeBest(facts, cluster)) return first
  const second = dealt(facts, cluster, takenBest(facts, cluster, bought, solve))
  const rankOf = ({ open, lateCost }: Filled) => openRank(facts, { open, lateCost, paid: 0 })
  return rankCompare(rankOf(second), rankOf(first)) < 0 ? second : first
}

/**
 * One part whose needs may all be equally late: then nobody gains by letting an earlier need wait for a later one (the costs of
 * coming late are a Monge array; Hoffman 1963, from memory).
 */
function isFirstComeBest({ needs }: PlanFacts, { parts, groups, supplies }: Cluster): boolean {
  if (parts.length !== 1 || supplies.some(({ inKit }) => inKit)) return false
  const all = groups.flatMap((group) => group.needs.map((need) => needs[need]!))
  return all.every(
    ({ day, latePerDay }, at) => at === 0 || (latePerDay === all[0]!.latePerDay && day >= all[at - 1]!.day),
  )
}

function room({ supplies }: Cluster, bought: readonly number[]): Map<string, number> {
  const left = new Map<string, number>()
  for (const [supply, { gives }] of supplies.entries())
    for (const { part, quantity } of gives) left.set(`${supply},${part}`, quantity * bought[supply]!)
  return left
}

/** Earliest needs first; what is there before what is bought, the part itself before what stands in for it. */
function takenSimply(cluster: Cluster, bought: readonly number[]): Taken[] {
  const left = room(cluster, bought)
  const taken: Taken[] = []
  for (const [group, { part, quantity, arcs }] of cluster.groups.entries()) {
    let open = quantity
    const order = [...arcs.keys()].sort((a, b) => {
      const [one, other] = [arcs[a]!, arcs[b]!]
      const stock = (at: number) => Number(cluster.supplies[at]!.kind !== 'stock')
      return (
        one.cost - other.cost ||
        Number(one.part !== part) - Number(other.part !== part) ||
        stock(one.supply) - stock(other.supply) ||
        one.supply - other.supply
      )
    })
    for (const arc of order) {
      const { supply, part: from, per } = arcs[arc]!
      const key = `${supply},${from}`
      const covers = Math.min(open, Math.floor((left.get(key) ?? 0) / per))
      if (covers <= 0) continue
      left.set(key, left.get(key)! - covers * per)
      taken.push({ group, arc, covers })
      open -= covers
      if (open === 0) break
    }
  }
  return taken
}

/** What stays open counts before what comes late. */
function takenBest(facts: PlanFacts, cluster: Cluster, bought: readonly number[], solve: Solve): Taken[] {
  const builder = new ModelBuilder()
  const { groups } = cluster
  const left = room(cluster, bought)
  const rows = new Map<string, Term[]>()
  const columns: { column: number; group: number; arc: number }[] = []
  const short: ShortVars[] = []
  const late: Term[] = []
  for (const [group, one] of groups.entries()) {
    const { quantity, arcs } = one
    const cover: Term[] = shortTerms({ facts, builder, short }, one, { quantity, isWhole: false })
    for (const [arc, { supply, part, per, cost }] of arcs.entries()) {
      const key = `${supply},${part}`
      if ((left.get(key) ?? 0) <= 0) continue
      const column = builder.column(0, quantity, 0, true)
      columns.push({ column, group, arc })
      cover.push([column, 1])
      if (cost > 0) late.push([column, cost])
      rows.set(key, [...(rows.get(key) ?? []), [column, per]])
    }
    builder.row(quantity, quantity, cover)
  }
  for (const [key, terms] of rows) builder.atMost(left.get(key)!, terms)
  const solved = solveInTurn(builder.model, [...shortGoals(short), late], {
    solve,
    left: () => FILL_SECONDS,
    gap: 0,
  })
  if (solved.status !== 'proven' && solved.status !== 'found') return []
  return columns.flatMap(({ column, group, arc }) => {
    const covers = Math.round(solved.values[column]!)
    return covers > 0 ? [{ group, arc, covers }] : []
  })
}

/** Deals what a group gets out to its needs: the earliest need gets what is there first. */
function dealt(facts: PlanFacts, { supplies, groups }: Cluster, taken: readonly Taken[]): Filled {
  const fills: Fill[] = []
  const open: Filled['open'] = []
  for (const [at, group] of groups.entries()) {
    const given = taken
      .filter((one) => one.group === at)
      .map(({ arc, covers }) => ({ ...group.arcs[arc]!, left: covers }))
      .sort((a, b) => supplies[a.supply]!.day - supplies[b.supply]!.day || a.supply - b.supply)
    for (const need of group.needs) dealtTo(facts, { need, supplies, given }, fills, open)
    must(
      given.every(({ left }) => left === 0),
      'no need gets more than it asks for',
    )
  }
  return { fills, open, lateCost: fills.reduce((sum, { cost }) => sum + cost, 0) }
}

function dealtTo(
  facts: PlanFacts,
  {
    need,
    supplies,
    given,
  }: { need: number; supplies: readonly Supply[]; given: (NeedGroup['arcs'][number] & { left: number })[] },
  fills: Fill[],
  open: Filled['open'],
): void {
  const { quantity, day } = facts.needs[need]!
  let wanted = quantity
  for (const one of given) {
    const covers = Math.min(wanted, one.left)
    if (covers === 0) continue
    one.left -= covers
    wanted -= covers
    const supply = supplies[one.supply]!
    fills.push({
      need,
      supply,
      part: one.part,
      given: covers * one.per,
      covers,
      lateDays: Math.max(0, supply.day - day),
      cost: covers * one.cost,
    })
  }
  if (wanted > 0) open.push({ need, quantity: wanted })
}
