import { z } from 'zod'
import { ZOD_OWN } from '../shape-reason.ts'
import { Rule } from './rule.ts'
import { OWN_PREFIX, type RuleBook, type RuleDecision, ruleChangeOf } from './rule-book.ts'

const Text = z.string().max(400).default('')
const List = z.preprocess(
  (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]),
  z.array(z.string().max(60)).max(100),
)

/** A rule as its form sends it: texts and lists, nothing checked but their length. */
export const RuleForm = z.object({
  words: Text,
  source: Text,
  family: Text,
  strength: Text,
  what: Text,
  classes: List,
  notClasses: List,
  joints: List,
  notJoints: List,
  safetyJoints: List,
  paired: Text,
  facts: List,
  torqueStates: List,
  holds: List,
  notHeldBy: List,
  fluids: List,
  notFluids: List,
  threadOver: Text,
  threadUpTo: Text,
  piecesMin: Text,
  massOver: Text,
  models: Text,
  ageHours: Text,
  ageYears: Text,
  seasonFrom: Text,
  seasonTo: Text,
  unless: List,
  then: Text,
  thenClasses: List,
  within: Text,
  grade: Text,
  onlyFromList: Text,
  formula: Text,
  each: Text,
  litre: Text,
  kilogram: Text,
  metre: Text,
  per: Text,
  perLine: Text,
  stage: Text,
  afterRun: Text,
  treatment: Text,
})
export type RuleForm = z.infer<typeof RuleForm>
export type RuleField = keyof RuleForm
export type RuleFaults = Partial<Record<RuleField, string>>

const Reason = z
  .string({ error: 'say why in a few words' })
  .trim()
  .min(3, 'say why in a few words')
  .max(200, 'say it in 200 characters')
const RuleId = z.string({ error: 'choose a rule' }).regex(/^[a-z0-9][a-z0-9-]{2,59}$/, 'choose a rule')
/** The step of the history that the person saw: whoever was quicker is not overwritten. 0 where there is none. */
const Seen = z.coerce.number({ error: 'reload the page' }).int().min(0)

export const RuleAddInput = RuleForm.extend({
  reason: z.string().trim().max(200, 'say it in 200 characters').default(''),
})
export type RuleAddInput = z.infer<typeof RuleAddInput>
export const RuleChangeInput = RuleForm.extend({ ruleId: RuleId, seen: Seen, reason: Reason })
export type RuleChangeInput = z.infer<typeof RuleChangeInput>
export const RuleSwitchInput = z.object({ ruleId: RuleId, seen: Seen, state: z.enum(['on', 'off']), reason: Reason })
export type RuleSwitchInput = z.infer<typeof RuleSwitchInput>
export const RuleBackInput = z.object({ ruleId: RuleId, seen: Seen, reason: Reason })
export type RuleBackInput = z.infer<typeof RuleBackInput>

/** What is tried on a figure or on past jobs without being kept. */
export const RuleDraft = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('form'), ruleId: RuleId.optional(), form: RuleForm }),
  z.object({ kind: z.literal('switch'), ruleId: RuleId, state: z.enum(['on', 'off']) }),
])
export type RuleDraft = z.infer<typeof RuleDraft>

