import type { PartClass } from '../catalogue/part-class.ts'
import { classSafetyJoint } from '../catalogue/safety-class.ts'
import { threadDiameterMm } from '../fastener/thread.ts'
import { torqueForTreatment } from '../fastener/torque.ts'
import { wheelNutSequence } from '../fastener/wheel-nut-sequence.ts'
import { factOf } from './fact.ts'
import { ageFound, modelFound, seasonFound } from './machine-now.ts'
import { heldBy, holdsOf } from './nearby.ts'
import { placeCode, placesSay } from './place.ts'
import type { JobShape, Trigger } from './places.ts'
import type { Rule, RuleThen, RuleWhen } from './rule.ts'
import type { FigureLine } from './suggestion.ts'

export type Found = Record<string, string>

/** Whether a rule may speak of parts of this class at all: most are done with a line by that. */
export function isOfClass(when: RuleWhen, partClass: PartClass): boolean {
  return (when.partClass?.includes(partClass) ?? true) && !when.notClass?.includes(partClass)
}

/** The joints of a line that a rule speaks of; null where it speaks of others only. */
function jointsFound({ joint }: RuleWhen, { facts }: FigureLine): readonly string[] | null {
  const found = joint && (facts.joint?.filter((name) => joint.includes(name)) ?? [])
  return found === undefined ? [] : found.length > 0 ? found : null
}

/** Whether a rule that asks for an age can ever speak of this line, whatever the job. */
export function mayAskAge(when: RuleWhen, line: FigureLine): boolean {
  return when.age !== undefined && isOfClass(when, line.partClass) && jointsFound(when, line) !== null
}

/**
 * Whether a rule applies to a line of this job. Null when it does not; else what each condition found, by name:
 * that is the reason shown to the mechanic.
 */
export function conditionFound(when: RuleWhen, trigger: Trigger, shape: JobShape): Found | null {
  const { line } = trigger
  if (when.what === 'target' && !trigger.target) return null
  if (!isOfClass(when, line.partClass)) return null
  // A rule for every job has nothing to show but that: the list of all that comes off would be no reason.
  if (Object.keys(when).length === 1)
    return { 'applies to': when.what === 'target' ? 'every part renewed' : 'every job' }
  const found: Found = {}
  if (when.partClass) found.class = line.partClass
  if (when.holds) {
    const held = holdsOf(shape, line).filter((other) => when.holds!.includes(other.partClass))
    if (held.length === 0) return null
    found.holds = [...new Set(held.map((other) => other.item))].join(', ')
  }
  if (when.notHeldBy && heldBy(shape, line).some((other) => when.notHeldBy!.includes(other.partClass))) return null
  if (when.fluid) {
    if (line.facts.fluid === undefined || !when.fluid.includes(line.facts.fluid)) return null
    found.fluid = line.facts.fluid
  }
  if (line.facts.fluid !== undefined && when.notFluid?.includes(line.facts.fluid)) return null
  const joints = jointsFound(when, line)
  if (joints === null) return null
  if (joints.length > 0) found.joint = joints.join(', ')
  if (when.notJoint?.some((name) => line.facts.joint?.includes(name))) return null
  if (when.safetyJoint) {
    const belongs = line.facts.safetyJoint ?? classSafetyJoint(line.partClass)
    if (belongs === undefined || !when.safetyJoint.includes(belongs)) return null
    found['safety joint'] = belongs
  }
  if (when.paired) {
    const pairs = [...new Set(trigger.places.map(placeCode))].filter((code) => shape.pairOf(code) !== null)
    if (pairs.length === 0) return null
    found.pair = pairs.map((code) => `${code} with ${shape.pairOf(code)}`).join(', ')
  }
  for (const fact of when.has ?? []) {
    const value = factOf(line, fact)
    if (value === undefined) return null
    found[fact] = String(value)
  }
  if (when.torqueState) {
    if (!line.facts.torqueState || !when.torqueState.includes(line.facts.torqueState)) return null
    found.torqueState = line.facts.torqueState
  }
  if (when.threadMm) {
    const thread = factOf(line, 'thread')
    const mm = typeof thread === 'string' ? threadDiameterMm(thread) : null
    if (mm === null || mm <= (when.threadMm.over ?? 0) || mm > (when.threadMm.upTo ?? Number.POSITIVE_INFINITY))
      return null
    found.thread = String(thread)
  }
  if (when.piecesMin !== undefined) {
    if (line.unit !== 'each' || line.quantity < when.piecesMin) return null
    found['pieces per assembly'] = String(line.quantity)
  }
  if (when.massKgOver !== undefined) {
    if (line.facts.massKg === undefined || line.facts.massKg <= when.massKgOver) return null
    found.massKg = String(line.facts.massKg)
  }
  // Most rules do not apply: what is said of every line is put together for those that do.
  return machineFound(when, trigger, shape, { ...lineFound(trigger), ...found })
}

