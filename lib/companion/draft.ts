import { itemCompare } from '../figure/strip-order.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import type { Found } from './condition.ts'
import { placeCode, placeCodes } from './place.ts'
import type { Rule } from './rule.ts'
import { FAMILIES, STRENGTHS, type Strength } from './rule-terms.ts'
import type { Suggestion, SuggestionReason } from './suggestion.ts'

/** What is known of a suggestion while rules still add to it. Everything added is a maximum or a union, so order cannot matter. */
export interface Draft {
  head: Pick<Suggestion, 'key' | 'kind' | 'partId' | 'item' | 'description' | 'unit' | 'wanted' | 'afterRun'>
  /** Minor units by place (place.ts); '' where the assembly sits once. */
  byPlace: Map<string, number>
  /** Minor units that are no multiple of places: what is left of a set. */
  rest: number
  /** Minor units that the assembly has of it, where places are stations that may share a piece. */
  most?: number
  /** Minor units that one assembly has of it, where its two ends share them. */
  mostOfEnds?: number
  /** Whole stock units by line, and by rule for what is counted once or per position. */
  byLine: Map<string, number>
  byRule: Map<string, { amount: number; places: Set<string> }>
  reasons: Map<string, { rule: Rule; words: string; strength: Strength; found: Map<string, Set<string>> }>
}

/** In the key of a part of the other end, before its number. */
export const OTHER_END = '~end'

export type Drafts = Map<string, Draft>

export function draftOf(drafts: Drafts, head: Draft['head']): Draft {
  const known = drafts.get(head.key)
  if (known) return known
  const made: Draft = { head, byPlace: new Map(), rest: 0, byLine: new Map(), byRule: new Map(), reasons: new Map() }
  drafts.set(head.key, made)
  return made
}

export function strongest(strengths: readonly Strength[]): Strength {
  return STRENGTHS.find((strength) => strengths.includes(strength)) ?? 'consider'
}

export function weaker(a: Strength, b: Strength): Strength {
  return STRENGTHS.indexOf(a) > STRENGTHS.indexOf(b) ? a : b
}

export function keepLarger(amounts: Map<string, number>, name: string, amount: number): void {
  amounts.set(name, Math.max(amounts.get(name) ?? 0, amount))
}

export function reasonAdd(draft: Draft, rule: Rule, words: string, strength: Strength, found: Found): void {
  const name = `${rule.id}\n${words}`
  const reason = draft.reasons.get(name) ?? { rule, words, strength, found: new Map<string, Set<string>>() }
  reason.strength = strongest([reason.strength, strength])
  for (const [key, value] of Object.entries(found))
    reason.found.set(key, (reason.found.get(key) ?? new Set()).add(value))
  draft.reasons.set(name, reason)
}

function reasonsOf(draft: Draft): SuggestionReason[] {
  const rank = (reason: SuggestionReason) => STRENGTHS.indexOf(reason.strength)
  return [...draft.reasons.values()]
    .map(({ rule, words, strength, found }) => ({
      ruleId: rule.id,
      words,
      source: rule.source,
      strength,
      found: Object.fromEntries(
        [...found]
          .map(([key, values]): [string, string] => [key, [...values].sort(itemCompare).join('; ')])
          .sort(([a], [b]) => (a < b ? -1 : 1)),
      ),
    }))
    .sort(
      (a, b) => rank(a) - rank(b) || (a.ruleId < b.ruleId ? -1 : a.ruleId > b.ruleId ? 1 : a.words < b.words ? -1 : 1),
    )
}

function familyOf(draft: Draft, strength: Strength): Suggestion['family'] {
  const strong = [...draft.reasons.values()]
    .filter((reason) => reason.strength === strength)
    .map((reason) => reason.rule.family)
  return FAMILIES.find((family) => strong.includes(family))!
}

/** Whole minor units, rounded up: half a can is a can. The hair taken off keeps 3 x 5 g from becoming 16. */
function minorUp(amount: number, unit: StockUnit): number {
  return Math.ceil(amount * quantityScale(unit) - 1e-6)
}

/** Pieces over all places: at each side no more than an assembly has. */
function placedOf({ byPlace, mostOfEnds = Number.POSITIVE_INFINITY }: Draft): number {
  const bySide = new Map<string, number>()
  for (const [place, amount] of byPlace)
    if (place !== '') bySide.set(placeCode(place), (bySide.get(placeCode(place)) ?? 0) + amount)
  return [...bySide.values()].reduce((sum, amount) => sum + Math.min(amount, mostOfEnds), 0)
}

function quantityOf(draft: Draft): number {
  if (draft.head.kind === 'act') return 0
  if (draft.head.kind === 'part') {
    const once = draft.byPlace.get('') ?? 0
    const placed = placedOf(draft)
    return Math.max(Math.min(placed || once, draft.most ?? Number.POSITIVE_INFINITY), draft.rest)
  }
  const lines = [...draft.byLine.values()].reduce((sum, amount) => sum + amount, 0)
  const rules = [...draft.byRule.values()].map(({ amount, places: counted }) => amount * Math.max(1, counted.size))
  return minorUp(lines + Math.max(0, ...rules), draft.head.unit)
}

/** Of a consumable's quantity, what is counted once for the job; 0 where positions or joints ask for more than that. */
function onceOf(draft: Draft): number {
  if (draft.head.kind !== 'consumable') return 0
  const rules = [...draft.byRule.values()]
  const largest = Math.max(0, ...rules.map(({ amount, places }) => amount * Math.max(1, places.size)))
  const once = Math.max(0, ...rules.filter(({ places }) => places.size === 0).map(({ amount }) => amount))
  return once > 0 && once >= largest ? minorUp(once, draft.head.unit) : 0
}

/** A finished suggestion. */
export function draftFinished(draft: Draft): Suggestion {
  const reasons = reasonsOf(draft)
  const strength = strongest(reasons.map((reason) => reason.strength))
  const { wanted, ...head } = draft.head
  const once = onceOf(draft)
  return {
    ...head,
    strength,
    // A pair of goggles is worn at no end: only what is fitted has one.
    positions: placeCodes(head.kind === 'part' ? draft.byPlace.keys() : [...draft.byPlace.keys()].map(placeCode)),
    quantity: quantityOf(draft),
    ...(once > 0 ? { once } : {}),
    ...(wanted === undefined ? {} : { wanted }),
    family: familyOf(draft, strength),
    reasons,
  }
}

/** Must, should, consider; then family; then item, things without one last; then key. */
export function suggestionCompare(a: Suggestion, b: Suggestion): number {
  const byStrength = STRENGTHS.indexOf(a.strength) - STRENGTHS.indexOf(b.strength)
  const byFamily = FAMILIES.indexOf(a.family) - FAMILIES.indexOf(b.family)
  const byItem = Number(a.item === null) - Number(b.item === null) || itemCompare(a.item ?? '', b.item ?? '')
  return byStrength || byFamily || byItem || (a.key < b.key ? -1 : a.key > b.key ? 1 : 0)
}