/** Field of the form for a place in the rule. */
const FIELD_OF: Record<string, RuleField> = {
  words: 'words',
  source: 'source',
  family: 'family',
  strength: 'strength',
  when: 'what',
  'when.what': 'what',
  'when.partClass': 'classes',
  'when.notClass': 'notClasses',
  'when.joint': 'joints',
  'when.notJoint': 'notJoints',
  'when.safetyJoint': 'safetyJoints',
  'when.paired': 'paired',
  'when.has': 'facts',
  'when.torqueState': 'torqueStates',
  'when.holds': 'holds',
  'when.notHeldBy': 'notHeldBy',
  'when.fluid': 'fluids',
  'when.notFluid': 'notFluids',
  'when.threadMm': 'threadOver',
  'when.threadMm.over': 'threadOver',
  'when.threadMm.upTo': 'threadUpTo',
  'when.piecesMin': 'piecesMin',
  'when.massKgOver': 'massOver',
  'when.model': 'models',
  'when.age': 'ageHours',
  'when.age.hours': 'ageHours',
  'when.age.years': 'ageYears',
  'when.season': 'seasonFrom',
  'when.season.from': 'seasonFrom',
  'when.season.to': 'seasonTo',
  'when.unless': 'unless',
  then: 'then',
  'then.what': 'then',
  'then.partClass': 'thenClasses',
  'then.within': 'within',
  'then.grade': 'grade',
  'then.formula': 'formula',
  'then.amount': 'each',
  'then.amount.each': 'each',
  'then.amount.litre': 'litre',
  'then.amount.kilogram': 'kilogram',
  'then.amount.metre': 'metre',
  'then.per': 'per',
  'then.perLine': 'perLine',
  'then.stage': 'stage',
  'then.treatment': 'treatment',
}

/** What a field wants, where the schema's own sentence speaks of types. */
const WANTS: Partial<Record<RuleField, string>> = {
  words: 'say what is to be done and why in 10 to 220 characters',
  source: 'name a standard or a book in 5 to 160 characters, or say: practice of this workshop',
  family: 'choose a group',
  strength: 'choose how strongly it is asked for',
  what: 'choose whether the part is renewed or only comes off',
  threadOver: 'enter millimetres, 0 or more',
  threadUpTo: 'enter millimetres above 0',
  piecesMin: 'enter a whole number from 2 to 400',
  massOver: 'enter kilograms above 0',
  models: 'name at most 20 models, each in 80 characters, with commas between',
  ageHours: 'enter whole hours from 1 to 100000',
  ageYears: 'enter whole years from 1 to 100',
  seasonFrom: 'choose the first month',
  seasonTo: 'choose the last month',
  then: 'choose what is asked for',
  thenClasses: 'choose at least one kind of part',
  within: 'choose where on the figure it is looked for',
  grade: 'name the grade in 2 to 40 characters, or leave it empty',
  each: 'enter a number above 0, at most 1000',
  litre: 'enter litres above 0, at most 1000',
  kilogram: 'enter kilograms above 0, at most 1000',
  metre: 'enter metres above 0, at most 1000',
  per: 'choose what it is counted by',
  stage: 'choose when it is done',
  treatment: 'choose what the threads are treated with',
}

/** Sentences of the schema that speak of its own words, as the form says them, with the field that mends them. */
const SAYS: Record<string, [RuleField, string]> = {
  'words that name a line need one act a line (perLine)': [
    'perLine',
    'the words name a part: tick that it is asked for once for each part',
  ],
  'only a target has another one to be renewed with it': [
    'what',
    'this is asked for only where the part is renewed: choose that',
  ],
  'a target is renewed anyway': ['then', 'a part that is renewed is on the list already: choose something else'],
  'a torque note needs the fact torqueNm and the torqueState it is stated for': [
    'torqueStates',
    'choose the threads that the stated torque is given for',
  ],
  'a consumable needs an amount or a formula, not both': ['each', 'enter an amount in at least one unit'],
  'an amount needs at least one unit': ['each', 'enter an amount in at least one unit'],
}

const number = (text: string) => {
  const typed = text.trim().replace(',', '.')
  return typed === '' ? undefined : /^-?\d+(\.\d+)?$/.test(typed) ? Number(typed) : Number.NaN
}
const textList = (text: string) =>
  text
    .split(',')
    .map((one) => one.trim())
    .filter((one) => one !== '')
const some = <T>(list: readonly T[]) => (list.length === 0 ? undefined : [...new Set(list)])
const kept = (object: Record<string, unknown>) =>
  Object.fromEntries(Object.entries(object).filter(([, value]) => value !== undefined && value !== ''))

