import type { Rule } from '../companion/rule.ts'
import {
  OWN_PREFIX,
  type RuleBook,
  RuleChange,
  type RuleDecision,
  type RuleEntry,
  ruleBook,
  ruleChanged,
} from '../companion/rule-book.ts'
import {
  DRAFT_ID,
  type RuleAddInput,
  type RuleBackInput,
  type RuleChangeInput,
  type RuleFaults,
  type RuleForm,
  type RuleSwitchInput,
  ruleDecided,
} from '../companion/rule-form.ts'
import { RULES } from '../companion/rules/index.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

type Reader = Tx | ReturnType<typeof database>

interface DecisionRow {
  id: number | bigint
  ruleId: string
  state: string
  content: string | null
}

/**
 * Shipped rules and those of the workshop as they stand. Read at every plan of a job, so that a rule counts from the moment it
 * was saved, whichever process saved it.
 */
export async function ruleBookNow(reader: Reader = database()): Promise<RuleBook> {
  const rows = await (reader as Tx).$queryRaw<DecisionRow[]>`
    SELECT "id", "ruleId", "state", "content" FROM "CompanionRule"
    WHERE "id" IN (SELECT MAX("id") FROM "CompanionRule" GROUP BY "ruleId")
    ORDER BY (SELECT MIN(first."id") FROM "CompanionRule" first WHERE first."ruleId" = "CompanionRule"."ruleId")`
  return ruleBook(
    RULES,
    rows.map(
      ({ ruleId, state, content }): RuleDecision => ({
        ruleId,
        state: state === 'off' ? 'off' : 'on',
        content: content === null ? null : (JSON.parse(content) as unknown),
      }),
    ),
  )
}

export interface RuleStep {
  id: number
  act: 'added' | 'changed' | 'off' | 'on' | 'back'
  state: 'on' | 'off'
  /** The rule as it stood after this step; null where it can no longer be read. */
  rule: Rule | null
  reason: string
  at: Date
  by: string
}

/** What was done with a rule, newest first. */
export async function ruleSteps(ruleId: string): Promise<RuleStep[]> {
  const shipped = RULES.find((rule) => rule.id === ruleId) ?? null
  const rows = await database().companionRule.findMany({ where: { ruleId }, orderBy: { id: 'desc' }, take: 200 })
  return rows.map((row) => ({
    id: row.id,
    act: row.act as RuleStep['act'],
    state: row.state as RuleStep['state'],
    rule: row.content === null ? shipped : ruleKept(shipped, ruleId, JSON.parse(row.content)),
    reason: row.reason,
    at: row.setAt,
    by: row.setByName,
  }))
}

function ruleKept(shipped: Rule | null, ruleId: string, content: unknown): Rule | null {
  const change = RuleChange.safeParse(content)
  const whole = shipped && change.success ? ruleChanged(shipped, change.data) : content
  const decision: RuleDecision = { ruleId, state: 'on', content: shipped ? content : whole }
  return ruleBook(shipped ? [shipped] : [], [decision]).known[0] ?? null
}

/** A rule of the book. @throws Refusal companion/no-such-rule */
export function ruleEntry(book: RuleBook, ruleId: string): RuleEntry {
  const entry = book.entries.find((one) => one.rule.id === ruleId)
  if (!entry) throw new Refusal('companion/no-such-rule', { rule: ruleId })
  return entry
}

function badRule(rule: string, faults: RuleFaults): Refusal {
  const fields = faults as Record<string, string>
  return new Refusal('companion/bad-rule', { rule, why: [...new Set(Object.values(fields))].join('; ') }, { fields })
}

const nothingDiffers = () => new Refusal('input/invalid', { what: 'nothing differs from how the rule stands' })

interface Step {
  ruleId: string
  act: RuleStep['act']
  state: 'on' | 'off'
  content: unknown
  reason: string
}

