import type { OrderState, Way } from './plan-state-way.ts'
import { wayIsOn } from './plan-state-worth.ts'

interface Standing {
  states: readonly OrderState[]
  reach: readonly number[]
}

const MOVES_MAX = 5_000

/**
 * What the parts chose, with parts moved from way to way until every order reaches what it has to, each time the move that costs
 * least for what it brings; then whatever costs less without taking an order below its threshold again.
 */
export function stateRepair(all: readonly (readonly Way[])[], choice: readonly Way[], standing: Standing): Way[] {
  const taken = [...choice]
  const goods = standing.reach.map((_, order) => taken.reduce((sum, way) => sum + (way.goods.get(order) ?? 0), 0))
  const open = all.map((ways) => ways.filter((way) => wayIsOn(way, standing)))
  const short = (order: number) => standing.reach[order]! - goods[order]!
  /** Whether a move takes an order below what it has to reach, or further below it. */
  const breaks = (from: Way, to: Way, helped: number) =>
    [...from.goods].some(([order, money]) => {
      const after = goods[order]! - money + (to.goods.get(order) ?? 0)
      return order !== helped && after < standing.reach[order]! && after < goods[order]!
    })
  const move = (part: number, to: Way) => {
    for (const [order, money] of taken[part]!.goods) goods[order]! -= money
    for (const [order, money] of to.goods) goods[order]! += money
    taken[part] = to
  }
  for (let moves = 0; moves < MOVES_MAX; moves++) {
    const order = goods.findIndex((_, at) => standing.states[at] !== 0 && short(at) > 0)
    if (order < 0) break
    let best: { part: number; to: Way; score: number } | null = null
    for (const [part, ways] of open.entries()) {
      const from = taken[part]!
      for (const to of ways) {
        const more = (to.goods.get(order) ?? 0) - (from.goods.get(order) ?? 0)
        if (more <= 0) continue
        const score = (to.cost - from.cost) / Math.min(more, short(order))
        if ((best === null || score < best.score) && !breaks(from, to, order)) best = { part, to, score }
      }
    }
    if (best === null) break
    move(best.part, best.to)
  }
  let isBetter = true
  for (let moves = 0; isBetter && moves < MOVES_MAX; ) {
    isBetter = false
    for (const [part, ways] of open.entries())
      for (const to of ways)
        if (to.cost < taken[part]!.cost && !breaks(taken[part]!, to, -1)) {
          move(part, to)
          moves += 1
          isBetter = true
        }
  }
  return taken
}
