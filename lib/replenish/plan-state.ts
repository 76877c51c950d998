import { ModelBuilder, type Solve, type Term } from '../solver/model.ts'
import type { Cluster } from './plan-cluster.ts'
import type { PlanFacts, Purchase } from './plan-facts.ts'
import { datedTable } from './plan-state-dated.ts'
import { type LinkedTable, linkedTable } from './plan-state-link.ts'
import { statePairs } from './plan-state-pairs.ts'
import { clusterWay, plainWays, type StateOrder, stateOrders, wayBought } from './plan-state-part.ts'
import { stateRepair } from './plan-state-repair.ts'
import { type OrderState, type PlainWays, sameWay, type Way, type Worths } from './plan-state-way.ts'
import { statesWhole } from './plan-state-whole.ts'
import { leastOf, plainLeast } from './plan-state-worth.ts'

export interface StatePlan {
  /** No plan costs less. */
  bound: number
}

/** So many orders are gone through state by state: three to the power of them. */
const ORDERS_MAX = 6
const STEPS = 40
const ROUNDS_MAX = 8
const WHOLE_SECONDS = 2
const WHOLE_GAP = 1e-4
/** States that are likeliest to hold the cheapest plan. */
const WHOLE_STATES = 5
/** What goods are worth to a threshold goes by such steps, so that what was solved once serves again. */
const WORTH_GRAIN = 1e-3

interface Standing {
  states: OrderState[]
  /** Goods that each order has to reach. */
  reach: number[]
  carriage: number
  worth: number[]
  bound: number
  cuts: Cut[]
  /** Its bound is as good as it gets. */
  isSettled: boolean
}

/**
 * Order by order what may become of it, and for each such state the least that the parts cost: Lagrangian relaxation of the
 * thresholds (Geoffrion 1974, from memory). For goods that are worth `worth` to their order,
 *
 *   carriage + sum of worth x threshold + sum over parts of the least of cost - worth x goods
 *
 * is below every plan of the state, and the greatest such sum is close to it, since no part is much of an order. What each part
 * chooses there, with as little as possible moved so that the thresholds are reached, is a plan; `look` hears of each.
 * Null where there are too many orders or a part cannot be had at all.
 */
export function statesSolve(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  asked: {
    solve: Solve
    left: () => number
    look: (purchases: Purchase[]) => number
    isNear: (bound: number) => boolean
    /** What the simple rule buys. */
    simple: readonly Purchase[]
  },
): StatePlan | null {
  const orders = stateOrders(facts, clusters)
  if (orders.length === 0 || orders.length > ORDERS_MAX) return null
  const parts = partsOf(facts, clusters, orders, asked)
  if (parts === null) return null
  const standings = allStates(orders).map((states) => standingOf(states, orders))
  // With every order to choose from, no state costs less than that and its carriage; each is reckoned by itself when its turn comes.
  const free = {
    ...standingOf(
      orders.map((): OrderState => 1),
      orders,
    ),
    carriage: 0,
  }
  const least = worthSum(parts, free, 'sure').value
  for (const one of standings) one.bound = least + one.carriage
  let best = Infinity
  let from: readonly number[] = orders.map(() => 0)
  const bound = () => Math.min(...standings.map((one) => one.bound))
  const take = (choice: readonly Way[]) => {
    best = Math.min(best, asked.look(choice.flatMap(({ purchases }) => purchases)))
  }
  const isOver = () => asked.left() <= 0 || asked.isNear(bound())
  for (let round = 0; round < ROUNDS_MAX; round++) {
    const open = standings.filter((one) => one.bound < best && one.bound < Infinity && !one.isSettled).sort(mostLikely)
    if (open.length === 0) break
    for (const one of open) {
      if (isOver()) return { bound: bound() }
      if (one.bound >= best) continue
      ascend(parts, one, { aim: best, left: asked.left, from })
      from = one.worth
      if (one.bound >= best) continue
      exactly(parts, one, asked.left)
      one.isSettled = parts.linked.every(({ table }) => table)
      const { choice } = worthSum(parts, one, 'known')
      if (choice) take(stateRepair(parts.all, choice, one))
    }
    for (const one of [...standings].sort(mostLikely).slice(0, WHOLE_STATES)) {
      if (isOver()) return { bound: bound() }
      if (one.bound >= best) break
      const ways = [...parts.plain.map((part) => waysIn(part, one)), ...parts.linked.map(({ known }) => known)]
      for (const inShares of [true, false]) {
        if (isOver()) return { bound: bound() }
        const limit = { solve: parts.solve, seconds: Math.min(WHOLE_SECONDS, asked.left()), gap: WHOLE_GAP, inShares }
        const whole = statesWhole(ways, one, limit)
        if (whole) take(statePairs(ways, stateRepair(ways, whole, one), one, asked.left))
      }
    }
  }
  return { bound: bound() }
}

