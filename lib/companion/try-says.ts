import { placeSays } from '../figure/shaft-end.ts'
import { quantityFormat } from '../measure/quantity.ts'
import type { Compared, SuggestionChange } from './compare.ts'
import type { Strength } from './rule-terms.ts'

/** A change as a screen shows it, in words; small enough to be sent by the hundred. */
export interface ChangeShown {
  key: string
  kind: SuggestionChange['kind']
  /** `2 x Return spring (LH, RH)`, or the words of an act. */
  says: string
  strength: Strength
  /** What it was, where it differs: `should`, `1 x ...`. */
  was: string | null
  /** Words of the reasons, without doubles. */
  why: string[]
}

function thing(one: Compared): string {
  const at = one.positions.length > 0 && one.kind === 'part' ? ` (${one.positions.map(placeSays).join(', ')})` : ''
  return one.kind === 'act' ? one.description : `${quantityFormat(one.quantity, one.unit)} x ${one.description}${at}`
}

function wasSays({ before, after, differs }: SuggestionChange): string | null {
  if (!before || !after || differs.length === 0) return null
  const parts = differs.flatMap((what) => {
    if (what === 'quantity') return [thing(before)]
    if (what === 'strength') return [before.strength]
    return before.reasons.map((reason) => reason.words).filter((words) => !after.reasons.some((r) => r.words === words))
  })
  return parts.length > 0 ? [...new Set(parts)].join('; ') : 'the same for fewer reasons'
}

export function changeShown(change: SuggestionChange): ChangeShown {
  const one = (change.after ?? change.before)!
  const words = [...new Set(one.reasons.map((reason) => reason.words))]
  return {
    key: one.jobKey,
    kind: change.kind,
    says: thing(one),
    strength: one.strength,
    was: wasSays(change),
    why: one.kind === 'act' ? words.filter((text) => text !== one.description) : words,
  }
}
