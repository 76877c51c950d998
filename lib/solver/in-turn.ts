import type { Model, ModelRow, Solve, Term } from './model.ts'

/** What is to be least: columns and how much each counts. */
export type Goal = readonly Term[]

export type SolvedInTurn =
  | {
      status: 'proven' | 'found'
      values: readonly number[]
    }
  | { status: 'none' }
  | { status: 'impossible' }

/** A goal that was reached is held to so much: less is no difference to the solver. */
const HELD = 0.5

/**
 * The first goal as small as it gets, then the second among all answers in which the first is so small, and so on (lexicographic
 * optimisation). No weight has to be chosen that is large enough for everything and small enough for the solver. The costs of
 * the model's columns are left aside. Each goal gets an equal share of the time that is left; `proven` where all goals were.
 */
export function solveInTurn(
  model: Model,
  goals: readonly Goal[],
  { solve, left, gap }: { solve: Solve; left: () => number; gap: number },
): SolvedInTurn {
  const held: ModelRow[] = []
  let values: readonly number[] | null = null
  let isProven = true
  for (const [at, goal] of goals.entries()) {
    const costs = new Map<number, number>()
    for (const [column, times] of goal) costs.set(column, (costs.get(column) ?? 0) + times)
    const sumOf = (found: readonly number[]) =>
      [...costs].reduce((sum, [column, times]) => sum + found[column]! * times, 0)
    const isLast = at === goals.length - 1
    // What is nought already cannot become less.
    const isReached = values !== null && sumOf(values) < HELD && goal.every(([, times]) => times >= 0)
    if (!isReached && (costs.size > 0 || values === null)) {
      const seconds = left() / (goals.length - at)
      if (values !== null && seconds <= 0) return { status: 'found', values }
      const columns = model.columns.map((column, place) => ({ ...column, cost: costs.get(place) ?? 0 }))
      const solved = solve(
        { columns, rows: [...model.rows, ...held] },
        { seconds: Math.max(0.05, seconds), gap, ...(values === null ? {} : { start: values }) },
      )
      if (solved.status === 'proven' || solved.status === 'found') {
        values = solved.values
        isProven &&= solved.status === 'proven'
      } else if (values === null) return { status: solved.status === 'impossible' ? 'impossible' : 'none' }
      else isProven = false
    }
    if (!isLast && values !== null && costs.size > 0)
      held.push({ lower: -Infinity, upper: sumOf(values) + HELD, terms: [...costs] })
  }
  return values === null ? { status: 'none' } : { status: isProven ? 'proven' : 'found', values }
}
