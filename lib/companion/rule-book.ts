import { z } from 'zod'
import { Rule, type RuleThen } from './rule.ts'
import { ACT_STAGES, STRENGTHS } from './rule-terms.ts'

/** shipped: as the program brings it. changed: shipped, with words, strength or quantity of the workshop. own: added by the workshop. */
export type RuleOrigin = 'shipped' | 'changed' | 'own'

/** Own rules have ids of their own kind, so that a rule that is shipped later never meets one. */
export const OWN_PREFIX = 'own-'

type Consumable = Extract<RuleThen, { what: 'consumable' }>
const consumableOf = (rule: Rule): Consumable | null => (rule.then.what === 'consumable' ? rule.then : null)

/**
 * What a workshop may put in place of a shipped rule's own: how strongly, in which words, how much, when in the work. Its condition
 * stays the shipped one, so that a condition that is mended later is mended for this workshop too.
 */
export const RuleChange = z.strictObject({
  words: z.string().optional(),
  source: z.string().optional(),
  strength: z.enum(STRENGTHS).optional(),
  amount: z.record(z.string(), z.number()).optional(),
  per: z.enum(['job', 'position', 'line', 'piece']).optional(),
  stage: z.enum(ACT_STAGES).optional(),
})
export type RuleChange = z.infer<typeof RuleChange>

/** What stands last of a rule: on or off, and its content: an own rule whole, of a shipped one the change; null as shipped. */
export interface RuleDecision {
  ruleId: string
  state: 'on' | 'off'
  content: unknown
}

export interface RuleEntry {
  rule: Rule
  origin: RuleOrigin
  state: 'on' | 'off'
  /** The shipped rule where there is one. */
  shipped: Rule | null
}

export interface RuleBook {
  decisions: readonly RuleDecision[]
  /** Every rule that can be used, shipped ones in their order, then own ones as they were added. */
  entries: RuleEntry[]
  /** Those that are on: what the engine reads. */
  inForce: Rule[]
  /** On or off: what a job of last month may have been planned with. */
  known: Rule[]
  /** What the workshop wrote and what can no longer be used, with the reason. */
  faulty: { ruleId: string; why: string }[]
}

const why = (error: z.ZodError) =>
  error.issues.map((issue) => `${issue.path.join('.') || 'rule'}: ${issue.message}`).join('; ')

/** A shipped rule with the workshop's change laid over it, not yet checked. */
export function ruleChanged(shipped: Rule, change: RuleChange): unknown {
  const { words, source, strength, amount, per, stage } = change
  const then =
    shipped.then.what === 'consumable'
      ? { ...shipped.then, ...(amount ? { amount } : {}), ...(per ? { per } : {}) }
      : shipped.then.what === 'act'
        ? { ...shipped.then, ...(stage ? { stage } : {}) }
        : shipped.then
  return {
    ...shipped,
    ...(words === undefined ? {} : { words }),
    ...(source === undefined ? {} : { source }),
    ...(strength === undefined ? {} : { strength }),
    then,
  }
}

/** What `wanted` says otherwise than the shipped rule; null where it says the same. */
export function ruleChangeOf(shipped: Rule, wanted: Rule): RuleChange | null {
  const change: RuleChange = {}
  if (wanted.words !== shipped.words) change.words = wanted.words
  if (wanted.source !== shipped.source) change.source = wanted.source
  if (wanted.strength !== shipped.strength) change.strength = wanted.strength
  const [before, after] = [consumableOf(shipped), consumableOf(wanted)]
  if (before?.amount && after?.amount && amountText(before.amount) !== amountText(after.amount))
    change.amount = { ...after.amount }
  if (before && after && before.per !== after.per) change.per = after.per
  if (shipped.then.what === 'act' && wanted.then.what === 'act' && wanted.then.stage !== shipped.then.stage)
    if (wanted.then.stage) change.stage = wanted.then.stage
  return Object.keys(change).length === 0 ? null : change
}

