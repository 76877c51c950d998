import { must } from '../must.ts'

/** Need that is known beforehand, period by period: a season's services, a campaign. */
export interface LotProblem {
  /** Pieces needed in each period, from 0. */
  demand: readonly number[]
  /** Money for an order placed in each period; one number stands for all periods. */
  setup: number | readonly number[]
  /** Money for carrying one piece from each period into the next; one number stands for all periods. */
  holding: number | readonly number[]
}

export interface LotPlan {
  /** Pieces ordered in each period, there at its beginning. */
  orders: number[]
  cost: number
}

const per = (value: number | readonly number[], at: number): number =>
  typeof value === 'number' ? value : (value[at] ?? 0)

function lotMustHold({ demand, setup, holding }: LotProblem): void {
  const fine = (values: readonly number[]) => values.every((value) => Number.isFinite(value) && value >= 0)
  must(fine(demand), 'need is a number from 0 in every period')
  for (const cost of [setup, holding])
    must(
      typeof cost === 'number' ? fine([cost]) : fine(cost) && cost.length === demand.length,
      'costs are numbers from 0, one for all periods or one for each',
    )
}

/** What a plan costs; refuses a plan that leaves a period without its pieces. */
export function lotCost(problem: LotProblem, orders: readonly number[]): number {
  let stock = 0
  let cost = 0
  problem.demand.forEach((need, at) => {
    const order = orders[at] ?? 0
    if (order > 0) cost += per(problem.setup, at)
    stock += order - need
    must(stock > -1e-9 * (1 + need), 'a lot plan covers every period')
    cost += per(problem.holding, at) * Math.max(0, stock)
  })
  return cost
}

/** The plan in which each of `starts` orders what is needed until the next start. */
function lotsFrom(problem: LotProblem, starts: readonly number[]): LotPlan {
  const { demand } = problem
  const orders = demand.map(() => 0)
  starts.forEach((start, k) => {
    orders[start] = demand.slice(start, starts[k + 1] ?? demand.length).reduce((sum, need) => sum + need, 0)
  })
  return { orders, cost: lotCost(problem, orders) }
}

/** Periods cut into lots: the period that each lot begins with, and the least cost of the periods up to each. */
export interface LotCut {
  starts: number[]
  bestTo: number[]
}

/**
 * The cheapest way to cut periods into lots that follow one another. `costOf(from, to)`: what one lot costs that is there for
 * period `from` and lasts through period `to`, whatever it is made of; Infinity where there can be none. The best way to a period
 * is one last lot and the best way to the period before it. Of equal cuts, the one with the later last lot. T periods take T * T
 * steps.
 */
export function lotsCut(periods: number, costOf: (from: number, to: number) => number): LotCut {
  const bestTo: number[] = []
  const startOf: number[] = []
  for (let to = 0; to < periods; to++) {
    let best = Infinity
    let start = to
    for (let from = to; from >= 0; from--) {
      const cost = (bestTo[from - 1] ?? 0) + costOf(from, to)
      if (cost < best) {
        best = cost
        start = from
      }
    }
    bestTo.push(best)
    startOf.push(start)
  }
  const starts: number[] = []
  for (let to = periods - 1; to >= 0; to = startOf[to]! - 1) starts.unshift(startOf[to]!)
  return { starts, bestTo }
}

/** Sums of values up to each, from 0. */
export function sumsOf(values: readonly number[]): number[] {
  const sums = [0]
  for (const value of values) sums.push(sums.at(-1)! + value)
  return sums
}

/**
 * The cheapest plan: Wagner & Whitin, Dynamic version of the economic lot size model, Management Science 5 (1958). An order is
 * placed only where nothing is left, so the periods are cut into lots (`lotsCut`), each of which costs its order and what is
 * carried. `bestTo` is the least cost of the periods up to each. Of equal plans, the one that orders later.
 */
export function wagnerWhitin(problem: LotProblem): LotPlan & { bestTo: number[] } {
  lotMustHold(problem)
  const { demand, setup, holding } = problem
  // Carrying one piece from the first period into each, and all that is needed, alone and with what carrying it takes.
  const carry = sumsOf(demand.map((_, at) => per(holding, at)))
  const needs = sumsOf(demand)
  const carried = sumsOf(demand.map((need, at) => need * carry[at]!))
  const { starts, bestTo } = lotsCut(demand.length, (from, to) => {
    const need = needs[to + 1]! - needs[from]!
    // Periods without need are waited through, without an order.
    return need === 0 ? 0 : per(setup, from) + carried[to + 1]! - carried[from]! - carry[from]! * need
  })
  return { ...lotsFrom(problem, starts), bestTo }
}

/**
 * Silver & Meal, A heuristic for selecting lot size quantities, Production and Inventory Management 14 (1973): an order takes one
 * more period in as long as the cost a period falls. Orders where the shelf is empty and something is needed. Quick to follow by
 * hand, and never better than Wagner-Whitin.
 */
export function silverMeal(problem: LotProblem): LotPlan {
  lotMustHold(problem)
  const { demand, setup, holding } = problem
  const starts: number[] = []
  let start = 0
  while (start < demand.length) {
    if ((demand[start] ?? 0) === 0) {
      start += 1
      continue
    }
    starts.push(start)
    let cost = per(setup, start)
    let carryOne = 0
    let mean = cost
    let end = start + 1
    for (; end < demand.length; end++) {
      carryOne += per(holding, end - 1)
      cost += carryOne * (demand[end] ?? 0)
      const next = cost / (end - start + 1)
      if (next > mean) break
      mean = next
    }
    start = end
  }
  return lotsFrom(problem, starts)
}
