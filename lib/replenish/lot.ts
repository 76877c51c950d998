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

/**
 * The cheapest plan: Wagner & Whitin, Dynamic version of the economic lot size model, Management Science 5 (1958). An order is
 * placed only where nothing is left, so the best way to a period is one last order and the best way to the period before it.
 * `bestTo` is the least cost of the periods up to each. Of equal plans, the one that orders later. T periods take T * T steps.
 */
export function wagnerWhitin(problem: LotProblem): LotPlan & { bestTo: number[] } {
  lotMustHold(problem)
  const { demand, setup, holding } = problem
  const bestTo: number[] = []
  const startOf: number[] = []
  demand.forEach((need, t) => {
    const before = bestTo[t - 1] ?? 0
    // A period without need is waited through: what is carried into it is carried out of it, at the cost of its own order.
    let best = need === 0 ? before : Infinity
    let start = need === 0 ? -1 : t
    let carried = 0
    let later = 0
    for (let from = t; from >= 0; from--) {
      if (from < t) carried += per(holding, from) * later
      later += demand[from] ?? 0
      if (later === 0) continue
      const cost = (bestTo[from - 1] ?? 0) + per(setup, from) + carried
      if (cost < best) {
        best = cost
        start = from
      }
    }
    bestTo.push(best)
    startOf.push(start)
  })
  const starts: number[] = []
  for (let t = demand.length - 1; t >= 0; ) {
    const start = startOf[t] ?? -1
    if (start >= 0) starts.unshift(start)
    t = start >= 0 ? start - 1 : t - 1
  }
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
