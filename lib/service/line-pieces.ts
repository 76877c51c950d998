import { isShaftEnd } from '../figure/shaft-end.ts'
import { targetPlaces } from '../job/target-places.ts'
import { piecesAt } from './service-job.ts'

type Facts = Parameters<typeof targetPlaces>[1]

/**
 * Where a line of a figure is renewed when a service asks for its item, and how many pieces that takes: at every position of the
 * figure, or those `chosen`, that the line's side allows; at every station of a rotor; at both ends of a shaft. `aimed` are
 * positions that the job aims at already. Null where the figure has no such position for it.
 */
export function linePieces(
  line: { quantity: number; side?: string | undefined; facts: Facts },
  positions: readonly { code: string }[],
  chosen: readonly string[],
  aimed: readonly string[] = [],
): { positions: string[]; quantity: number } | null {
  const { stations } = line.facts
  const codes = positions
    .map((position) => position.code)
    .filter((code) => (line.side === undefined || code === line.side) && (chosen.length === 0 || chosen.includes(code)))
  if (positions.length > 0 && stations === undefined && codes.length === 0) return null
  // A service that names no end means both.
  const { ends } = targetPlaces(positions, line.facts)
  const sides = [...new Set([...codes, ...aimed])].filter((code) => !isShaftEnd(code) || !ends.includes(code))
  return {
    positions:
      stations === undefined ? [...sides, ...ends] : Array.from({ length: stations }, (_, at) => String(at + 1)),
    quantity: piecesAt({ quantity: line.quantity, stations }, sides.length),
  }
}
