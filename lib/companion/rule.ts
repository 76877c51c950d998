import { z } from 'zod'
import { JOINTS } from '../catalogue/joint.ts'
import { PART_CLASSES } from '../catalogue/part-class.ts'
import { FLUIDS } from '../figure/schema.ts'
import { Refusal } from '../refusal.ts'
import { ACT_STAGES, type ActStage, FAMILIES, RULE_FACTS, type RuleFact, STRENGTHS } from './rule-terms.ts'

const Classes = z.enum(PART_CLASSES).array().min(1)
const Amount = z.number().positive().max(1000)

export const RuleWhen = z.strictObject({
  /** A target is chosen to be renewed; disturbed is everything that comes off, targets included. */
  what: z.enum(['target', 'disturbed']),
  partClass: Classes.optional(),
  notClass: Classes.optional(),
  joint: z.enum(JOINTS).array().min(1).optional(),
  /** A kind of joint that the list does not name here. */
  notJoint: z.enum(JOINTS).array().min(1).optional(),
  safetyJoint: z.enum(['brake', 'steering', 'cutting', 'pto']).array().min(1).optional(),
  /** It sits at a position that another one wears with. */
  paired: z.literal(true).optional(),
  has: z.enum(RULE_FACTS).array().min(1).optional(),
  torqueState: z.enum(['dry', 'oiled', 'anti-seize', 'thread-lock']).array().min(1).optional(),
  /** Thread diameter in mm: over is exclusive, upTo inclusive. */
  threadMm: z.strictObject({ over: z.number().min(0).optional(), upTo: z.number().positive().optional() }).optional(),
  /** Pieces per assembly, at least. */
  piecesMin: z.number().int().min(2).max(400).optional(),
  massKgOver: z.number().positive().optional(),
  /** It holds a part of one of these classes, directly or through others: the screw of a guard. */
  holds: Classes.optional(),
  /** Nothing of these classes holds it: no locking nut on the bolt, no clamp on the hose. */
  notHeldBy: Classes.optional(),
  /** What runs out is one of these, and the list says so. */
  fluid: z.enum(FLUIDS).array().min(1).optional(),
  /** What runs out is none of these; where the list does not tell, it may be. */
  notFluid: z.enum(FLUIDS).array().min(1).optional(),
  /** Names of models, with or without their maker; spelling as a part number's does not count. */
  model: z
    .string()
    .trim()
    .regex(/^[^,]{1,80}$/, 'name at most 20 models, each in 80 characters, with commas between')
    .array()
    .min(1)
    .max(20)
    .optional(),
  /** The part is at least so old, by hours run or by years, whichever comes first; see `ageFound` for what it counts from. */
  age: z
    .strictObject({
      hours: z.number().int().min(1).max(100_000).optional(),
      years: z.number().int().min(1).max(100).optional(),
    })
    .refine(({ hours, years }) => hours !== undefined || years !== undefined, 'an age needs hours or years')
    .optional(),
  /** First and last month of the season, both in it; from October to March runs over the new year. */
  season: z.strictObject({ from: z.number().int().min(1).max(12), to: z.number().int().min(1).max(12) }).optional(),
  /**
   * Ids of rules that say it better: where one of them applies to the same line, this one is silent. What is said once for the job
   * by such a rule is said, whichever line it was.
   */
  unless: z.string().array().min(1).optional(),
})
export type RuleWhen = z.infer<typeof RuleWhen>

export const RuleThen = z.discriminatedUnion('what', [
  z.strictObject({ what: z.literal('same-part-at-paired-position') }),
  z.strictObject({ what: z.literal('opposite-station') }),
  z.strictObject({ what: z.literal('same-part-at-other-end') }),
  /** The pieces of that line which were not chosen. */
  z.strictObject({ what: z.literal('rest-of-set') }),
  /** The disturbed part itself, new. */
  z.strictObject({ what: z.literal('same-line') }),
  /**
   * Other lines of the figure. attached: held by it or holding it. coming-off: attached ones, else those that come off as well.
   * nearest: the same, else the one whose item number is closest. together: what holds the same part with it. figure: all.
   */
  z.strictObject({
    what: z.literal('line-of-class'),
    partClass: Classes,
    within: z.enum(['attached', 'coming-off', 'nearest', 'together', 'figure']),
  }),
  /** The item that the list names as matched with this one. */
  z.strictObject({ what: z.literal('matched-line') }),
  z.strictObject({ what: z.literal('sized-split-pin') }),
  z.strictObject({
    what: z.literal('consumable'),
    /** The first class found is taken. */
    partClass: Classes,
    grade: z.string().min(2).max(40).optional(),
    /** Grade depends on the machine: only what its parts list names, never just any from the shelf. */
    onlyFromList: z.literal(true).optional(),
    /**
     * bearing-grease is 0.005 D B grams a bearing, to relubricate; bearing-first-fill packs it and the space beside it; fill is
     * the litres that run out, once for each fluid of the assembly.
     */
    formula: z.enum(['bearing-grease', 'bearing-first-fill', 'fill']).optional(),
    /** Amount by stock unit, for one of what `per` counts. */
    amount: z
      .strictObject({
        each: Amount.optional(),
        litre: Amount.optional(),
        kilogram: Amount.optional(),
        metre: Amount.optional(),
      })
      .optional(),
    per: z.enum(['job', 'position', 'line', 'piece']).default('job'),
  }),
  /**
   * A check or precaution without a part. perLine: once for each line, so that its words may name it. afterRun: not before
   * the machine goes back to work but once it has run, so that it must be remembered beyond the closing of the job.
   */
  z.strictObject({
    what: z.literal('act'),
    perLine: z.literal(true).optional(),
    afterRun: z.literal(true).optional(),
    /** Left out, it follows from the family; see actStage. */
    stage: z.enum(ACT_STAGES).optional(),
  }),
  /** The torque that the stated one becomes when the threads are treated. */
  z.strictObject({ what: z.literal('torque-note'), treatment: z.enum(['oiled', 'anti-seize', 'thread-lock']) }),
])
export type RuleThen = z.infer<typeof RuleThen>