function amountText(amount: Record<string, number | undefined>): string {
  return JSON.stringify(Object.entries(amount).sort(([a], [b]) => (a < b ? -1 : 1)))
}

/**
 * Shipped rules and what the workshop decided about them, as one set. Pure: `decisions` holds at most the last one of each rule.
 * What cannot be used is left out and named: a change falls back to the shipped rule, an own rule is silent.
 */
export function ruleBook(shipped: readonly Rule[], decisions: readonly RuleDecision[]): RuleBook {
  const decided = new Map(decisions.map((one) => [one.ruleId, one]))
  const faulty: RuleBook['faulty'] = []
  const entries = shipped.map((rule): RuleEntry => {
    const decision = decided.get(rule.id)
    const state = decision?.state ?? 'on'
    const plain: RuleEntry = { rule, origin: 'shipped', state, shipped: rule }
    if (!decision || decision.content === null) return plain
    const change = RuleChange.safeParse(decision.content)
    const changed = change.success ? Rule.safeParse(ruleChanged(rule, change.data)) : change
    if (changed.success) return { rule: changed.data as Rule, origin: 'changed', state, shipped: rule }
    faulty.push({ ruleId: rule.id, why: why(changed.error) })
    return plain
  })
  const ids = new Set(shipped.map((rule) => rule.id))
  for (const { ruleId, state, content } of decisions) {
    if (ids.has(ruleId)) continue
    if (!ruleId.startsWith(OWN_PREFIX)) {
      // Switched off and no longer shipped: it is off for good, and nobody needs to hear of it.
      if (content !== null) faulty.push({ ruleId, why: 'the rule that was changed is no longer shipped' })
      continue
    }
    const own = Rule.safeParse(content)
    if (own.success && own.data.id === ruleId) entries.push({ rule: own.data, origin: 'own', state, shipped: null })
    else faulty.push({ ruleId, why: own.success ? `it calls itself ${own.data.id}` : why(own.error) })
  }
  return {
    decisions,
    entries,
    inForce: entries.filter((entry) => entry.state === 'on').map((entry) => entry.rule),
    known: entries.map((entry) => entry.rule),
    faulty,
  }
}

/** The book as it would be with one more decision: what a draft is tried with. */
export function ruleBookWith(shipped: readonly Rule[], book: RuleBook, draft: RuleDecision): RuleBook {
  return ruleBook(shipped, [...book.decisions.filter((one) => one.ruleId !== draft.ruleId), draft])
}

/** Marks each reason that is not the shipped one; it is kept with the job, whatever becomes of the rule. */
export function reasonsMarked<R extends { ruleId: string }>(
  reasons: readonly R[],
  book: Pick<RuleBook, 'entries'>,
): (R & { origin?: RuleOrigin })[] {
  const origin = new Map(book.entries.map((entry) => [entry.rule.id, entry.origin]))
  return reasons.map((reason) => {
    const of = origin.get(reason.ruleId)
    return of === undefined || of === 'shipped' ? reason : { ...reason, origin: of }
  })
}

export const ORIGIN_SAYS: Record<Exclude<RuleOrigin, 'shipped'>, string> = {
  own: 'rule of this workshop',
  changed: 'changed by this workshop',
}

/** Entries that a list is narrowed to. `q` is looked for in the words, the sentence and the source, each of its words somewhere. */
export function rulesMatching<E extends RuleEntry & { says: string }>(
  entries: readonly E[],
  wish: { q: string; family: string; state: string; origin: string; strength: string },
): E[] {
  const words = wish.q.toLowerCase().split(/\s+/).filter(Boolean)
  return entries.filter(({ rule, origin, state, says }) => {
    const text = `${rule.words} ${says} ${rule.source} ${rule.id}`.toLowerCase()
    return (
      words.every((word) => text.includes(word)) &&
      (wish.family === '' || rule.family === wish.family) &&
      (wish.state === '' || state === wish.state) &&
      (wish.origin === '' || origin === wish.origin) &&
      (wish.strength === '' || rule.strength === wish.strength)
    )
  })
}
