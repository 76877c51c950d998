import type { PartClass } from '../catalogue/part-class.ts'
import type { MachineNow } from '../companion/machine-now.ts'
import type { Rule } from '../companion/rule.ts'
import { companionSuggest, type PartOnFile, type Suggestion } from '../companion/suggest.ts'
import type { FigurePosition, LineFacts, PartFacts, StripStepFile } from '../figure/schema.ts'
import { itemKey, type StripPlan, type StripStep, stripPlan } from '../figure/strip-order.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { jobWideMerged } from './job-wide.ts'
import type { FigureTest, TestMeasure } from './measurement.ts'
import { suggestionsOrdered } from './ordered.ts'
import { fitSays, type Renewed } from './renewed.ts'
import { linesAsStripped, stripStepsNoted } from './strip-notes.ts'

/** A parts list line as the plan needs it; quantity per assembly in minor units. */
export interface PlanLine {
  lineId: number
  item: string
  partId: number
  partNumber: string
  description: string
  quantity: number
  unit: StockUnit
  partClass: PartClass
  facts: LineFacts
  partFacts: PartFacts
  attaches?: string
  side?: 'LH' | 'RH'
  /** Not sold separately: the item to order instead. */
  orderItem?: string
}

export interface PlanFigure {
  id: number
  number: string
  title: string
  positions: FigurePosition[]
  lines: PlanLine[]
  absentItems: string[]
  strip: { first: string; then: string }[]
  /** Steps of an order that somebody saved, with their notes. */
  stripSteps?: StripStepFile[]
  tests: FigureTest[]
}

export interface PlanTarget {
  figureId: number
  item: string
  positions: string[]
  quantity: number
  /** The part that goes in, where another one was chosen than the list names. */
  partNumber?: string | undefined
}

export interface PlanStep {
  key: string
  text: string
}

export type PlanSuggestion = Suggestion & { figureId: number; jobKey: string }

/** A test before release, some with what is measured and its limits. */
export interface TestStep extends PlanStep {
  measure?: TestMeasure
}

export interface JobPlan {
  strip: PlanStep[]
  rebuild: PlanStep[]
  tests: TestStep[]
  /** What is left to do once the machine has run: it goes back to work before. */
  afterRun: PlanStep[]
  suggestions: PlanSuggestion[]
  /** All that the rules ask for: the suggestions, and what is left to do after the first run. */
  asked: PlanSuggestion[]
}

/** The joint's torque as the job card prints it; the maker's manual rules. */
function torqueSays(facts: LineFacts): string {
  if (facts.torqueNm === undefined) return ''
  const state = {
    dry: 'dry threads',
    oiled: 'oiled threads',
    'anti-seize': 'with anti-seize',
    'thread-lock': 'with thread-lock',
  }
  return ` - ${facts.torqueNm} N m${facts.torqueState ? `, ${state[facts.torqueState]}` : ''}`
}

function positionsSay(positions: readonly string[]): string {
  return positions.length > 0 ? ` (${positions.join(', ')})` : ''
}

function stepText(verb: string, line: PlanLine, positions: readonly string[], tail: string): string {
  return `${verb} ${line.item} ${line.description}${positionsSay(positions)}${tail}`
}

/** A test is done once for the assembly; what is measured is measured on each side by itself. */
function testSteps(figure: PlanFigure, sides: readonly string[]): TestStep[] {
  return figure.tests.flatMap((test, at): TestStep[] => {
    const key = `${figure.id}:${at}`
    if (typeof test === 'string') return [{ key, text: test }]
    const { text, measure } = test
    if (sides.length === 0) return [{ key, text, measure }]
    return sides.map((side) => ({ key: `${key}:${side}`, text: `${text}${positionsSay([side])}`, measure }))
  })
}

/** The strip order of the targets, and of what is renewed beside them and did not come off on the way: a seal behind its bearing. */
function stripOrder(figure: PlanFigure, targets: readonly string[], renewed: readonly Renewed[]): StripPlan {
  const lines = linesAsStripped(figure.lines, figure.stripSteps ?? [])
  const planned = (items: readonly string[]) =>
    stripPlan({ edges: figure.strip, lines, targets: items, absent: figure.absentItems })
  const order = planned(targets)
  const has = (items: readonly { item: string }[], item: string) =>
    items.some((one) => itemKey(one.item) === itemKey(item))
  const beside = renewed
    .filter((one) => one.figureId === figure.id && has(lines, one.item) && !has(order.steps, one.item))
    .map((one) => one.item)
  return beside.length === 0 ? order : planned([...targets, ...new Set(beside)])
}

