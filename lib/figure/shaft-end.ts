/**
 * The two ends of a rotor or shaft. The codes are those that stand on bearing lists and vibration reports (common practice, no
 * source); the words are said to people. A line names codes and no words of its own, so that a job, the service book and what was
 * last fitted speak of one and the same end whichever figure shows it.
 */
export const SHAFT_ENDS = ['DE', 'NDE'] as const
export type ShaftEnd = (typeof SHAFT_ENDS)[number]

const WORDS: Record<ShaftEnd, string> = { DE: 'drive end', NDE: 'non-drive end' }

export function isShaftEnd(code: string): code is ShaftEnd {
  return (SHAFT_ENDS as readonly string[]).includes(code)
}

/** A place as it is said: LH, 9, drive end. */
export function placeSays(code: string): string {
  return isShaftEnd(code) ? WORDS[code] : code
}

/** Ends at which a line sits: both, one, or none where it has no end. What stands round the rotor has stations instead. */
export function endsOfLine(facts: {
  ends?: readonly ShaftEnd[] | undefined
  stations?: number | undefined
}): ShaftEnd[] {
  return facts.stations === undefined ? SHAFT_ENDS.filter((end) => facts.ends?.includes(end)) : []
}

/** Ends among the places of a target, fitting or need. */
export function endsAmong(codes: readonly string[]): ShaftEnd[] {
  return SHAFT_ENDS.filter((end) => codes.includes(end))
}

/** Of what sits at both ends, the pieces at so many of them: half of it at one; all of it at both, or where none is named. */
export function endShare(quantity: number, ends: number): number {
  return ends === 1 ? Math.ceil(quantity / 2) : quantity
}
