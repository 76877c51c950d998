import { suggestionsCompare } from '../companion/compare.ts'
import type { Rule } from '../companion/rule.ts'
import { type RuleBook, type RuleDecision, ruleBookWith } from '../companion/rule-book.ts'
import { DRAFT_ID, type RuleDraft, type RuleFaults, ruleDecided } from '../companion/rule-form.ts'
import { RULES } from '../companion/rules/index.ts'
import { type ChangeShown, changeShown } from '../companion/try-says.ts'
import { agreedElsewhere } from '../job/agreed.ts'
import { jobPlan } from '../job/plan.ts'
import type { PlanTarget } from '../job/plan-figure.ts'
import { type BenchJob, type BenchRun, benchEmpty, benchJobAdd } from '../job/rule-bench.ts'
import { piecesAimed, targetPlaces } from '../job/target-places.ts'
import { Refusal } from '../refusal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { database } from './client.ts'
import { ruleBookNow, ruleEntry } from './companion-rule.ts'
import { type FigureView, figureRead, figureView } from './figure.ts'
import { machineNow } from './machine-now.ts'
import { shelfCandidates } from './shelf-candidates.ts'

/** Newest closed jobs that are planned again, and how many at one request: so many take well under a second. */
export const BENCH_JOBS_MAX = 1000
const SLICE_JOBS = 40
const FIGURES_SHOWN = 30

interface Tried {
  book: RuleBook
  present: readonly Rule[]
  draft: readonly Rule[] | null
}

/** The rules in force and those that a draft would make of them. @throws Refusal companion/bad-rule with its fields. */
async function rulesTried(draft: RuleDraft | null): Promise<Tried> {
  const book = await ruleBookNow()
  if (draft === null) return { book, present: book.inForce, draft: null }
  return { book, present: book.inForce, draft: ruleBookWith(RULES, book, decisionOf(book, draft)).inForce }
}

function decisionOf(book: RuleBook, draft: RuleDraft): RuleDecision {
  if (draft.kind === 'switch') {
    ruleEntry(book, draft.ruleId)
    const content = book.decisions.find((one) => one.ruleId === draft.ruleId)?.content ?? null
    return { ruleId: draft.ruleId, state: draft.state, content }
  }
  const ruleId = draft.ruleId ?? DRAFT_ID
  const { decision, faults } = ruleDecided(book, ruleId, draft.form)
  if (!faults) return decision
  throw badDraft(faults)
}

function badDraft(faults: RuleFaults): Refusal {
  const fields = faults as Record<string, string>
  const why = [...new Set(Object.values(fields))].join('; ')
  return new Refusal('companion/bad-rule', { rule: 'as it is filled in', why }, { fields })
}

export interface FigureFound {
  id: number
  modelId: number
  says: string
}

/** Figures by number or title; with classes of part, those that list one of them. */
export async function figuresToTry(query: string, classes: readonly string[]): Promise<FigureFound[]> {
  const words = query.trim().slice(0, 80)
  const rows = await database().figureOfModel.findMany({
    where: {
      ...(words ? { OR: [{ number: { contains: words } }, { figure: { title: { contains: words } } }] } : {}),
      ...(!words && classes.length > 0
        ? { figure: { lines: { some: { retiredAt: null, part: { partClass: { in: [...classes] } } } } } }
        : {}),
    },
    include: { figure: { select: { title: true } }, model: { select: { maker: true, name: true } } },
    orderBy: [{ modelId: 'asc' }, { figureId: 'asc' }],
    take: FIGURES_SHOWN,
  })
  return rows.map((row) => ({
    id: row.figureId,
    modelId: row.modelId,
    says: `${row.model.maker} ${row.model.name}: ${row.number} ${row.figure.title}`,
  }))
}

export interface FigureToTry {
  id: number
  modelId: number
  positions: { code: string; label: string }[]
  /** Machines of the model, in the order of the fleet. */
  machines: { id: number; says: string }[]
  lines: {
    lineId: number
    says: string
    partClass: string
    stations: number | null
    /** Ends of the shaft that can be chosen. */
    ends: string[]
    quantity: number
  }[]
}

export async function figureToTry(figureId: number, modelId: number): Promise<FigureToTry> {
  const [figure, machines] = await Promise.all([
    figureRead(figureId, { modelId }),
    database().machine.findMany({ where: { modelId }, orderBy: { fleetKey: 'asc' }, take: FIGURES_SHOWN }),
  ])
  return {
    id: figure.id,
    modelId,
    machines: machines.map(({ id, fleetNumber, name }) => ({ id, says: `${fleetNumber} ${name}` })),
    positions: figure.positions.map(({ code, label }) => ({ code, label })),
    lines: figure.lines.map((line) => ({
      lineId: line.lineId,
      says: `${line.item} ${line.description}${line.side ? `, ${line.side}` : ''}`,
      partClass: line.partClass,
      stations: line.facts.stations ?? null,
      ends: targetPlaces(figure.positions, line.facts).ends,
      quantity: line.quantity,
    })),
  }
}

export interface TargetTried {
  lineId: number
  positions: readonly string[]
}

function targetsOf(figure: FigureView, tried: readonly TargetTried[]): PlanTarget[] {
  return tried.map(({ lineId, positions }) => {
    const line = figure.lines.find((one) => one.lineId === lineId)
    if (!line) throw new Refusal('figure/unknown-item', { item: lineId, where: `figure ${figure.number}` })
    const quantity = piecesAimed(line, figure.positions, positions)
    return { figureId: figure.id, item: line.item, positions: [...positions], quantity }
  })
}

