import type { LineFacts } from '../figure/schema.ts'
import { endShare, endsAmong, isShaftEnd, placeSays, type ShaftEnd } from '../figure/shaft-end.ts'
import { itemKey, type StripPlan, type StripStep, stripPlan } from '../figure/strip-order.ts'
import type { PlanFigure, PlanLine, PlanStep, PlanTarget } from './plan-figure.ts'
import { fitSays, type Renewed } from './renewed.ts'
import { stepsAtEnds } from './step-ends.ts'
import { ONCE, stepKeyRead, stepKeySay } from './step-key.ts'
import { linesAsStripped, stripStepsNoted } from './strip-notes.ts'

/** A part of the other side or end that somebody agreed to: it is opened up as well. */
export interface PairOpened {
  item: string
  /** Code of the side, or of the end of the shaft. */
  side: string
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

export function positionsSay(positions: readonly string[]): string {
  return positions.length > 0 ? ` (${positions.map(placeSays).join(', ')})` : ''
}

const hasItem = (items: readonly { item: string }[], item: string) =>
  items.some((one) => itemKey(one.item) === itemKey(item))

/** The strip order of the targets, and of what is renewed beside them and did not come off on the way: a seal behind its bearing. */
export function stripOrder(figure: PlanFigure, targets: readonly string[], renewed: readonly Renewed[]): StripPlan {
  const lines = linesAsStripped(figure.lines, figure.stripSteps ?? [])
  const planned = (items: readonly string[]) =>
    stripPlan({ edges: figure.strip, lines, targets: items, absent: figure.absentItems })
  const order = planned(targets)
  const beside = renewed
    .filter((one) => one.figureId === figure.id && hasItem(lines, one.item) && !hasItem(order.steps, one.item))
    .map((one) => one.item)
  return beside.length === 0 ? order : planned([...targets, ...new Set(beside)])
}

/** What a renewed part comes to at one side: its share of the pieces, and the places there. */
function atSide<R extends { positions: readonly string[]; quantity: number }>(
  one: R,
  side: string,
  sides: ReadonlySet<string>,
): R[] {
  const own = one.positions.filter((code) => sides.has(code))
  if (own.length === 0) return [one]
  if (!own.includes(side)) return []
  const positions = one.positions.filter((code) => code === side || !sides.has(code))
  return [{ ...one, positions, quantity: one.quantity / own.length }]
}

/** What a renewed part comes to at one end: its share of the pieces; where no end is named, nobody knows which of them. */
function atEnd(one: Renewed, end: ShaftEnd | null, sides: ReadonlySet<string>): Renewed[] {
  const named = endsAmong(one.positions.filter((code) => !sides.has(code)))
  const positions = one.positions.filter((code) => sides.has(code) || !isShaftEnd(code))
  if (end === null) return [{ ...one, positions }]
  if (named.length > 0 && !named.includes(end)) return []
  return [{ ...one, positions, quantity: endShare(one.quantity, named.length === 1 ? 0 : 1) }]
}

/**
 * Strip and rebuild of one figure. Where the assembly sits at several sides each side is gone through by itself, with its own
 * ticks and with what is renewed there: whoever has done the left wheel sees what is left at the right one. `order` is that of
 * all targets together, for a side of which nothing is known but that it is opened.
 */
export function figureSteps(input: {
  figure: PlanFigure
  order: StripPlan
  targets: readonly PlanTarget[]
  /** Codes in hand, none where the assembly sits once. */
  sides: readonly string[]
  renewed: readonly Renewed[]
  pairs: readonly PairOpened[]
}): { strip: PlanStep[]; rebuild: PlanStep[] } {
  const { figure, targets, sides, pairs } = input
  const renewed = input.renewed.filter((one) => one.figureId === figure.id)
  if (sides.length === 0) {
    const walk = sideSteps({ ...input, renewed, side: null })
    return { ...walk, strip: [...onceSteps(figure, [walk], sides), ...walk.strip] }
  }
  const codes = new Set(figure.positions.map((position) => position.code))
  const walks = sides.map((side) => {
    const own = targets.flatMap((target) => atSide(target, side, codes))
    const beside = renewed.flatMap((one) => atSide(one, side, codes))
    const opened = [
      ...own.map((target) => target.item),
      ...pairs.filter((pair) => pair.side === side && hasItem(figure.lines, pair.item)).map((pair) => pair.item),
    ]
    const known = opened.length > 0 || beside.some((one) => hasItem(figure.lines, one.item))
    const order = known ? stripOrder(figure, [...new Set(opened)], beside) : input.order
    return sideSteps({ figure, order, targets: own, renewed: beside, pairs, side })
  })
  return {
    strip: [...onceSteps(figure, walks, sides), ...walks.flatMap((walk) => walk.strip)],
    rebuild: walks.flatMap((walk) => walk.rebuild),
  }
}

/** What is done once, whatever number of sides is stripped: with one tyre off the ground the other one's nuts turn the wheel. */
function onceSteps(figure: PlanFigure, walks: readonly { strip: PlanStep[] }[], sides: readonly string[]): PlanStep[] {
  const items = new Set(walks.flatMap((walk) => walk.strip.map((step) => stepKeyRead(step.key)!.item)))
  const lines = new Map(figure.lines.filter((line) => items.has(line.item)).map((line) => [line.item, line]))
  return [...lines.values()].flatMap(({ item, facts }) =>
    (facts.stripOnce ?? []).map((words, at) => ({
      key: stepKeySay({ figureId: figure.id, item, end: null, around: `${ONCE}${at + 1}`, side: null }),
      text: `${words}${positionsSay(sides)}`,
    })),
  )
}

function sideSteps(input: {
  figure: PlanFigure
  order: StripPlan
  targets: readonly PlanTarget[]
  renewed: readonly Renewed[]
  pairs: readonly PairOpened[]
  side: string | null
}): { strip: PlanStep[]; rebuild: PlanStep[] } {
  const { figure, targets, renewed, side } = input
  const sides = new Set(figure.positions.map((position) => position.code))
  const pairs = input.pairs.flatMap(({ item, side: end }) =>
    isShaftEnd(end) && !sides.has(end) && hasItem(figure.lines, item) ? [{ item, end }] : [],
  )
  const here = side === null ? [] : [side]
  // Handed parts share an item: the line of the side in hand is the one that is meant, and the other side may have none.
  const lineOf = (item: string): PlanLine | undefined => {
    const lines = figure.lines.filter((line) => line.item === item)
    return side === null ? lines[0] : lines.find((line) => line.side === undefined || line.side === side)
  }
  const steps = stepsAtEnds({ figure, order: input.order, targets, renewed, pairs }).flatMap(({ at, end }) => {
    const line = lineOf(at.item)
    return line ? [{ at, end, line, where: positionsSay(end === null ? here : [...here, end]) }] : []
  })
  const keyOf = ({ at, end }: { at: StripStep; end: ShaftEnd | null }, around: string | null) =>
    stepKeySay({ figureId: figure.id, item: at.item, end, around, side })
  type Around = 'stripFirst' | 'stripThen' | 'fitFirst' | 'fitThen'
  const around = (step: (typeof steps)[number], when: Around): PlanStep[] =>
    (step.line.facts[when] ?? []).map((words, index) => ({
      key: keyOf(step, `${when}${index + 1}`),
      text: `${words}${step.where}`,
    }))
  const strip = steps.flatMap((step): PlanStep[] => [
    ...around(step, 'stripFirst'),
    {
      key: keyOf(step, null),
      text: `Take off ${step.at.item} ${step.line.description}${step.where}${step.at.target ? '' : ` - ${step.at.why}`}`,
    },
    ...around(step, 'stripThen'),
  ])
  const renewedAt = (line: PlanLine, end: ShaftEnd | null): Renewed[] =>
    [
      ...targets
        .filter((target) => target.item === line.item)
        .map((target) => ({ ...target, partNumber: target.partNumber ?? line.partNumber })),
      ...renewed.filter((one) => one.item === line.item),
    ].flatMap((one) => atEnd(one, end, sides))
  const rebuild = steps.toReversed().flatMap((step): PlanStep[] => [
    ...around(step, 'fitFirst'),
    {
      key: keyOf(step, null),
      text: `${fitSays(step.line, here, renewedAt(step.line, step.end), step.end)}${torqueSays(step.line.facts)}`,
    },
    ...around(step, 'fitThen'),
  ])
  return { strip: stripStepsNoted(strip, figure), rebuild }
}