/** The lowest bound first; of equals the one that has most orders to choose from. */
const mostLikely = (a: Standing, b: Standing): number => {
  const placed = ({ states }: Standing) => states.filter((state) => state !== 0).length
  return a.bound - b.bound || placed(b) - placed(a)
}

const waysIn = ({ ways, mixture, mixed }: PlainWays, { states }: Standing): Way[] => {
  const cheapest = mixture(states)?.way
  return cheapest && !mixed.some((one) => sameWay(one, cheapest)) ? [...ways, cheapest, ...mixed] : [...ways, ...mixed]
}

interface Linked {
  cluster: Cluster
  /** Says the least at once; null where it takes the solver. */
  table: LinkedTable | null
  /** Orders that it may use. */
  orders: number[]
  /** No way costs less, whatever is placed. */
  least: number
  known: Way[]
  /** Least for a state and worths that were asked for. */
  solved: Map<string, number>
  /** Not solved, for want of time: only what the simple rule buys is known, and nothing of its least. */
  isRough: boolean
}

interface Parts {
  facts: PlanFacts
  orderAt: Map<string, number>
  plain: PlainWays[]
  linked: Linked[]
  /** Ways of all of them, plain ones first. */
  all: Way[][]
  solve: Solve
}

/** So many clusters are solved before it is reckoned how long all of them take, and the share of the time that they may. */
const SAMPLE = 4
const SOLVER_SHARE = 0.3
const CLUSTER_SECONDS = 2
const CLUSTER_GAP = 1e-4

function partsOf(
  facts: PlanFacts,
  clusters: readonly Cluster[],
  orders: readonly StateOrder[],
  { solve, left, simple }: { solve: Solve; left: () => number; simple: readonly Purchase[] },
): Parts | null {
  const orderAt = new Map(orders.map(({ key }, at) => [key, at]))
  const parts: Parts = { facts, orderAt, plain: [], linked: [], all: [], solve }
  for (const cluster of clusters) {
    // What may come late is reckoned by dates: a mixture of a plain part leaves lateness out.
    const isLate = cluster.groups.some(({ arcs }) => arcs.some(({ cost }) => cost > 0))
    const dated = isLate || cluster.groups.length > 1 ? datedTable(facts, cluster, orderAt) : null
    const plain = dated ? null : plainWays(facts, cluster, orderAt)
    if (plain) {
      parts.plain.push(plain)
      continue
    }
    const own = stateOrders(facts, [cluster]).map(({ key }) => orderAt.get(key)!)
    parts.linked.push({
      cluster,
      table: dated ?? linkedTable(facts, cluster, orderAt),
      orders: own,
      least: 0,
      known: [],
      solved: new Map(),
      isRough: false,
    })
  }
  // Where clusters that take the solver would take all the time, the others are planned around what the simple rule buys for these.
  const bySolver = parts.linked.filter(({ table }) => !table)
  const all = left()
  for (const [nth, one] of bySolver.entries()) {
    const used = all - left()
    if (left() <= 0) return null
    if (nth >= SAMPLE && (used / nth) * bySolver.length > all * SOLVER_SHARE) {
      const way = wayBought(facts, one.cluster, simple, { orderAt, solve })
      if (way === null) return null
      one.known.push(way)
      one.isRough = true
      continue
    }
    const placed = { states: orders.map((): OrderState => 1), worth: orders.map(() => 0) }
    const least = linkedLeast(parts, one, placed, left)
    if (least === null) return null
    one.least = least
  }
  parts.all = [...parts.plain.map(({ ways }) => ways), ...parts.linked.map(({ known }) => known)]
  return parts
}