/** What is said of a line whatever the condition: what it is, why it is in hand, and where. */
function lineFound(trigger: Trigger): Found {
  const { line } = trigger
  const found: Found = { item: line.item, part: line.description }
  found.why = trigger.target
    ? 'renewed'
    : trigger.openedBy.length
      ? `its joint is open without ${trigger.openedBy.join(', ')}`
      : trigger.comesOffFor.length
        ? `comes off for ${trigger.comesOffFor.join(', ')}`
        : 'comes off'
  if (trigger.places.length) found[trigger.stations === null ? 'positions' : 'stations'] = placesSay(trigger.places)
  if (trigger.side === 'other') found.when = `when ${placesSay(trigger.places)} is done too`
  if (trigger.side === 'other-end') found.when = `when the ${placesSay(trigger.at)} is done too`
  return found
}

/** What a rule asks of the machine, added to what was found of the part. */
function machineFound(when: RuleWhen, trigger: Trigger, shape: JobShape, found: Found): Found | null {
  const { machine, figureId = 0 } = shape.input
  const { line, places } = trigger
  const asked = {
    model: when.model && (() => machine && modelFound(when.model!, machine)),
    age: when.age && (() => machine && ageFound(when.age!, { figureId, item: line.item, places }, machine)),
    season: when.season && (() => machine && seasonFound(when.season!, machine)),
  }
  for (const [name, answer] of Object.entries(asked)) {
    if (!answer) continue
    const said = answer()
    if (!said) return null
    found[name] = said
  }
  return found
}

/** As a torque wrench is read, and no finer than friction lets anybody know it: 72, 108; one decimal below 20. */
function short(value: number): string {
  return String(value >= 20 ? Math.round(value) : Math.round(value * 10) / 10)
}

/** Fills the words of a rule for one line. The rule's schema has seen to it that nothing stays empty. */
export function wordsFilled(rule: Rule, line: FigureLine): string {
  const values: Record<string, string> = { item: line.item, part: line.description, ...treatedValues(rule.then, line) }
  const { torqueNm, torqueState, massKg, fillLitres } = line.facts
  Object.assign(values, { torqueNm, torqueState, massKg, fillLitres, thread: factOf(line, 'thread') })
  return rule.words.replace(/\{(\w+)\}/g, (_, name: string) => {
    if (name === 'sequence') return wheelNutSequence(line.quantity).join(' ')
    return String(values[name] ?? '')
  })
}

function treatedValues(then: RuleThen, line: FigureLine): Record<string, string> {
  const { torqueNm, torqueState } = line.facts
  if (then.what !== 'torque-note' || torqueNm === undefined || torqueState === undefined) return {}
  const treated = torqueForTreatment(torqueNm, torqueState, then.treatment)
  return {
    treatedNm: short(treated.torqueNm),
    treatedNmMin: short(treated.torqueNmMin),
    treatedNmMax: short(treated.torqueNmMax),
  }
}
