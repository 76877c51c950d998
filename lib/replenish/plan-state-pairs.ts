import type { OrderState, Way } from './plan-state-way.ts'
import { wayIsOn } from './plan-state-worth.ts'

interface Standing {
  states: readonly OrderState[]
  reach: readonly number[]
}

const MOVES_MAX = 2_000

/** A part or cluster that goes another way: what that costs more, and what each order gets more by it. */
interface Move {
  part: number
  to: Way | null
  cost: number
  goods: Float64Array
}

/**
 * Two parts at once moved from way to way, each time the two that save most, as long as no order falls below what it has to reach:
 * one part alone seldom fits into what is left above a threshold, two of many nearly always do (exchange of pairs; Lin and Kernighan,
 * Operations Research 21, 1973, from memory). `choice` has to reach the thresholds already.
 */
export function statePairs(
  all: readonly (readonly Way[])[],
  choice: readonly Way[],
  standing: Standing,
  left: () => number,
): Way[] {
  const taken = [...choice]
  const orders = standing.reach.length
  const open = all.map((ways) => ways.filter((way) => wayIsOn(way, standing)))
  const spare = standing.reach.map(
    (least, order) => taken.reduce((sum, way) => sum + (way.goods.get(order) ?? 0), 0) - least,
  )
  const movesOf = (part: number): Move[] => {
    const from = taken[part]!
    return open[part]!.flatMap((to) => {
      if (to === from) return []
      const goods = new Float64Array(orders)
      for (const [order, money] of from.goods) goods[order]! -= money
      for (const [order, money] of to.goods) goods[order]! += money
      return [{ part, to, cost: to.cost - from.cost, goods }]
    })
  }
  const nothing: Move = { part: -1, to: null, cost: 0, goods: new Float64Array(orders) }
  let moves = [nothing, ...open.flatMap((_, part) => movesOf(part))]
  for (let done = 0; done < MOVES_MAX && left() > 0; done++) {
    moves.sort((a, b) => a.cost - b.cost)
    const pair = bestPair(moves, spare)
    if (pair === null) break
    for (const { part, to, goods } of pair) {
      if (to === null) continue
      taken[part] = to
      for (let order = 0; order < orders; order++) spare[order]! += goods[order]!
    }
    const moved = pair.map(({ part }) => part).filter((part) => part >= 0)
    moves = [...moves.filter(({ part }) => !moved.includes(part)), ...moved.flatMap(movesOf)]
  }
  return taken
}

/** Of moves by cost, the cheapest first, the two that together save most; null where none save anything. */
function bestPair(moves: readonly Move[], spare: readonly number[]): [Move, Move] | null {
  let best: [Move, Move] | null = null
  let least = -0.5
  for (const one of moves) {
    // Of two that save something, one does.
    if (one.cost >= 0) break
    for (let nth = 0; nth < moves.length; nth++) {
      const other = moves[nth]!
      if (one.cost + other.cost >= least) break
      if (one.part === other.part || !fits(one.goods, other.goods, spare)) continue
      least = one.cost + other.cost
      best = [one, other]
      break
    }
  }
  return best
}

function fits(one: Float64Array, other: Float64Array, spare: readonly number[]): boolean {
  for (let order = 0; order < spare.length; order++) if (spare[order]! + one[order]! + other[order]! < 0) return false
  return true
}
