import type { MachineNow } from '../companion/machine-now.ts'
import type { Rule } from '../companion/rule.ts'
import { companionSuggest, type PartOnFile, type Suggestion } from '../companion/suggest.ts'
import { jobWideMerged } from './job-wide.ts'
import type { TestMeasure, TestStage } from './measurement.ts'
import { suggestionsOrdered } from './ordered.ts'
import type { PlanFigure, PlanStep, PlanTarget } from './plan-figure.ts'
import type { Renewed } from './renewed.ts'
import { figureSteps, type PairOpened, positionsSay, stripOrder } from './step-plan.ts'
import { testsKept } from './test-list.ts'

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
  afterRun: TestStep[]
  suggestions: PlanSuggestion[]
  /** All that the rules ask for: the suggestions, and what is left to do after the first run. */
  asked: PlanSuggestion[]
}

/** The tests of a figure for the sides in hand: before release, and those that wait for the first loaded run. */
function testSteps(figure: PlanFigure, sides: readonly string[]): { release: TestStep[]; afterRun: TestStep[] } {
  const steps = (stage: TestStage, name: string) =>
    testsKept(figure.tests)
      .filter((test) => test.stage === stage)
      .flatMap(({ key, text, measure, eachSide }): TestStep[] => {
        const own = { key: `${figure.id}:${name}${key}`, text, ...(measure ? { measure } : {}) }
        if (!eachSide || sides.length === 0) return [own]
        return sides.map((side) => ({ ...own, key: `${own.key}:${side}`, text: `${text}${positionsSay([side])}` }))
      })
  return { release: steps('release', ''), afterRun: steps('after-run', 'test') }
}

/**
 * What a job on these targets comes to: the strip order of each figure, the same back, what else is needed, and the tests
 * before release, and what follows after the first run. Figures come in the order in which they were first aimed at; a figure's
 * steps are keyed by figure, item and side so that ticks survive when another target or the other side is added.
 */
export function jobPlan(input: {
  figures: readonly PlanFigure[]
  targets: readonly PlanTarget[]
  rules: readonly Rule[]
  shelf: readonly PartOnFile[]
  /** Positions a person agreed to open as well, by figure: the other side, once its pair is accepted. */
  alsoStripped?: ReadonlyMap<number, readonly string[]>
  /** What is opened there, by figure; a side of which nothing is said is stripped as the targets are. */
  pairsOpened?: ReadonlyMap<number, readonly PairOpened[]>
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
    const steps = figureSteps({
      figure,
      order,
      targets,
      sides,
      renewed: input.renewed ?? [],
      pairs: input.pairsOpened?.get(figure.id) ?? [],
    })
    plan.strip.push(...steps.strip)
    plan.rebuild.push(...steps.rebuild)
    const tests = testSteps(figure, sides)
    plan.tests.push(...tests.release)
    plan.afterRun.push(...tests.afterRun)
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