function allStates(orders: readonly StateOrder[]): OrderState[][] {
  let states: OrderState[][] = [[]]
  for (const { supplier } of orders) {
    const canBePaid = supplier.carriage > 0 && supplier.paidFrom !== null
    const own: OrderState[] = canBePaid ? [0, 1, 2] : [0, 1]
    states = states.flatMap((before) => own.map((one) => [...before, one]))
  }
  return states
}

function standingOf(states: OrderState[], orders: readonly StateOrder[]): Standing {
  return {
    states,
    reach: orders.map(({ supplier }, at) =>
      states[at] === 0 ? 0 : Math.max(supplier.minimum, states[at] === 2 ? (supplier.paidFrom ?? 0) : 0),
    ),
    carriage: orders.reduce((sum, { supplier }, at) => sum + (states[at] === 1 ? supplier.carriage : 0), 0),
    worth: orders.map(() => 0),
    bound: 0,
    cuts: [],
    isSettled: false,
  }
}

const solvedKey = ({ orders }: Linked, { states, worth }: Worths): string =>
  orders.map((order) => (states[order] === 0 ? 'x' : worth[order])).join(' ')

/** The least of a linked cluster for a state and its worths, reckoned once; null where there is no way. */
function linkedLeast(
  { facts, orderAt, solve }: Parts,
  one: Linked,
  standing: Worths,
  left: () => number,
): number | null {
  const key = solvedKey(one, standing)
  const known = one.solved.get(key)
  if (known !== undefined) return known
  const found = clusterWay(facts, one.cluster, {
    isOn: (order) => standing.states[order] !== 0,
    worth: (order) => standing.worth[order]!,
    orderAt,
    solve,
    seconds: Math.min(CLUSTER_SECONDS, Math.max(0.05, left())),
    gap: CLUSTER_GAP,
  })
  const least = found === null ? Infinity : found.bound
  one.solved.set(key, least)
  if (found?.way) one.known.push(found.way)
  return found === null && standing.states.every((state) => state !== 0) ? null : least
}

interface WorthSum {
  value: number
  /** What each order gets where the parts choose so. */
  goods: number[]
  /** Null where a part has no way that is known. */
  choice: Way[] | null
}

/**
 * The sum for the worths of a standing: `sure` is below every plan of its state, `known` reckons linked clusters by the ways that
 * have been found, which shows where to go.
 */
function worthSum({ plain, linked }: Parts, standing: Standing, by: 'sure' | 'known'): WorthSum {
  const { states, reach, worth, carriage } = standing
  const goods = reach.map(() => 0)
  const choice: (Way | null)[] = []
  let value = carriage + reach.reduce((sum, least, order) => sum + worth[order]! * least, 0)
  const spend = (way: Way | null) => {
    for (const [order, money] of way?.goods ?? []) goods[order]! += money
  }
  for (const part of plain) {
    const { value: least, way, split } = plainLeast(part, standing)
    value += least
    choice.push(way)
    if (split === null) spend(way)
    else if (split.order >= 0) goods[split.order]! += split.money
  }
  for (const one of linked) {
    const { value: least, way } = one.table ? one.table(standing) : leastOf(one.known, standing)
    choice.push(way)
    spend(way)
    if (one.table && way && one.known.length < WAYS_MAX && !one.known.some((known) => sameWay(known, way)))
      one.known.push(way)
    if (one.table || by === 'known') value += least
    else {
      const dearest = Math.max(0, ...one.orders.map((order) => (states[order] === 0 ? 0 : worth[order]!)))
      value += Math.max(0, (1 - dearest) * one.least, one.solved.get(solvedKey(one, standing)) ?? 0)
    }
  }
  return { value, goods, choice: choice.every((way) => way !== null) ? (choice as Way[]) : null }
}

