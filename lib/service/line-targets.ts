import type { PlanFigure, PlanTarget } from '../job/plan-figure.ts'
import { targetAimed } from '../job/target-aimed.ts'
import { linePieces } from './line-pieces.ts'

/** A line of a figure that a service asks for: its item, and the positions chosen (all where none is). */
export interface LineAsked {
  figureId: number
  item: string
  positions: readonly string[]
}

/** Targets by the line of the parts list that they are. */
export type Targets = ReadonlyMap<number, PlanTarget>

/**
 * What a job aims at when these lines of its services are renewed, beside what it aims at already: each line of the item, one a
 * side, ordered as the book says. An item that the machine does not have adds nothing.
 */
export function lineTargets(
  figures: ReadonlyMap<number, PlanFigure>,
  asked: readonly LineAsked[],
  before: Targets = new Map(),
): Map<number, PlanTarget> {
  const targets = new Map(before)
  for (const { figureId, item, positions } of asked) {
    const figure = figures.get(figureId)
    for (const line of figure?.lines.filter((one) => one.item === item) ?? []) {
      const aimed = targets.get(line.lineId)
      const pieces = linePieces(line, figure!.positions, positions, aimed?.positions ?? [])
      if (pieces === null || pieces.quantity <= 0 || line.quantity <= 0) continue
      const quantity = Math.max(pieces.quantity, aimed?.quantity ?? 0)
      const target = targetAimed(figure!, line, { positions: pieces.positions, quantity })
      const { item: ordered, lineId } = target.line
      targets.set(lineId, { figureId, item: ordered, positions: target.positions, quantity: target.quantity })
    }
  }
  return targets
}
