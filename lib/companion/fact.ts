import type { RuleFact } from './rule-terms.ts'
import type { FigureLine } from './suggestion.ts'

/** A fact of the joint, else of the part. */
export function factOf(line: FigureLine, fact: RuleFact): number | string | undefined {
  const [joint, part] = [line.facts, line.partFacts] as Partial<Record<RuleFact, number | string>>[]
  return joint![fact] ?? part![fact]
}
