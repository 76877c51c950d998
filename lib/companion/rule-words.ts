import type { JOINTS } from '../catalogue/joint.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import { MONTHS } from '../measure/date.ts'
import { partClassWords } from './consumable.ts'
import type { Rule, RuleThen, RuleWhen } from './rule.ts'
import type { ActStage, Family, RuleFact, Strength } from './rule-terms.ts'

type Joint = (typeof JOINTS)[number]
type Consumable = Extract<RuleThen, { what: 'consumable' }>

export const FAMILY_SAYS: Record<Family, string> = {
  pair: 'Pairs of an axle',
  opposite: 'Opposite ones of a rotor',
  set: 'Sets',
  'single-use': 'Used once only',
  treatment: 'Treatments',
  cleaning: 'Cleaning',
  protection: 'Protect yourself',
  check: 'Checks and tools',
  torque: 'Torques',
}

export const STRENGTH_SAYS: Record<Strength, string> = {
  must: 'must: left out only with a reason',
  should: 'should: usual, left out freely',
  consider: 'consider: look whether it is worn',
}

export const JOINT_SAYS: Record<Joint, string> = {
  'shaft-fit': 'fit on a shaft',
  'hub-spigot': 'spigot of a hub',
  'wheel-face': 'face of a wheel',
  'threads-that-shake': 'threads that shake',
  'hot-threads': 'hot threads',
  'brake-contact': 'contact of a brake',
  'gasket-face': 'face of a gasket',
  'bearing-fill': 'bearing to be packed',
  'grease-nipple': 'grease nipple',
  'pressure-seal': 'seal under pressure',
  'oil-fill': 'oil that runs out',
  pivot: 'pivot that is greased',
  'dry-fit': 'fit that stays dry',
  'in-oil': 'runs in the oil of its housing',
  'light-spring': 'spring that fingers can hold',
  'shrunk-on': 'shrunk or pressed on for good',
}

export const SAFETY_SAYS = { brake: 'brake', steering: 'steering', cutting: 'cutting gear', pto: 'PTO drive' } as const

export const FACT_SAYS: Record<RuleFact, string> = {
  stations: 'places around a rotor',
  ends: 'two ends of a shaft',
  thread: 'thread',
  torqueNm: 'torque',
  splitPinHoleMm: 'hole for a split pin',
  clevisPinMm: 'clevis pin',
  fillLitres: 'litres that run out',
  massKg: 'mass',
  matchedWith: 'part it is matched with',
  outsideMm: 'outside diameter',
  widthMm: 'width',
}

export const TORQUE_STATE_SAYS = {
  dry: 'dry',
  oiled: 'oiled',
  'anti-seize': 'with anti-seize',
  'thread-lock': 'with thread-lock',
} as const

export const FLUID_SAYS = {
  'engine-oil': 'engine oil',
  'gear-oil': 'gear oil',
  'hydraulic-oil': 'hydraulic oil',
  coolant: 'coolant',
  fuel: 'fuel',
  water: 'water',
} as const

export const STAGE_SAYS: Record<ActStage, string> = {
  bring: 'have at hand',
  before: 'before you start',
  apart: 'while it is apart',
  tighten: 'when you tighten',
  release: 'before it goes out',
}

export const THEN_SAYS: Record<RuleThen['what'], string> = {
  'same-part-at-paired-position': 'the same part at the position it wears with',
  'opposite-station': 'the opposite one on the rotor',
  'same-part-at-other-end': 'the same part at the other end of the shaft',
  'rest-of-set': 'the rest of the set',
  'same-line': 'that part itself, new',
  'line-of-class': 'another part of the figure',
  'matched-line': 'the part it is matched with',
  'sized-split-pin': 'a split pin, sized by ISO 1234',
  consumable: 'a consumable or gear from the shelf',
  act: 'something to do or to check',
  'torque-note': 'the torque for treated threads',
}

export const WITHIN_SAYS = {
  attached: 'that holds it or is held by it',
  'coming-off': 'that holds it, else one that comes off as well',
  nearest: 'that belongs to it: attached, else nearest on the list',
  together: 'that holds the same part with it',
  figure: 'anywhere on the figure',
} as const

export const PER_SAYS: Record<Consumable['per'], string> = {
  job: 'once for the job',
  position: 'for each position',
  line: 'for each joint',
  piece: 'for each piece',
}

export const FORMULA_SAYS = {
  'bearing-grease': 'grease by bearing size, 0.005 x outside diameter x width in grams',
  'bearing-first-fill': 'grease to pack a bearing and the space beside it, by bearing size',
  fill: 'as much as runs out, once for each fluid',
} as const

const UNIT_SAYS = { each: 'piece', litre: 'l', kilogram: 'kg', metre: 'm' } as const