/** Ways of a linked cluster that a plan may be mended with. */
const WAYS_MAX = 60

/** The sum lies below this plane: `value` at the worths where it was reckoned, and what orders missed there as its slopes. */
interface Cut {
  constant: number
  slopes: number[]
}

/** How far from the best worths so far the next are looked for: at first, at least, and everywhere. */
const NEARBY = 0.1
const NEARBY_MIN = 0.01
const ANYWHERE = 1

/**
 * Worths at which the sum is greatest, by cutting planes (Kelley 1960, from memory): each sum that is reckoned bounds all others,
 * and the next is reckoned where these bounds leave most room, near the best so far as long as there is any (a trust region; without
 * it the first ones jump from corner to corner). Stops where the sum reaches `aim`, above which no plan is looked for.
 */
function ascend(parts: Parts, standing: Standing, { aim, left, from }: AscendAsked): void {
  const isSure = parts.linked.every(({ table }) => table)
  let [best, worth] = [-Infinity, standing.worth]
  let next = standing.reach.map((least, order) => (least > 0 ? from[order]! : 0))
  let nearby = NEARBY
  for (let step = 0; step < STEPS && left() > 0; step++) {
    const at = { ...standing, worth: next }
    const { value, goods } = worthSum(parts, at, 'known')
    standing.bound = Math.max(standing.bound, isSure ? value : worthSum(parts, at, 'sure').value)
    if (value > best) [best, worth] = [value, next]
    else nearby = Math.max(NEARBY_MIN, nearby / 2)
    if (value >= aim) break
    const slopes = goods.map((money, order) => standing.reach[order]! - money)
    standing.cuts.push({
      constant: value - slopes.reduce((sum, slope, order) => sum + slope * at.worth[order]!, 0),
      slopes,
    })
    const room = roomBeyond(best, () => roomiest(standing, { worth, nearby }, parts.solve))
    if (room === null) {
      const anywhere = roomBeyond(best, () => roomiest(standing, { worth, nearby: ANYWHERE }, parts.solve))
      if (anywhere === null) break
      next = anywhere.worth
      nearby = NEARBY
    } else next = room.worth
  }
  standing.worth = isSure ? worth : worth.map((one) => Math.round(one / WORTH_GRAIN) * WORTH_GRAIN)
}

interface AscendAsked {
  aim: number
  left: () => number
  /** Worths to begin at: those of a state that was gone through before. */
  from: readonly number[]
}

type Room = { value: number; worth: number[] } | null

/** Less room than that is none. */
function roomBeyond(best: number, find: () => Room): Room {
  const room = find()
  return room === null || room.value - best < 0.5 ? null : room
}

/** Where the cuts leave most room for the sum, so near to these worths. */
function roomiest(
  { cuts, reach, states }: Standing,
  { worth: middle, nearby }: { worth: readonly number[]; nearby: number },
  solve: Solve,
): Room {
  const builder = new ModelBuilder()
  const sum = builder.column(-1e12, 1e12, -1, false)
  const worth = reach.map((least, order) => {
    if (states[order] === 0 || least === 0) return builder.column(0, 0, 0, false)
    return builder.column(Math.max(0, middle[order]! - nearby), Math.min(1, middle[order]! + nearby), 0, false)
  })
  for (const { constant, slopes } of cuts)
    builder.atMost(constant, [[sum, 1], ...worth.map((column, order): Term => [column, -slopes[order]!])])
  const solved = solve(builder.model, { seconds: 1, gap: 0 })
  if (solved.status !== 'proven') return null
  return { value: -solved.cost, worth: worth.map((column) => Math.min(1, Math.max(0, solved.values[column]!))) }
}

/** Solves the linked clusters for the worths of a standing, which makes its sum sure, and finds ways for them. */
function exactly(parts: Parts, standing: Standing, left: () => number): void {
  for (const one of parts.linked) {
    if (left() <= 0) return
    if (one.table || one.isRough) continue
    linkedLeast(parts, one, standing, left)
  }
  standing.bound = Math.max(standing.bound, worthSum(parts, standing, 'sure').value)
}
