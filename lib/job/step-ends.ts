import { endsAmong, endsOfLine, SHAFT_ENDS, type ShaftEnd } from '../figure/shaft-end.ts'
import { itemKey, type StripPlan, type StripStep, stripPlan } from '../figure/strip-order.ts'
import type { PlanFigure, PlanLine } from './plan-figure.ts'
import { linesAsStripped } from './strip-notes.ts'

/** A step of the strip order at one end of the shaft; null where the part sits once, or nobody said which end. */
export interface EndStep {
  at: StripStep
  end: ShaftEnd | null
}

/** Something that is renewed or opened: its item, and the places that are named for it. */
interface Opened {
  item: string
  positions: readonly string[]
}

/** Ends that are named of an item: by its places, or because it sits at one only. */
function endsNamed(figure: PlanFigure, { item, positions }: Opened): ShaftEnd[] {
  const sides = new Set(figure.positions.map(({ code }) => code))
  const named = endsAmong(positions.filter((code) => !sides.has(code)))
  const own = figure.lines.filter((line) => itemKey(line.item) === itemKey(item)).map((line) => endsOfLine(line.facts))
  return named.length > 0 ? named : own.every((ends) => ends.length === 1) ? (own[0] ?? []) : []
}

/** The strip order of what is opened at one end: lines of the other end are no steps in it. */
function stripAt(figure: PlanFigure, end: ShaftEnd, items: readonly string[]): StripPlan {
  const isHere = (line: PlanLine) => {
    const ends = endsOfLine(line.facts)
    return ends.length === 0 || ends.includes(end)
  }
  const all = linesAsStripped(figure.lines, figure.stripSteps ?? [])
  const lines = all.filter(isHere)
  const here = new Set(lines.map((line) => itemKey(line.item)))
  return stripPlan({
    edges: figure.strip,
    lines,
    targets: items.filter((item) => here.has(itemKey(item))),
    absent: [...figure.absentItems, ...all.filter((line) => !isHere(line)).map((line) => line.item)],
  })
}

/**
 * The orders of both ends. What sits once and comes off for one end is held at the other end as well: what is in its way there comes
 * off too, as the nut of the far end before a shaft is drawn.
 */
function plansWhole(figure: PlanFigure, opened: (end: ShaftEnd) => readonly string[]): Map<ShaftEnd, StripPlan> {
  const holding: { item: string; end: ShaftEnd }[] = []
  const absent = new Set(figure.absentItems.map(itemKey))
  for (;;) {
    const plans = new Map(
      SHAFT_ENDS.map((end) => {
        const held = holding.filter((one) => one.end === end).map(({ item }) => item)
        return [end, stripAt(figure, end, [...new Set([...opened(end), ...held])])]
      }),
    )
    const isOff = (item: string, end: ShaftEnd) =>
      plans.get(end)!.steps.some((step) => itemKey(step.item) === itemKey(item))
    const endsOf = new Map(figure.lines.map((line) => [itemKey(line.item), endsOfLine(line.facts)]))
    const more = figure.strip.flatMap(({ first, then }) => {
      const [end, ...others] = endsOf.get(itemKey(first)) ?? []
      const isHeldThere =
        end !== undefined &&
        others.length === 0 &&
        !absent.has(itemKey(first)) &&
        (endsOf.get(itemKey(then)) ?? []).length === 0
      return isHeldThere && !isOff(first, end) && SHAFT_ENDS.some((one) => isOff(then, one))
        ? [{ item: first, end }]
        : []
    })
    const fresh = more.filter((one) => !holding.some((other) => other.item === one.item))
    if (fresh.length === 0) return plans
    holding.push(...fresh)
  }
}

/**
 * The steps of an order with the ends they are done at. Each end is gone through by itself, one after the other as far as the
 * order allows; what sits once is one step. Where no target and no part agreed to names an end, the order stays as it is.
 */
export function stepsAtEnds(input: {
  figure: PlanFigure
  order: StripPlan
  targets: readonly Opened[]
  renewed: readonly Opened[]
  /** Opened at an end since its pair there was agreed to. */
  pairs: readonly { item: string; end: ShaftEnd }[]
}): EndStep[] {
  const { figure, order, targets, renewed, pairs } = input
  const once = order.steps.map((at): EndStep => ({ at, end: null }))
  const named = (one: Opened) => endsNamed(figure, one)
  if (pairs.length === 0 && ![...targets, ...renewed].some((one) => named(one).length > 0)) return once
  const isOpened = (one: Opened, end: ShaftEnd) => named(one).length === 0 || named(one).includes(end)
  const planned = (more: readonly string[]) =>
    plansWhole(figure, (end) => [
      ...targets.filter((one) => isOpened(one, end)).map((one) => one.item),
      ...renewed.filter((one) => named(one).includes(end)).map((one) => one.item),
      ...pairs.filter((pair) => pair.end === end).map((pair) => pair.item),
      ...more,
    ])
  const sure = planned([])
  const isOff = (item: string) => [...sure.values()].some(({ steps }) => steps.some((step) => step.item === item))
  // Agreed to before anybody named an end, it comes off all the same.
  const beside = renewed.map(({ item }) => item).filter((item) => !isOff(item))
  const plans = beside.length > 0 ? planned(beside) : sure
  const stepAt = (end: ShaftEnd, item: string) => plans.get(end)!.steps.find((step) => step.item === item)
  const endsOf = new Map(figure.lines.map((line) => [line.item, endsOfLine(line.facts)]))
  const steps: EndStep[] = []
  let run: EndStep[] = []
  const runEnd = () => {
    steps.push(...SHAFT_ENDS.flatMap((end) => run.filter((step) => step.end === end)))
    run = []
  }
  for (const { at } of once) {
    const ends = endsOf.get(at.item) ?? []
    const here = SHAFT_ENDS.flatMap((end) => {
      const step = stepAt(end, at.item)
      // Off at this end only for the sake of what sits once, it is no target, and the whole order says what it is in the way of.
      return step ? [{ at: step.target && !at.target ? at : step, end }] : []
    })
    if (ends.length > 0) {
      run.push(...here)
      continue
    }
    if (here.length === 0) continue
    runEnd()
    steps.push({ at: here[0]!.at, end: null })
  }
  runEnd()
  // What sits at one end only says so by being there.
  return steps.map((step) => ((endsOf.get(step.at.item) ?? []).length === 2 ? step : { ...step, end: null }))
}