async function stepWrite(tx: Tx, context: WriteContext, step: Step): Promise<{ ruleId: string; seen: number }> {
  const person = await tx.person.findUnique({ where: { id: context.personId }, select: { name: true } })
  const { id } = await tx.companionRule.create({
    data: {
      ...step,
      content: step.content === null ? null : JSON.stringify(step.content),
      setAt: context.now,
      setById: context.personId,
      setByName: person?.name ?? context.personId,
    },
  })
  return { ruleId: step.ruleId, seen: id }
}

/** The rule as it stands, unless somebody was quicker than the person who looked at step `seen`. */
async function entryUnmoved(tx: Tx, ruleId: string, seen: number): Promise<{ book: RuleBook; entry: RuleEntry }> {
  const book = await ruleBookNow(tx)
  const entry = ruleEntry(book, ruleId)
  const last = await tx.companionRule.findFirst({ where: { ruleId }, orderBy: { id: 'desc' } })
  if ((last?.id ?? 0) !== seen) throw new Refusal('companion/rule-moved', { by: last?.setByName ?? 'Somebody' })
  return { book, entry }
}

const contentOf = (book: RuleBook, ruleId: string): unknown =>
  book.decisions.find((one) => one.ruleId === ruleId)?.content ?? null

/** Adds a rule of the workshop's own; its id is given here. */
export function ruleAdd(context: WriteContext, input: RuleAddInput): Promise<{ ruleId: string; seen: number }> {
  return write(context, 'rule.add', input, async (tx) => {
    const book = await ruleBookNow(tx)
    const { reason, ...form } = input
    const decided = ruleDecided(book, DRAFT_ID, form)
    if (decided.faults) throw badRule('of this workshop', decided.faults)
    const last = await tx.companionRule.findFirst({ orderBy: { id: 'desc' }, select: { id: true } })
    // Steps are never deleted, so the number of the next one was never given to another rule.
    const ruleId = `${OWN_PREFIX}${(last?.id ?? 0) + 1}`
    const content = { ...(decided.decision.content as Rule), id: ruleId }
    return stepWrite(tx, context, { ruleId, act: 'added', state: 'on', content, reason })
  })
}

/** Changes an own rule, or what a workshop may change of a shipped one. */
export function ruleChange(context: WriteContext, input: RuleChangeInput): Promise<{ ruleId: string; seen: number }> {
  return write(context, 'rule.change', input, async (tx) => {
    const { ruleId, seen, reason, ...form } = input
    const { book, entry } = await entryUnmoved(tx, ruleId, seen)
    const decided = ruleDecided(book, ruleId, form as RuleForm)
    if (decided.faults) throw badRule(ruleId, decided.faults)
    const { content } = decided.decision
    if (JSON.stringify(content) === JSON.stringify(contentOf(book, ruleId))) throw nothingDiffers()
    const act = entry.shipped && content === null ? 'back' : 'changed'
    return stepWrite(tx, context, { ruleId, act, state: entry.state, content, reason })
  })
}

/** Switches a rule off, with the reason, or on again. */
export function ruleSwitch(context: WriteContext, input: RuleSwitchInput): Promise<{ ruleId: string; seen: number }> {
  return write(context, 'rule.switch', input, async (tx) => {
    const { ruleId, seen, state, reason } = input
    const { book, entry } = await entryUnmoved(tx, ruleId, seen)
    if (entry.state === state) throw nothingDiffers()
    return stepWrite(tx, context, { ruleId, act: state, state, content: contentOf(book, ruleId), reason })
  })
}

/** Takes the workshop's change of a shipped rule back. */
export function ruleBack(context: WriteContext, input: RuleBackInput): Promise<{ ruleId: string; seen: number }> {
  return write(context, 'rule.back', input, async (tx) => {
    const { ruleId, seen, reason } = input
    const { entry } = await entryUnmoved(tx, ruleId, seen)
    if (entry.origin !== 'changed') throw nothingDiffers()
    return stepWrite(tx, context, { ruleId, act: 'back', state: entry.state, content: null, reason })
  })
}
