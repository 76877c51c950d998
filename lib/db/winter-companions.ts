import { serialBreaksCover } from '../catalogue/serial-break.ts'
import { mayAskAge } from '../companion/condition.ts'
import type { MachineNow } from '../companion/machine-now.ts'
import type { Rule } from '../companion/rule.ts'
import { jobPlan } from '../job/plan.ts'
import type { PlanFigure, PlanTarget } from '../job/plan-figure.ts'
import { dateOf } from '../service/plain-date.ts'
import { type Proposes, thingsSay } from '../winter/companions.ts'
import { database } from './client.ts'
import { ruleBookNow } from './companion-rule.ts'
import { type FigureView, figureView } from './figure.ts'
import { machineNow } from './machine-now.ts'
import { shelfCandidates } from './shelf-candidates.ts'

export interface MachineOfPlan {
  id: number
  serialNumber: string | null
  modelId: number
  year: number | null
  model: { maker: string; name: string }
}

/** The figures that planned work names, as each machine has them, and what the plan of a job on them would propose. */
export interface Companions {
  figuresOf: (machine: MachineOfPlan) => ReadonlyMap<number, PlanFigure>
  proposesOf: (machine: MachineOfPlan) => Promise<Proposes>
  /** Rules that ask for what is worn at work, and worn again. */
  protection: ReadonlySet<string>
}

/** Whether a rule that decides what is taken asks how old something of these figures is. */
function asksAge(rules: readonly Rule[], figures: Iterable<PlanFigure>): boolean {
  const old = rules.filter(({ when, strength }) => when.age !== undefined && strength !== 'consider')
  return [...figures].some(({ lines }) => lines.some((line) => old.some(({ when }) => mayAskAge(when, line))))
}

/**
 * Reads figures, rules and shelf once for a whole plan. `on` is the day for which rules are asked. Machines of one model with the
 * same lines are planned alike, so what was proposed for one is kept for the others, unless a rule asks how old a part of these is.
 */
export async function companionsRead(figureIds: readonly number[], on: Date): Promise<Companions> {
  const db = database()
  const read = new Map<number, FigureView>()
  for (const id of new Set(figureIds)) read.set(id, await figureView(db, id))
  const [book, shelf] = await Promise.all([ruleBookNow(), shelfCandidates(db)])
  const rules = book.inForce
  // Figures of which two machines have the same lines are one and the same, so that they can be told by it.
  const alike = new Map<string, PlanFigure>()
  const figures = new Map<number, ReadonlyMap<number, PlanFigure>>()
  const figureOf = (view: FigureView, serialNumber: string | null): PlanFigure => {
    const lines = view.lines.filter(({ breaks }) => serialBreaksCover(breaks, serialNumber) !== 'not')
    const key = `${view.id} ${lines.map(({ lineId }) => lineId).join(' ')}`
    const known = alike.get(key)
    if (known) return known
    const items = new Set(lines.map(({ item }) => item))
    const absent = new Set(view.lines.filter(({ item }) => !items.has(item)).map(({ item }) => item))
    const figure = { ...view, lines, absentItems: [...new Set([...view.absentItems, ...absent])] }
    alike.set(key, figure)
    return figure
  }
  const figuresOf = (machine: MachineOfPlan) => {
    const known = figures.get(machine.id)
    if (known) return known
    const own = new Map([...read].map(([id, view]) => [id, figureOf(view, machine.serialNumber)]))
    figures.set(machine.id, own)
    return own
  }
  const numbers = new Map<PlanFigure, number>()
  const numberOf = (figure: PlanFigure) => {
    if (!numbers.has(figure)) numbers.set(figure, numbers.size)
    return numbers.get(figure)!
  }
  const kept = new Map<string, ReturnType<Proposes>>()
  const proposesOf = async (machine: MachineOfPlan): Promise<Proposes> => {
    const own = figuresOf(machine)
    const isAsked = asksAge(rules, own.values())
    const now: MachineNow = isAsked
      ? { ...(await machineNow(db, machine.id, on)), today: dateOf(on) }
      : {
          ...{ today: dateOf(on), maker: machine.model.maker, model: machine.model.name },
          ...{ hourTenths: null, year: machine.year, renewed: [] },
        }
    return (targets) => {
      if (targets.length === 0) return []
      const asked = [...new Set(targets.map(({ figureId }) => figureId))].map((id) => own.get(id)!)
      const whose = isAsked && asksAge(rules, asked) ? `machine ${machine.id}` : `model ${machine.modelId}`
      const key = `${whose} ${asked.map(numberOf).join(' ')} ${JSON.stringify(targets.map(targetKey))}`
      const known = kept.get(key)
      if (known) return known
      const { suggestions } = jobPlan({ figures: asked, targets, rules, shelf, machine: now })
      kept.set(key, suggestions)
      return suggestions
    }
  }
  const protection = new Set(rules.flatMap(({ id, family }) => (family === 'protection' ? [id] : [])))
  return { figuresOf, proposesOf, protection }
}

const targetKey = ({ figureId, item, positions, quantity }: PlanTarget) => [figureId, item, positions, quantity]

/** The targets that are on a figure in words. */
export function targetsText(
  figures: ReadonlyMap<number, PlanFigure>,
  targets: readonly PlanTarget[],
): (figureId: number) => string {
  return (figureId) => {
    const lines = figures.get(figureId)?.lines ?? []
    const items = targets.filter((one) => one.figureId === figureId).map(({ item }) => item)
    const said = items.map((item) => `${item} ${lines.find((line) => line.item === item)?.description ?? ''}`)
    return thingsSay(said, 'and')
  }
}