/**
 * What a job on these targets comes to: the strip order of each figure, the same back, what else is needed, and the tests
 * before release, and what follows after the first run. Figures come in the order in which they were first aimed at; a figure's steps are keyed by figure and
 * item so that ticks survive when another target is added.
 */
export function jobPlan(input: {
  figures: readonly PlanFigure[]
  targets: readonly PlanTarget[]
  rules: readonly Rule[]
  shelf: readonly PartOnFile[]
  /** Positions a person agreed to open as well, by figure: the other side, once its pair is accepted. */
  alsoStripped?: ReadonlyMap<number, readonly string[]>
  /** The machine on the day the job was opened, for rules that ask for its model, its age or the season. */
  machine?: MachineNow | undefined
  /** What is renewed beside the targets. */
  renewed?: readonly Renewed[]
}): JobPlan {
  const plan: JobPlan = { strip: [], rebuild: [], tests: [], afterRun: [], suggestions: [], asked: [] }
  for (const figure of input.figures) {
    const targets = input.targets.filter((target) => target.figureId === figure.id)
    if (targets.length === 0) continue
    const order = stripOrder(
      figure,
      targets.map((target) => target.item),
      input.renewed ?? [],
    )
    const also = input.alsoStripped?.get(figure.id) ?? []
    const sides = [...new Set([...targets.flatMap((target) => target.positions), ...also])].filter((code) =>
      figure.positions.some((position) => position.code === code),
    )
    // Handed parts share an item: the line of the side in hand is the one that is meant.
    const lineOf = (item: string) => {
      const lines = figure.lines.filter((line) => line.item === item)
      return lines.find((line) => line.side === undefined || sides.includes(line.side)) ?? lines[0]!
    }
    const step = (at: StripStep, verb: string, tail: string): PlanStep => ({
      key: `${figure.id}:${at.item}`,
      text: stepText(verb, lineOf(at.item), sides, tail),
    })
    const around = (at: StripStep, when: 'stripFirst' | 'stripThen' | 'fitFirst' | 'fitThen'): PlanStep[] =>
      (lineOf(at.item).facts[when] ?? []).map((words, index) => ({
        key: `${figure.id}:${at.item}#${when}${index + 1}`,
        text: `${words}${positionsSay(sides)}`,
      }))
    for (const at of order.steps)
      plan.strip.push(
        ...around(at, 'stripFirst'),
        step(at, 'Take off', at.target ? '' : ` - ${at.why}`),
        ...around(at, 'stripThen'),
      )
    const renewedAt = (line: PlanLine): Renewed[] => {
      const aimed = targets.filter((target) => target.item === line.item)
      return [
        ...aimed.map((target) => ({ ...target, partNumber: target.partNumber ?? line.partNumber })),
        ...(input.renewed ?? []).filter((one) => one.figureId === figure.id && one.item === line.item),
      ]
    }
    const rebuild = [...order.steps].reverse()
    for (const at of rebuild) {
      const line = lineOf(at.item)
      plan.rebuild.push(
        ...around(at, 'fitFirst'),
        { key: `${figure.id}:${at.item}`, text: `${fitSays(line, sides, renewedAt(line))}${torqueSays(line.facts)}` },
        ...around(at, 'fitThen'),
      )
    }
    plan.strip = stripStepsNoted(plan.strip, figure)
    plan.tests.push(...testSteps(figure, sides))
    const suggestions = companionSuggest({
      targets,
      lines: figure.lines,
      positions: figure.positions,
      strip: order.steps,
      rules: input.rules,
      shelf: input.shelf,
      alsoStripped: [...also],
      figureId: figure.id,
      machine: input.machine,
    })
    for (const suggestion of suggestionsOrdered(suggestions, figure.lines, targets)) {
      const key = `${figure.id}:${suggestion.key}`
      const asked = { ...suggestion, figureId: figure.id, jobKey: key }
      if (!suggestion.afterRun) plan.suggestions.push(asked)
      else {
        plan.afterRun.push({ key, text: `${suggestion.description}${positionsSay(sides)}` })
        plan.asked.push(asked)
      }
    }
  }
  const suggestions = jobWideMerged(plan.suggestions)
  return { ...plan, suggestions, asked: [...suggestions, ...plan.asked] }
}
