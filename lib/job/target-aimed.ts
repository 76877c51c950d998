import type { LineFacts } from '../figure/schema.ts'
import { type OrderableLine, type TargetOrdered, targetOrdered } from './ordered.ts'
import { targetPlaces } from './target-places.ts'

export interface TargetAimed<L> extends TargetOrdered<L> {
  /** Where it is renewed; a place that the line does not have is left in, so that whoever asked can be told. */
  positions: string[]
  /** Positions of the figure, and all places that the line has. */
  sides: string[]
  allowed: ReadonlySet<string>
}

/**
 * What a job aims at when somebody points at `asked`: the line that can be ordered for it, how many, and where. Stations and ends
 * say where an item sits on its rotor; the assembly that is ordered for it has sides or none.
 */
export function targetAimed<L extends OrderableLine & { facts: LineFacts }>(
  figure: { positions: readonly { code: string }[]; lines: readonly L[] },
  asked: L,
  input: { positions: readonly string[]; quantity: number },
): TargetAimed<L> {
  const ordered = targetOrdered(figure.lines, asked, input.quantity)
  const { facts } = ordered.line
  const { sides, ends, allowed } = targetPlaces(figure.positions, facts)
  const lost =
    (asked.facts.stations !== undefined && facts.stations === undefined) ||
    (targetPlaces(figure.positions, asked.facts).ends.length > 0 && ends.length === 0)
  const sent = [...new Set(input.positions)].filter((code) => !lost || allowed.has(code))
  return { ...ordered, positions: lost && sent.length === 0 ? sides : sent, sides, allowed }
}
