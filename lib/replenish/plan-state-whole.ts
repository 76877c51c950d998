import { ModelBuilder, type Solve, type Term } from '../solver/model.ts'
import type { OrderState, Way } from './plan-state-way.ts'
import { wayIsOn } from './plan-state-worth.ts'

interface Standing {
  states: readonly OrderState[]
  reach: readonly number[]
}

/**
 * Of each part the way that makes the cheapest plan of a state, thresholds reached: with the orders decided, a choice among whole
 * ways with a handful of rows over all parts, which solvers are quick at. Null where time ran out before any was found. `inShares`
 * lets parts be shared out, which takes no time and leaves no more of them in shares than there are thresholds (a basic solution has
 * no more than it has rows): each of those takes the way that it leans to most, so the thresholds may be missed by a little.
 */
export function statesWhole(
  all: readonly (readonly Way[])[],
  standing: Standing,
  { solve, seconds, gap, inShares }: { solve: Solve; seconds: number; gap: number; inShares: boolean },
): Way[] | null {
  const builder = new ModelBuilder()
  const reached = standing.reach.map((): Term[] => [])
  const columns = all.map((ways) =>
    ways.flatMap((way) => {
      if (!wayIsOn(way, standing)) return []
      const column = builder.column(0, 1, way.cost, !inShares)
      for (const [order, money] of way.goods) if (money !== 0) reached[order]!.push([column, money])
      return [{ column, way }]
    }),
  )
  if (columns.some((own) => own.length === 0)) return null
  for (const own of columns)
    builder.row(
      1,
      1,
      own.map(({ column }): Term => [column, 1]),
    )
  for (const [order, terms] of reached.entries())
    if (standing.reach[order]! > 0) builder.atLeast(standing.reach[order]!, terms)
  const solved = solve(builder.model, { seconds, gap })
  if (solved.status !== 'proven' && solved.status !== 'found') return null
  const { values } = solved
  return columns.map((own) => own.reduce((best, one) => (values[one.column]! > values[best.column]! ? one : best)).way)
}