function thenOf(form: RuleForm): Record<string, unknown> {
  const what = form.then
  if (what === 'line-of-class') return kept({ what, partClass: form.thenClasses, within: form.within || 'attached' })
  if (what === 'act')
    return kept({
      what,
      perLine: form.perLine === '' ? undefined : true,
      afterRun: form.afterRun === '' ? undefined : true,
      stage: form.stage,
    })
  if (what === 'torque-note') return kept({ what, treatment: form.treatment || undefined })
  if (what !== 'consumable') return { what }
  const amount = kept({
    each: number(form.each),
    litre: number(form.litre),
    kilogram: number(form.kilogram),
    metre: number(form.metre),
  })
  return kept({
    what,
    partClass: form.thenClasses,
    grade: form.grade.trim(),
    onlyFromList: form.onlyFromList === '' ? undefined : true,
    formula: form.formula,
    // By formula the amount is reckoned; what is left in the fields from before is not asked for.
    amount: form.formula || Object.keys(amount).length === 0 ? undefined : amount,
    per: form.per || 'job',
  })
}

/** Facts without which what is asked for could not be reckoned: nobody has to know them by heart. */
function factsImplied(form: RuleForm): string[] {
  if (form.then === 'opposite-station') return ['stations']
  if (form.then === 'same-part-at-other-end') return ['ends']
  if (form.then === 'torque-note') return ['torqueNm']
  if (form.then === 'consumable' && form.formula.startsWith('bearing-')) return ['outsideMm', 'widthMm']
  if (form.then === 'consumable' && form.formula === 'fill') return ['fillLitres']
  return []
}

/** The rule that a form describes, not yet checked. */
function ruleOf(form: RuleForm, id: string): unknown {
  const age = kept({ hours: number(form.ageHours), years: number(form.ageYears) })
  const season = kept({ from: number(form.seasonFrom), to: number(form.seasonTo) })
  const thread = kept({ over: number(form.threadOver), upTo: number(form.threadUpTo) })
  return {
    id,
    words: form.words,
    family: form.family,
    source: form.source,
    strength: form.strength,
    when: kept({
      what: form.what,
      partClass: some(form.classes),
      notClass: some(form.notClasses),
      joint: some(form.joints),
      notJoint: some(form.notJoints),
      safetyJoint: some(form.safetyJoints),
      paired: form.paired !== '' || form.then === 'same-part-at-paired-position' ? true : undefined,
      has: some([...form.facts, ...factsImplied(form)]),
      torqueState: some(form.torqueStates),
      holds: some(form.holds),
      notHeldBy: some(form.notHeldBy),
      fluid: some(form.fluids),
      notFluid: some(form.notFluids),
      threadMm: Object.keys(thread).length === 0 ? undefined : thread,
      piecesMin: number(form.piecesMin),
      massKgOver: number(form.massOver),
      model: some(textList(form.models)),
      age: Object.keys(age).length === 0 ? undefined : age,
      season: Object.keys(season).length === 0 ? undefined : season,
      unless: some(form.unless),
    }),
    then: thenOf(form),
  }
}

/** Reads a form as a rule with this id. A rule that cannot be used comes back as one sentence a field. */
export function ruleFormRead(
  form: RuleForm,
  id: string,
  known: ReadonlySet<string>,
): { rule: Rule; faults: null } | { rule: null; faults: RuleFaults } {
  const faults: RuleFaults = {}
  const read = Rule.safeParse(ruleOf(form, id))
  for (const issue of read.error?.issues ?? []) {
    // A list is at fault as a whole: its fields have no numbers.
    const path = issue.path.filter((step) => typeof step === 'string').join('.')
    const said = SAYS[issue.message]
    const field = said?.[0] ?? FIELD_OF[path] ?? 'words'
    faults[field] ??= said?.[1] ?? (ZOD_OWN.test(issue.message) ? WANTS[field] : issue.message) ?? 'this cannot be used'
  }
  const strange = form.unless.find((other) => !known.has(other) || other === id)
  if (strange !== undefined) faults.unless ??= `${strange} is no other rule of the list`
  return read.success && Object.keys(faults).length === 0 ? { rule: read.data, faults: null } : { rule: null, faults }
}