/** What a job on these targets is also asked for, by the present rules beside those of the draft. Nothing is written. */
export async function ruleTryOnFigure(input: {
  draft: RuleDraft | null
  figureId: number
  modelId: number
  targets: readonly TargetTried[]
  /** A machine of the model, and the month it is; without one, rules that ask for the machine are silent. */
  machineId?: number | undefined
  today: PlainDate
}): Promise<ChangeShown[]> {
  const { present, draft } = await rulesTried(input.draft)
  const figure = await figureRead(input.figureId, { modelId: input.modelId })
  const machine =
    input.machineId === undefined
      ? undefined
      : await machineNow(database(), input.machineId, new Date(`${input.today}T12:00:00Z`))
  const shelf = await shelfCandidates(database())
  const targets = targetsOf(figure, input.targets)
  const asked = (rules: readonly Rule[]) => jobPlan({ figures: [figure], targets, rules, shelf, machine }).asked
  const before = asked(present)
  return suggestionsCompare(before, draft === null ? before : asked(draft)).map(changeShown)
}

export interface BenchSlice extends Pick<BenchRun, 'jobs' | 'present' | 'draft'> {
  differences: { jobId: number; number: number; machine: string; changes: ChangeShown[] }[]
  /** Jobs of the period that are looked at in all, at most BENCH_JOBS_MAX. */
  total: number
  /** Ask again with this number; null when it was the last slice. */
  before: number | null
}

/**
 * Plans a slice of closed jobs again, newest first, with the present rules and with the draft's. Reads only, outside of any
 * transaction; the caller asks for one slice after the other and adds them up.
 */
export async function ruleBenchSlice(input: {
  draft: RuleDraft | null
  from: string
  to: string
  before: number | null
  done: number
}): Promise<BenchSlice> {
  const rules = await rulesTried(input.draft)
  const db = database()
  const day = 24 * 3_600_000
  const where = {
    state: 'closed',
    closedAt: { gte: new Date(`${input.from}T00:00:00Z`), lt: new Date(Date.parse(`${input.to}T00:00:00Z`) + day) },
    targets: { some: {} },
  }
  const room = Math.min(SLICE_JOBS, BENCH_JOBS_MAX - input.done)
  const [total, jobs, shelf] = await Promise.all([
    db.job.count({ where }),
    db.job.findMany({
      where: { ...where, ...(input.before === null ? {} : { number: { lt: input.before } }) },
      orderBy: { number: 'desc' },
      take: Math.max(0, room),
      include: {
        machine: true,
        targets: { orderBy: { id: 'asc' } },
        needs: {
          select: { key: true, origin: true, state: true, declineReason: true, item: true, positions: true },
        },
        checks: { where: { kind: 'after-run' }, select: { key: true, state: true } },
      },
    }),
    shelfCandidates(db),
  ])
  const run = benchEmpty()
  const views = new Map<string, FigureView>()
  for (const job of jobs) {
    const { modelId, serialNumber } = job.machine
    const figures: FigureView[] = []
    for (const figureId of new Set(job.targets.map((target) => target.figureId))) {
      const lineIds = job.targets.filter((target) => target.figureId === figureId).map((target) => target.lineId)
      const key = `${figureId}/${modelId}/${serialNumber ?? ''}/${lineIds.join()}`
      const view = views.get(key) ?? (await figureView(db, figureId, { modelId, serialNumber, lineIds }))
      views.set(key, view)
      figures.push(view)
    }
    const machineThen = await machineNow(db, job.machineId, job.openedAt)
    benchJobAdd(run, { ...benchJobOf(job, figures), machineThen }, rules, shelf)
  }
  const last = jobs.at(-1)?.number ?? null
  const done = input.done + jobs.length
  const isOver = jobs.length < room || done >= BENCH_JOBS_MAX || last === null
  return {
    jobs: run.jobs,
    present: run.present,
    draft: run.draft,
    differences: run.differences.map((one) => ({ ...one, changes: one.changes.map(changeShown) })),
    total: Math.min(total, BENCH_JOBS_MAX),
    before: isOver ? null : last,
  }
}

function benchJobOf(
  job: {
    id: number
    number: number
    machine: { fleetNumber: string; name: string }
    targets: { figureId: number; lineId: number; item: string; positions: string; quantity: number }[]
    needs: {
      key: string
      origin: string
      state: string
      declineReason: string | null
      item: string | null
      positions: string
    }[]
    checks: { key: string; state: string }[]
  },
  figures: readonly FigureView[],
): Omit<BenchJob, 'machineThen'> {
  const { alsoStripped } = agreedElsewhere(job.needs, figures)
  return {
    jobId: job.id,
    number: job.number,
    machine: `${job.machine.fleetNumber} ${job.machine.name}`,
    figures,
    // A line that this serial number no longer has gives the engine nothing to start from.
    targets: job.targets
      .filter((target) => figures.some((figure) => figure.lines.some((line) => line.lineId === target.lineId)))
      .map((target) => ({ ...target, positions: JSON.parse(target.positions) as string[] })),
    alsoStripped,
    answers: new Map<string, { state: string; declineReason: string | null }>([
      ...job.needs.map((need) => [need.key, need] as const),
      ...job.checks.map((check) => {
        const state = check.state === 'done' ? 'accepted' : check.state === 'not-applicable' ? 'declined' : 'open'
        return [check.key, { state, declineReason: null }] as const
      }),
    ]),
  }
}
