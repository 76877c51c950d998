import { PART_CLASSES, type PartClass } from '../../lib/catalogue/part-class.ts'
import type { Suggestion } from '../../lib/companion/suggest.ts'
import type { Expected, Scenario } from '../companion/scenario.ts'

type PartExpected = Extract<Expected, { item: string }>

export interface Finding {
  kind: 'missing' | 'only considered' | 'wrong quantity' | 'too much' | 'must not'
  /** What was expected, or what was suggested, in one line. */
  what: string
  strength: Suggestion['strength'] | null
  ruleIds: string[]
}

export interface Tally {
  musts: number
  /** Musts that are suggested as must or should. */
  mustsMet: number
  /** Of these, suggested as must and not less. */
  mustsMetAsMust: number
  /** Of these, not suggested but shown on the job card as a step or a test of the figure. */
  mustsShown: number
  /** Suggestions as must or should, and those of them that a fitter would take. */
  said: number
  right: number
  /** The same without acts: what is taken from the shelf. */
  saidGoods: number
  rightGoods: number
  considered: number
  consideredRight: number
  forbidden: number
}

export interface Judgement extends Tally {
  id: string
  findings: Finding[]
}

export const tallyNone = (): Tally => ({
  musts: 0,
  mustsMet: 0,
  mustsMetAsMust: 0,
  mustsShown: 0,
  said: 0,
  right: 0,
  saidGoods: 0,
  rightGoods: 0,
  considered: 0,
  consideredRight: 0,
  forbidden: 0,
})

export function tallyAdd(sum: Tally, more: Tally): Tally {
  const names = Object.keys(tallyNone()) as (keyof Tally)[]
  return Object.fromEntries(names.map((name) => [name, sum[name] + more[name]])) as unknown as Tally
}

const firm = ({ strength }: Suggestion) => strength !== 'consider'
const ruleIdsOf = (suggestion: Suggestion) => [...new Set(suggestion.reasons.map(({ ruleId }) => ruleId))].sort()

function classesOf({ key }: Suggestion): PartClass[] {
  return key.split(/[:,]/).flatMap((word) => PART_CLASSES.find((name) => name === word) ?? [])
}

/** Items of the joints that a consumable is meant for, as its reasons name them. */
function jointsOf({ reasons }: Suggestion): string[] {
  return reasons.flatMap(({ found }) => (found.item ?? '').split('; '))
}

type ActExpected = Extract<Expected, { act: string }>

const saysIt = ({ about }: ActExpected, words: string) =>
  about === undefined || about.some((pattern) => new RegExp(pattern, 'i').test(words))

/** Family and words, both: a check is not met by a torque that happens to use the same word. */
function actMeets(expected: ActExpected, suggestion: Suggestion): boolean {
  return (expected.act === 'any' || expected.act === suggestion.family) && saysIt(expected, suggestion.description)
}

/** A step or test of the plan that says in words what a fitter would do: what its place on the job card makes it. */
export interface Shown {
  text: string
  families: readonly Suggestion['family'][]
}

/** What the job card shows anyway needs not be suggested beside it. */
function isShown(expected: Expected, shown: readonly Shown[]): boolean {
  return (
    'act' in expected &&
    expected.about !== undefined &&
    shown.some(
      ({ text, families }) => (expected.act === 'any' || families.includes(expected.act)) && saysIt(expected, text),
    )
  )
}

/** Whether the suggestion is the thing expected; pieces are looked at elsewhere. */
function meets(expected: Expected, suggestion: Suggestion): boolean {
  if ('act' in expected) return suggestion.kind === 'act' && actMeets(expected, suggestion)
  if ('consumable' in expected) {
    if (suggestion.kind !== 'consumable' || !classesOf(suggestion).some((one) => expected.consumable.includes(one)))
      return false
    if (expected.on !== undefined && !jointsOf(suggestion).includes(expected.on)) return false
    return (
      expected.grade === undefined ||
      `${suggestion.description} ${suggestion.key}`.toLowerCase().includes(expected.grade.toLowerCase())
    )
  }
  if (suggestion.kind !== 'part' || suggestion.item !== expected.item) return false
  return expected.positions === undefined || suggestion.positions.some((at) => expected.positions!.includes(at))
}

function piecesAt(expected: PartExpected, suggestions: readonly Suggestion[]): number {
  return suggestions.reduce((sum, { positions, quantity }) => {
    if (expected.positions === undefined || positions.length === 0) return sum + quantity
    return sum + (quantity * positions.filter((at) => expected.positions!.includes(at)).length) / positions.length
  }, 0)
}

const boundsOf = ({ quantity }: PartExpected): [number, number] =>
  quantity === undefined ? [1, Number.POSITIVE_INFINITY] : Array.isArray(quantity) ? quantity : [quantity, quantity]

