import { endsOfLine } from '../figure/shaft-end.ts'
import type { RuleFact } from './rule-terms.ts'
import type { FigureLine } from './suggestion.ts'

/** A fact of the joint, else of the part. */
export function factOf(line: FigureLine, fact: RuleFact): number | string | undefined {
  // What sits at one end only has no other end that a rule could mean.
  if (fact === 'ends') return endsOfLine(line.facts).length === 2 ? 'drive end, non-drive end' : undefined
  const [joint, part] = [line.facts, line.partFacts] as Partial<Record<RuleFact, number | string>>[]
  return joint![fact] ?? part![fact]
}