/** When the act of a rule is done: as the rule says, else precautions first, torque last, and all else in between. */
export function actStage({ family, then }: Pick<Rule, 'family' | 'then'>): ActStage {
  if (then.what === 'act' && then.stage) return then.stage
  return family === 'protection' ? 'before' : family === 'torque' ? 'tighten' : 'apart'
}

/** What the words of a rule may fill in, and what the rule must ask for so that it is never empty. */
export const PLACEHOLDERS: Record<string, (rule: { when: RuleWhen; then: RuleThen }) => boolean> = {
  item: () => true,
  part: () => true,
  torqueNm: ({ when }) => has(when, 'torqueNm'),
  torqueState: ({ when }) => when.torqueState !== undefined,
  massKg: ({ when }) => has(when, 'massKg') || when.massKgOver !== undefined,
  fillLitres: ({ when }) => has(when, 'fillLitres'),
  thread: ({ when }) => has(when, 'thread') || when.threadMm !== undefined,
  sequence: ({ when, then }) => then.what === 'act' && when.piecesMin !== undefined,
  treatedNm: ({ then }) => then.what === 'torque-note',
  treatedNmMin: ({ then }) => then.what === 'torque-note',
  treatedNmMax: ({ then }) => then.what === 'torque-note',
}

function has(when: RuleWhen, fact: RuleFact): boolean {
  return when.has?.includes(fact) ?? false
}

export function placeholdersOf(words: string): string[] {
  return [...words.matchAll(/\{(\w*)\}/g)].map((match) => match[1]!)
}

export const Rule = z
  .strictObject({
    id: z.string().regex(/^[a-z0-9][a-z0-9-]{2,59}$/, 'an id is small letters, digits and hyphens'),
    /** The sentence shown. */
    words: z.string().trim().min(10).max(220),
    family: z.enum(FAMILIES),
    /** A standard or text, or "common practice, no source". */
    source: z.string().trim().min(5).max(160),
    strength: z.enum(STRENGTHS),
    when: RuleWhen,
    then: RuleThen,
  })
  .superRefine((rule, context) => {
    const fault = (message: string, path: string[]) => context.addIssue({ code: 'custom', message, path })
    const { when, then } = rule
    for (const name of placeholdersOf(rule.words)) {
      if (!PLACEHOLDERS[name]?.(rule))
        fault(`{${name}} is empty for this rule: it needs a condition that gives it`, ['words'])
    }
    const perLine = then.what === 'torque-note' || (then.what === 'act' && then.perLine)
    if (then.what === 'act' && !perLine && placeholdersOf(rule.words).length > 0) {
      fault('words that name a line need one act a line (perLine)', ['then'])
    }
    const elsewhere = ['same-part-at-paired-position', 'opposite-station', 'same-part-at-other-end']
    const targetOnly = [...elsewhere, 'rest-of-set'].includes(then.what)
    if (targetOnly && when.what !== 'target') fault('only a target has another one to be renewed with it', ['when'])
    if (then.what === 'same-part-at-paired-position' && !when.paired)
      fault('the pair needs the condition paired', ['when'])
    if (then.what === 'opposite-station' && !has(when, 'stations'))
      fault('the opposite one needs the fact stations', ['when'])
    if (then.what === 'same-part-at-other-end' && !has(when, 'ends'))
      fault('the other end needs the fact ends', ['when'])
    if (then.what === 'matched-line' && !has(when, 'matchedWith'))
      fault('the matched one needs the fact matchedWith', ['when'])
    if (then.what === 'same-line' && when.what === 'target') fault('a target is renewed anyway', ['then'])
    if (then.what === 'torque-note' && !(has(when, 'torqueNm') && when.torqueState)) {
      fault('a torque note needs the fact torqueNm and the torqueState it is stated for', ['when'])
    }
    if (then.what !== 'consumable') return
    if ((then.formula === undefined) === (then.amount === undefined))
      fault('a consumable needs an amount or a formula, not both', ['then'])
    if (then.amount && Object.keys(then.amount).length === 0) fault('an amount needs at least one unit', ['then'])
    if (then.formula?.startsWith('bearing-') && !(has(when, 'outsideMm') && has(when, 'widthMm'))) {
      fault('grease by bearing size needs the facts outsideMm and widthMm', ['when'])
    }
    if (then.formula === 'fill' && !has(when, 'fillLitres')) fault('a fill needs the fact fillLitres', ['when'])
  })
export type Rule = z.infer<typeof Rule>

/** Checks a rule before it is kept: a faulty one would quietly spoil every job. Refuses with all faults in one sentence. */
export function ruleParse(input: unknown): Rule {
  const parsed = Rule.safeParse(input)
  if (parsed.success) return parsed.data
  const named = typeof input === 'object' && input !== null && 'id' in input ? String(input.id) : '(no id)'
  const why = parsed.error.issues.map((issue) => `${issue.path.join('.') || 'rule'}: ${issue.message}`).join('; ')
  throw new Refusal('companion/bad-rule', { rule: named, why })
}

/** Checks a list of rules, ids unique. */
export function rulesParse(input: readonly unknown[]): Rule[] {
  const rules = input.map(ruleParse)
  const seen = new Set<string>()
  for (const { id } of rules) {
    if (seen.has(id)) throw new Refusal('companion/bad-rule', { rule: id, why: 'another rule has this id' })
    seen.add(id)
  }
  return rules
}
