/**
 * Where a line of a figure may be aimed at: sides of the assembly, and stations round its rotor or hub. A wheel stud has both;
 * sides alone are asked for, since what comes off with it comes off at that wheel.
 */
export function targetPlaces(
  positions: readonly { code: string }[],
  facts: { stations?: number | undefined },
): { sides: string[]; allowed: Set<string> } {
  const sides = positions.map(({ code }) => code)
  const stations = Array.from({ length: facts.stations ?? 0 }, (_, at) => String(at + 1))
  return { sides, allowed: new Set([...sides, ...stations]) }
}
