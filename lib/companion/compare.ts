import type { Suggestion } from './suggestion.ts'

/** A suggestion under the key that is the same in both runs. */
export type Compared = Suggestion & { jobKey: string }

export interface SuggestionChange {
  kind: 'added' | 'removed' | 'changed' | 'same'
  before: Compared | null
  after: Compared | null
  /** What differs, in words; empty unless changed. */
  differs: ('quantity' | 'strength' | 'words' | 'reasons')[]
}

const reasonsText = (one: Suggestion) => one.reasons.map((reason) => reason.ruleId).join()
const wordsText = (one: Suggestion) =>
  [one.description, ...one.reasons.map((reason) => `${reason.words}\n${reason.source}`)].join('\n')

function differs(before: Compared, after: Compared): SuggestionChange['differs'] {
  const found: SuggestionChange['differs'] = []
  if (before.quantity !== after.quantity || before.unit !== after.unit) found.push('quantity')
  if (before.strength !== after.strength) found.push('strength')
  if (reasonsText(before) !== reasonsText(after)) found.push('reasons')
  else if (wordsText(before) !== wordsText(after)) found.push('words')
  return found
}

/** Two runs of the engine over one job side by side, in the order of the second; what is gone comes last. */
export function suggestionsCompare(before: readonly Compared[], after: readonly Compared[]): SuggestionChange[] {
  const was = new Map(before.map((one) => [one.jobKey, one]))
  const is = new Set(after.map((one) => one.jobKey))
  return [
    ...after.map((one): SuggestionChange => {
      const old = was.get(one.jobKey)
      if (!old) return { kind: 'added', before: null, after: one, differs: [] }
      const found = differs(old, one)
      return { kind: found.length === 0 ? 'same' : 'changed', before: old, after: one, differs: found }
    }),
    ...before
      .filter((one) => !is.has(one.jobKey))
      .map((one): SuggestionChange => ({ kind: 'removed', before: one, after: null, differs: [] })),
  ]
}
