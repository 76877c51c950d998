import { endShare, endsOfLine, type ShaftEnd } from '../figure/shaft-end.ts'

type PlaceFacts = { stations?: number | undefined; ends?: readonly ShaftEnd[] | undefined }

/**
 * Where a line of a figure may be aimed at: sides of the assembly, stations round its rotor or hub, and the two ends of its
 * shaft. A wheel stud has sides and stations; sides alone are asked for, since what comes off with it comes off at that wheel.
 * What sits at one end only has no end to choose.
 */
export function targetPlaces(
  positions: readonly { code: string }[],
  facts: PlaceFacts,
): { sides: string[]; ends: ShaftEnd[]; allowed: Set<string> } {
  const sides = positions.map(({ code }) => code)
  const stations = Array.from({ length: facts.stations ?? 0 }, (_, at) => String(at + 1))
  const both = endsOfLine(facts)
  const ends = both.length === 2 ? both.filter((end) => !sides.includes(end)) : []
  return { sides, ends, allowed: new Set([...sides, ...stations, ...ends]) }
}

/** Pieces of a line at the places named: those of an assembly at each side, the share of the stations, or of the ends. */
export function piecesAimed(
  line: { quantity: number; facts: PlaceFacts },
  positions: readonly { code: string }[],
  named: readonly string[],
): number {
  const { sides, ends, allowed } = targetPlaces(positions, line.facts)
  const at = Math.max(1, sides.filter((code) => named.includes(code)).length)
  const stations = named.filter((code) => allowed.has(code) && !sides.includes(code)).length
  if (line.facts.stations !== undefined && stations > 0)
    return at * stations * Math.max(1, Math.ceil(line.quantity / line.facts.stations))
  return at * endShare(line.quantity, ends.filter((end) => named.includes(end)).length)
}
