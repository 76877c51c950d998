import { strongest } from '../companion/draft.ts'
import type { Suggestion } from '../companion/suggest.ts'

type Planned = Suggestion & { figureId: number; jobKey: string }

/** Asked for by the job, not by a line of one figure: a consumable of one key, or an act that names no item. */
function isJobWide(suggestion: Planned): boolean {
  return suggestion.kind === 'consumable' || (suggestion.kind === 'act' && suggestion.item === null)
}

/**
 * Figures of one job share what the job needs once: two figures with brakes are one dust mask and one safe stop. Amounts that
 * each figure's joints ask for add up; of what is counted once a job (`once`), the largest counts. The suggestion
 * stays with the figure that came first, under its key, so that what was answered there stays answered.
 */
export function jobWideMerged(suggestions: readonly Planned[]): Planned[] {
  const first = new Map<string, Planned>()
  const merged: string[] = []
  for (const one of suggestions) {
    const key = isJobWide(one) ? `${one.key}\n${one.partId}\n${one.unit}` : one.jobKey
    const before = first.get(key)
    first.set(key, before ? both(before, one) : one)
    if (!before) merged.push(key)
  }
  return merged.map((key) => first.get(key)!)
}

function both(a: Planned, b: Planned): Planned {
  const known = new Set(a.reasons.map((reason) => `${reason.ruleId}\n${reason.words}`))
  const once = Math.max(a.once ?? 0, b.once ?? 0)
  return {
    ...a,
    strength: strongest([a.strength, b.strength]),
    positions: [...new Set([...a.positions, ...b.positions])],
    quantity: a.quantity - (a.once ?? 0) + (b.quantity - (b.once ?? 0)) + once,
    ...(once > 0 ? { once } : {}),
    reasons: [...a.reasons, ...b.reasons.filter((reason) => !known.has(`${reason.ruleId}\n${reason.words}`))],
  }
}
