import { CONSUMABLE_CLASSES } from '../../lib/catalogue/part-class.ts'
import { serialBreaksCover } from '../../lib/catalogue/serial-break.ts'
import { serialRangesParse } from '../../lib/catalogue/serial-ranges.ts'
import type { MachineNow } from '../../lib/companion/machine-now.ts'
import type { Rule } from '../../lib/companion/rule.ts'
import { RULES } from '../../lib/companion/rules/index.ts'
import type { PartOnFile, Suggestion } from '../../lib/companion/suggest.ts'
import { FigureFile } from '../../lib/figure/schema.ts'
import { jobPlan } from '../../lib/job/plan.ts'
import type { PlanFigure, PlanLine, PlanStep } from '../../lib/job/plan-figure.ts'
import { stepKeyRead } from '../../lib/job/step-key.ts'
import { quantityScale } from '../../lib/measure/quantity.ts'
import { consumables } from '../../seed/estate/consumables.ts'
import { fasteners } from '../../seed/estate/fasteners.ts'
import { FIGURES } from '../../seed/figures/index.ts'
import type { Scenario } from '../companion/scenario.ts'
import type { Shown } from './fitter-score.ts'

type Line = FigureFile['lines'][number]

function breaksOf({ serials, serialFrom, serialTo }: Line) {
  const ranges = serials === undefined ? [] : serialRangesParse(serials)
  if (typeof ranges === 'string') throw new Error(`${serials}: ${ranges}`)
  if (serialFrom !== undefined || serialTo !== undefined)
    ranges.push({ from: serialFrom ?? null, to: serialTo ?? null })
  return ranges
}

/** Ids by part number, so that a line and the same part on the shelf are one. */
class PartIds {
  private readonly known = new Map<string, number>()
  of(partNumber: string): number {
    const id = this.known.get(partNumber) ?? this.known.size + 1
    this.known.set(partNumber, id)
    return id
  }
}

/** The year in which the scenarios are told. */
const YEAR = 2026

/** What a scenario tells of its machine; a job of which it tells nothing has none. */
function machineOf({ hours, years, season }: Scenario['machine']): MachineNow | undefined {
  if (hours === undefined && years === undefined && season === undefined) return undefined
  return {
    today: `${YEAR}-${season === 'winter' ? '12' : '06'}-15`,
    maker: '',
    model: '',
    hourTenths: hours === undefined ? null : hours * 10,
    year: years === undefined ? null : YEAR - years,
    renewed: [],
  }
}

/** What follows the first loaded run stands in a list of its own on a job; a fitter counts it with the rest. */
function afterRunAct({ key, text }: PlanStep, rules: readonly Rule[]): Suggestion {
  const rule = rules.find(({ id }) => key.split(':').includes(id))
  if (!rule) throw new Error(`no rule behind ${key}`)
  const { id, words, source, strength, family } = rule
  return {
    key,
    kind: 'act',
    strength,
    partId: null,
    item: null,
    positions: [],
    description: text,
    quantity: 0,
    unit: 'each',
    afterRun: true,
    family,
    reasons: [{ ruleId: id, words, source, strength, found: {} }],
  }
}

/** Steps in words of their own, not those that only take a part off and fit it. */
function inWords(steps: readonly PlanStep[], families: Shown['families']): Shown[] {
  return steps.filter(({ key }) => stepKeyRead(key)?.around != null).map(({ text }) => ({ text, families }))
}

/** The demo's parts books and shelf, read from their sources without a store behind them. */
export class Workshop {
  private readonly ids = new PartIds()
  private readonly files = new Map(FIGURES.map(({ slug, figure }) => [slug, FigureFile.parse(figure().file)]))
  private readonly shelf: PartOnFile[] = this.shelfRead()

  private shelfRead(): PartOnFile[] {
    const estate = [...consumables(), ...fasteners()].map(({ number, facts, ...part }) => ({
      ...part,
      partNumber: number,
      partFacts: facts,
    }))
    const listed = [...this.files.values()].flatMap(({ lines }) => lines)
    const found = new Map<string, PartOnFile>()
    for (const { partNumber, description, partClass, unit, partFacts } of [...estate, ...listed]) {
      if (partNumber === undefined || !CONSUMABLE_CLASSES.has(partClass)) continue
      found.set(partNumber, { partId: this.ids.of(partNumber), partNumber, description, partClass, unit, partFacts })
    }
    return [...found.values()]
  }

  private line(line: Line, at: number): PlanLine {
    const { item, partNumber = item, description, quantity, unit, partClass, facts, partFacts } = line
    const { attaches, side, orderItem } = line
    return {
      lineId: at + 1,
      item,
      partId: this.ids.of(partNumber),
      partNumber,
      description,
      quantity: quantity * quantityScale(unit),
      unit,
      partClass,
      facts,
      partFacts,
      ...(attaches === undefined ? {} : { attaches }),
      ...(side === undefined ? {} : { side }),
      ...(orderItem === undefined ? {} : { orderItem }),
    }
  }

  /** The page with the lines that apply to the serial number in hand. */
  figure(slug: string, serial: string | null): PlanFigure {
    const file = this.files.get(slug)
    if (!file) throw new Error(`no figure ${slug}: there are ${[...this.files.keys()].join(', ')}`)
    const applies = (line: Line) => serialBreaksCover(breaksOf(line), serial) !== 'not'
    const lines = file.lines.filter(applies).map((line, at) => this.line(line, at))
    const absent = file.lines.map(({ item }) => item).filter((item) => !lines.some((line) => line.item === item))
    return {
      id: 1,
      number: file.number,
      title: file.title,
      positions: file.positions,
      lines,
      absentItems: [...new Set(absent)],
      strip: file.stripOrder,
      tests: file.tests,
    }
  }

  /** What the job plan suggests for a scenario, by the way a job takes; the rules are those the workshop starts with. */
  suggestions(scenario: Scenario, rules: readonly Rule[] = RULES): Suggestion[] {
    return this.plan(scenario, rules).suggestions
  }

  /** The same with what the job card shows in words: what is done around the parts, and the tests of the figure. */
  plan(scenario: Scenario, rules: readonly Rule[] = RULES): { suggestions: Suggestion[]; shown: Shown[] } {
    const figure = this.figure(scenario.figure, scenario.machine.serial ?? null)
    const targets = scenario.targets.map(({ item, positions = [], quantity }) => {
      const line = figure.lines.find((one) => one.item === item)
      if (!line) throw new Error(`${scenario.id}: no item ${item} in ${scenario.figure}`)
      return { figureId: figure.id, item, positions, quantity: quantity ?? line.quantity }
    })
    const alsoStripped = new Map([[figure.id, scenario.alsoStripped ?? []]])
    const machine = machineOf(scenario.machine)
    const plan = jobPlan({ figures: [figure], targets, rules, shelf: this.shelf, alsoStripped, machine })
    const isRule = ({ key }: PlanStep) => rules.some(({ id }) => key.split(':').includes(id))
    return {
      suggestions: [...plan.suggestions, ...plan.afterRun.filter(isRule).map((step) => afterRunAct(step, rules))],
      shown: [
        ...inWords(plan.strip, ['protection', 'cleaning']),
        ...inWords(plan.rebuild, ['treatment', 'torque']),
        ...plan.tests.map(({ text }): Shown => ({ text, families: ['check'] })),
      ],
    }
  }
}