/** missing: none of them is it, or not at every place. quantity: the right thing, too few or too many of it. */
function answerTo(expected: Expected, suggestions: readonly Suggestion[]): 'met' | 'missing' | 'quantity' {
  const met = suggestions.filter((suggestion) => meets(expected, suggestion))
  if (met.length === 0) return 'missing'
  if ('item' in expected) {
    const places = new Set(met.flatMap(({ positions }) => positions))
    if (expected.positions?.some((at) => !places.has(at))) return 'missing'
    const [fewest, most] = boundsOf(expected)
    const pieces = piecesAt(expected, met)
    return pieces >= fewest && pieces <= most ? 'met' : 'quantity'
  }
  if ('consumable' in expected && expected.grams !== undefined) {
    const grams = met.filter(({ unit }) => unit === 'kilogram').reduce((sum, { quantity }) => sum + quantity, 0)
    const weighed = met.every(({ unit }) => unit === 'kilogram')
    return weighed && (grams < expected.grams[0] || grams > expected.grams[1]) ? 'quantity' : 'met'
  }
  return 'met'
}

/** Right when it is expected, at no place where it is not, and no more of it than a fitter would call right. */
function isRight(suggestion: Suggestion, expectations: readonly Expected[]): boolean {
  const met = expectations.filter((expected) => meets(expected, suggestion))
  if (met.length === 0) return false
  if (suggestion.kind !== 'part') return true
  const parts = met as PartExpected[]
  const everywhere = parts.some(({ positions }) => positions === undefined)
  if (!everywhere && suggestion.positions.some((at) => !parts.some(({ positions }) => positions!.includes(at))))
    return false
  return suggestion.quantity <= parts.reduce((sum, part) => sum + boundsOf(part)[1], 0)
}

export function expectedSays(expected: Expected): string {
  if ('act' in expected) return `${expected.act}: ${expected.about?.join(' / ') ?? 'any'}`
  if ('consumable' in expected) {
    const { consumable, grade, on, grams } = expected
    return [consumable.join(' or '), grade, on && `on ${on}`, grams && `${grams.join(' to ')} g`]
      .filter(Boolean)
      .join(', ')
  }
  const pieces = [expected.quantity ?? []].flat().join(' to ')
  const places = expected.positions && `at ${expected.positions.join(' ')}`
  return [`item ${expected.item}`, places, pieces && `x${pieces}`].filter(Boolean).join(' ')
}

export function suggestionSays({ kind, item, positions, quantity, unit, description }: Suggestion): string {
  const at = positions.length > 0 && kind === 'part' ? ` at ${positions.join(' ')}` : ''
  if (kind === 'part') return `item ${item ?? '-'} ${description}${at} x${quantity}`
  return kind === 'act'
    ? `act: ${description}`
    : `${description}, ${quantity} ${unit === 'each' ? 'pieces' : `m${unit}`}`
}

/** One job: what the fitter takes, with what was amended to it or as first written, against what the plan suggests. */
export function scenarioJudge(
  scenario: Scenario,
  { suggestions, shown = [] }: { suggestions: readonly Suggestion[]; shown?: readonly Shown[] },
  asWritten = false,
): Judgement {
  const said = suggestions.filter(firm)
  const considered = suggestions.filter((one) => !firm(one))
  const amended = asWritten ? [] : (scenario.amended ?? [])
  const expectations = [...scenario.must, ...scenario.should, ...amended.flatMap(({ should }) => should)]
  const findings: Finding[] = []
  const tally = tallyNone()
  tally.musts = scenario.must.length
  for (const expected of scenario.must) {
    const answer = answerTo(expected, said)
    if (answer === 'met') {
      tally.mustsMet += 1
      if (said.some((one) => one.strength === 'must' && meets(expected, one))) tally.mustsMetAsMust += 1
      continue
    }
    if (isShown(expected, shown)) {
      tally.mustsMet += 1
      tally.mustsShown += 1
      continue
    }
    const near = (answer === 'missing' ? considered : said).filter((one) => meets(expected, one))
    const kind = answer === 'quantity' ? 'wrong quantity' : near.length > 0 ? 'only considered' : 'missing'
    findings.push({ kind, what: expectedSays(expected), strength: null, ruleIds: near.flatMap(ruleIdsOf) })
  }
  for (const suggestion of said) {
    const right = isRight(suggestion, expectations)
    const goods = suggestion.kind !== 'act'
    tally.said += 1
    tally.right += Number(right)
    tally.saidGoods += Number(goods)
    tally.rightGoods += Number(goods && right)
    if (!right) {
      const { strength } = suggestion
      findings.push({ kind: 'too much', what: suggestionSays(suggestion), strength, ruleIds: ruleIdsOf(suggestion) })
    }
  }
  tally.considered = considered.length
  tally.consideredRight = considered.filter((one) => isRight(one, expectations)).length
  for (const expected of scenario.mustNot) {
    for (const suggestion of suggestions.filter((one) => meets(expected, one))) {
      const { strength } = suggestion
      tally.forbidden += 1
      const what = `${expectedSays(expected)} - ${suggestionSays(suggestion)}`
      findings.push({ kind: 'must not', what, strength, ruleIds: ruleIdsOf(suggestion) })
    }
  }
  return { id: scenario.id, ...tally, findings }
}
