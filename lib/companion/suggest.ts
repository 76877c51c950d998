import type { PartClass } from '../catalogue/part-class.ts'
import { itemKey } from '../figure/strip-order.ts'
import { otherSideAdd, thenAdd, type Work } from './apply.ts'
import { conditionFound, isOfClass } from './condition.ts'
import { type Draft, type Drafts, draftFinished, OTHER_END, suggestionCompare } from './draft.ts'
import { type JobShape, jobShape, mainTriggers, once, otherTriggers, type Trigger } from './places.ts'
import type { RuleThen } from './rule.ts'
import type { Strength } from './rule-terms.ts'
import { sharesOf } from './share.ts'
import type { CompanionInput, Suggestion } from './suggestion.ts'

export type {
  CompanionInput,
  CompanionTarget,
  FigureLine,
  PartOnFile,
  Suggestion,
  SuggestionReason,
} from './suggestion.ts'

type Way = { places: string[]; strength: Strength }

/** What leads to the same part elsewhere: to the other side or station, or to the other end. */
const LEADS: Partial<Record<RuleThen['what'], 'other' | 'other-end'>> = {
  'same-part-at-paired-position': 'other',
  'opposite-station': 'other',
  'same-part-at-other-end': 'other-end',
}

/** What comes off on both sides anyway is asked for once: under its own key, not under that of the other side. */
function withoutDoubles(drafts: Drafts): Draft[] {
  return [...drafts.values()].filter((draft) => {
    if (!draft.head.key.endsWith('+other')) return true
    const key = draft.head.key.slice(0, -'+other'.length).replace(OTHER_END, '')
    for (const place of drafts.get(key)?.byPlace.keys() ?? []) draft.byPlace.delete(place)
    return draft.byPlace.size > 0
  })
}

/** Targets whose other pieces a rule asks for firmly: the job takes them all, and what goes with them. */
function wholeSets(input: CompanionInput, shape: JobShape, main: readonly Trigger[]): Set<string> {
  const rules = input.rules.filter(({ then, strength }) => then.what === 'rest-of-set' && strength !== 'consider')
  const isWhole = (trigger: Trigger) => rules.some(({ when }) => conditionFound(when, trigger, shape) !== null)
  return new Set(main.filter(isWhole).map((trigger) => itemKey(trigger.line.item)))
}

/**
 * What else a job needs: for the targets and for everything that comes off to reach them, by rules that are data.
 * Targets are not suggested again, but the same part where it wears with them is; parts of the other side stand under keys of
 * their own (`+other`), so that a mechanic who leaves the other side alone declines them in one go, and so do those of the other end. What several rules ask for
 * is one suggestion with every reason, the strongest strength and the larger quantity; amounts of a consumable add up over joints.
 * The order of rules, lines, targets and shelf changes nothing.
 * Quantities: per assembly times places; of a rotor, the share of each station. See Suggestion for units.
 */
export function companionSuggest(input: CompanionInput): Suggestion[] {
  const shape = jobShape(input)
  const main = mainTriggers(shape)
  const work: Work = { shape, drafts: new Map(), share: sharesOf(shape, main, wholeSets(input, shape, main)) }
  const ways = { other: new Map<string, Way[]>(), 'other-end': new Map<string, Way[]>() }
  for (const rule of input.rules) {
    const side = LEADS[rule.then.what]
    if (side === undefined) continue
    for (const trigger of main) {
      const found = conditionFound(rule.when, trigger, shape)
      if (!found) continue
      const places = otherSideAdd(work, rule, trigger, found)
      const key = itemKey(trigger.line.item)
      ways[side].set(key, [...(ways[side].get(key) ?? []), { places, strength: rule.strength }])
    }
  }
  const byId = new Map(input.rules.map((rule) => [rule.id, rule]))
  const others = (['other', 'other-end'] as const).flatMap((side) => otherTriggers(shape, main, ways[side], side))
  const all = [...main, ...others]
  const isSaid = once((id: string) =>
    all.some((trigger) => conditionFound(byId.get(id)!.when, trigger, shape) !== null),
  )
  const applies = (id: string, trigger: Trigger) => {
    const better = byId.get(id)
    if (better === undefined) return false
    const isOnce = better.then.what === 'act' && !better.then.perLine
    return isOnce ? isSaid(id) : conditionFound(better.when, trigger, shape) !== null
  }
  const rulesOf = once((partClass: PartClass) => input.rules.filter(({ when }) => isOfClass(when, partClass)))
  for (const trigger of all) {
    for (const rule of rulesOf(trigger.line.partClass)) {
      const found = conditionFound(rule.when, trigger, shape)
      if (found && !rule.when.unless?.some((id) => applies(id, trigger))) thenAdd(work, rule, trigger, found)
    }
  }
  return withoutDoubles(work.drafts).map(draftFinished).sort(suggestionCompare)
}