/** `a`, `a or b`, `a, b or c`. */
export function either(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`
}

function both(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

function withArticle(words: string): string {
  return `${/^[aeiou]/i.test(words) ? 'an' : 'a'} ${words}`
}

const classesSay = (classes: readonly PartClass[]) => either(classes.map(partClassWords))

/** `1000 h or 5 years` */
function ageSays({ hours, years }: NonNullable<RuleWhen['age']>): string {
  return either([
    ...(hours === undefined ? [] : [`${hours} h`]),
    ...(years === undefined ? [] : [`${years} ${years === 1 ? 'year' : 'years'}`]),
  ])
}

/** `an oil seal comes off or is renewed, at a brake`: the condition of a rule in the words of the trade. */
export function whenSays(when: RuleWhen): string {
  if (Object.keys(when).length === 1) return when.what === 'target' ? 'any part is renewed' : 'a job is done at all'
  const subject = when.partClass
    ? withArticle(classesSay(when.partClass))
    : when.notClass
      ? `a part other than ${withArticle(classesSay(when.notClass))}`
      : 'a part'
  const says = [`${subject} ${when.what === 'target' ? 'is renewed' : 'comes off or is renewed'}`]
  if (when.partClass && when.notClass) says.push(`not ${withArticle(classesSay(when.notClass))}`)
  if (when.joint) says.push(`at a joint of this kind: ${either(when.joint.map((joint) => JOINT_SAYS[joint]))}`)
  if (when.notJoint) says.push(`at no joint of this kind: ${either(when.notJoint.map((joint) => JOINT_SAYS[joint]))}`)
  if (when.safetyJoint) says.push(`belonging to the ${either(when.safetyJoint.map((joint) => SAFETY_SAYS[joint]))}`)
  if (when.paired) says.push('at a position that another one wears with')
  if (when.has) says.push(`with its ${both(when.has.map((fact) => FACT_SAYS[fact]))} on the list`)
  if (when.torqueState)
    says.push(`the torque given for threads ${either(when.torqueState.map((state) => TORQUE_STATE_SAYS[state]))}`)
  if (when.holds) says.push(`holding ${withArticle(classesSay(when.holds))}`)
  if (when.notHeldBy) says.push(`held by no ${either(when.notHeldBy.map((one) => classesSay([one])))}`)
  if (when.fluid) says.push(`what runs out is ${either(when.fluid.map((fluid) => FLUID_SAYS[fluid]))}`)
  if (when.notFluid) says.push(`what runs out is no ${either(when.notFluid.map((fluid) => FLUID_SAYS[fluid]))}`)
  if (when.threadMm)
    says.push(
      `thread ${[
        when.threadMm.over === undefined ? '' : `over ${when.threadMm.over} mm`,
        when.threadMm.upTo === undefined ? '' : `up to ${when.threadMm.upTo} mm`,
      ]
        .filter(Boolean)
        .join(' and ')}`,
    )
  if (when.piecesMin !== undefined) says.push(`at least ${when.piecesMin} of it in the assembly`)
  if (when.massKgOver !== undefined) says.push(`heavier than ${when.massKgOver} kg`)
  if (when.model) says.push(`on ${either(when.model)}`)
  if (when.age) says.push(`at least ${ageSays(when.age)} old`)
  if (when.season) says.push(`from ${MONTHS[when.season.from - 1]} to ${MONTHS[when.season.to - 1]}`)
  if (when.unless) says.push(`and no rule that says it better speaks (${when.unless.join(', ')})`)
  return says.join(', ')
}

function amountSays(then: Consumable): string {
  if (then.formula) return `${FORMULA_SAYS[then.formula]}, ${PER_SAYS[then.per]}`
  const amounts = Object.entries(then.amount ?? {}).map(
    ([unit, amount]) => `${amount} ${UNIT_SAYS[unit as keyof typeof UNIT_SAYS]}`,
  )
  return `${either(amounts)} ${PER_SAYS[then.per]}`
}

/** What a rule asks for, without how strongly. */
export function thenSays(rule: Pick<Rule, 'then'>): string {
  const { then } = rule
  switch (then.what) {
    case 'same-part-at-paired-position':
      return 'renew the same part at the position it wears with'
    case 'opposite-station':
      return 'renew the opposite one on the rotor too'
    case 'same-part-at-other-end':
      return 'renew the same part at the other end of the shaft'
    case 'rest-of-set':
      return 'renew the rest of the set'
    case 'same-line':
      return 'fit that part new'
    case 'line-of-class':
      return `take the ${classesSay(then.partClass)} ${WITHIN_SAYS[then.within]}`
    case 'matched-line':
      return 'renew the part it is matched with'
    case 'sized-split-pin':
      return 'take a new split pin, as the list names it, else sized by ISO 1234'
    case 'consumable':
      return `take ${classesSay(then.partClass)}${then.grade ? `, ${then.grade}` : ''}${then.onlyFromList ? ', of the grade on the list' : ''}: ${amountSays(then)}`
    case 'act':
      return `see to it${then.afterRun ? ' (after the first hours of running)' : then.stage ? ` (${STAGE_SAYS[then.stage]})` : ''}${then.perLine ? ', once for each part' : ''}`
    case 'torque-note':
      return `tighten to the torque for threads ${TORQUE_STATE_SAYS[then.treatment]}`
  }
}

/** `When a brake shoe is renewed, then renew the rest of the set.` The words of the rule are its because. */
export function ruleSays(rule: Pick<Rule, 'when' | 'then'>): string {
  return `When ${whenSays(rule.when)}, then ${thenSays(rule)}.`
}