/** The form filled with a rule, to change it. */
export function ruleFormOf(rule: Rule): RuleForm {
  const { when, then } = rule
  const text = (value: number | undefined) => (value === undefined ? '' : String(value))
  const consumable = then.what === 'consumable' ? then : undefined
  return RuleForm.parse({
    words: rule.words,
    source: rule.source,
    family: rule.family,
    strength: rule.strength,
    what: when.what,
    classes: when.partClass,
    notClasses: when.notClass,
    joints: when.joint,
    notJoints: when.notJoint,
    safetyJoints: when.safetyJoint,
    paired: when.paired ? 'yes' : '',
    facts: when.has,
    torqueStates: when.torqueState,
    holds: when.holds,
    notHeldBy: when.notHeldBy,
    fluids: when.fluid,
    notFluids: when.notFluid,
    threadOver: text(when.threadMm?.over),
    threadUpTo: text(when.threadMm?.upTo),
    piecesMin: text(when.piecesMin),
    massOver: text(when.massKgOver),
    models: when.model?.join(', '),
    ageHours: text(when.age?.hours),
    ageYears: text(when.age?.years),
    seasonFrom: text(when.season?.from),
    seasonTo: text(when.season?.to),
    unless: when.unless,
    then: then.what,
    thenClasses: 'partClass' in then ? then.partClass : [],
    within: then.what === 'line-of-class' ? then.within : '',
    grade: consumable?.grade ?? '',
    onlyFromList: consumable?.onlyFromList ? 'yes' : '',
    formula: consumable?.formula ?? '',
    each: text(consumable?.amount?.each),
    litre: text(consumable?.amount?.litre),
    kilogram: text(consumable?.amount?.kilogram),
    metre: text(consumable?.amount?.metre),
    per: consumable?.per ?? '',
    perLine: then.what === 'act' && then.perLine ? 'yes' : '',
    stage: then.what === 'act' ? (then.stage ?? '') : '',
    afterRun: then.what === 'act' && then.afterRun ? 'yes' : '',
    treatment: then.what === 'torque-note' ? then.treatment : '',
  })
}

/** An empty form: what most own rules are. */
export const RULE_FORM_EMPTY: RuleForm = RuleForm.parse({
  source: 'practice of this workshop',
  family: 'check',
  strength: 'should',
  what: 'target',
  then: 'act',
  per: 'job',
  within: 'attached',
})

/** Id under which a rule that is not kept yet is tried. */
export const DRAFT_ID = `${OWN_PREFIX}draft`

/**
 * What a form decides about a rule of the book, or about a new one. Of a shipped rule only what a workshop may change counts,
 * the condition stays; where nothing differs it is the shipped rule again.
 */
export function ruleDecided(
  book: RuleBook,
  id: string,
  form: RuleForm,
): { decision: RuleDecision; faults: null } | { decision: null; faults: RuleFaults } {
  const entry = book.entries.find((one) => one.rule.id === id)
  const shipped = entry?.shipped ?? null
  const known = new Set(book.entries.map((one) => one.rule.id))
  const asked = shipped ? { ...ruleFormOf(shipped), ...changeable(form, shipped) } : form
  const { rule, faults } = ruleFormRead(asked, id, known)
  if (faults) return { decision: null, faults }
  const content = shipped ? ruleChangeOf(shipped, rule) : rule
  return { decision: { ruleId: id, state: entry?.state ?? 'on', content }, faults: null }
}

/** The fields of a shipped rule that its form shows. */
function changeable(form: RuleForm, shipped: Rule): Partial<RuleForm> {
  const { words, source, strength, each, litre, kilogram, metre, per, stage } = form
  const { then } = shipped
  return {
    words,
    source,
    strength,
    ...(then.what === 'consumable' ? { per, ...(then.amount ? { each, litre, kilogram, metre } : {}) } : {}),
    ...(then.what === 'act' ? { stage } : {}),
  }
}
