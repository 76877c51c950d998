import { must } from '../must.ts'
import { type Curve, readinessCurve } from '../readiness/curve.ts'
import { orderLastDay } from '../readiness/order-day.ts'
import { type PlanFault, planRead, type WorkPlan } from '../readiness/plan-check.ts'
import { CASES_ALL, type PlanKnown, planKnown, type Readiness, readiness } from '../readiness/readiness.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { type ChoiceCurve, choiceAt, choiceLines, choiceProposed } from './choice.ts'
import { lateLast, type SureWait } from './late.ts'
import { stepCosts } from './money.ts'
import type { WinterPlanned, WinterWork } from './plan.ts'

/** Runs where too many causes tie parts together to be reckoned. */
const RUNS = 20_000
/** Parts that are named of one job, those most likely to lack first. */
const LACKS_MOST = 40
/** A part that lacks less often than this is not named. */
const LACK_LEAST = 0.002

export interface WorkAnswer {
  id: string
  /** That it has its parts by its day: as things stand, and when the list of the budget is bought. 0 where something is `late`. */
  now: number
  bought: number
  /** Parts that lack or may lack, with the chance that they do not; 0: certain to lack. */
  lacks: { partId: number; now: number; bought: number }[]
}

export interface PartAnswer {
  partId: number
  certain: number
  /** Expected with failures, and enough with 95 of 100; minor units. */
  mean: number
  enough: number
  /** Free and on order. */
  stock: number
  neededOn: PlainDate
  /** Last day on which it can be ordered to be there in time. */
  lastDay: PlainDate
}

/** All that was reckoned of a winter plan, as plain values that can be kept. */
export interface WinterAnswer {
  /** Chance that no machine waits, as things stand and with the list of the budget; 0 where one waits in any case (`waits`). */
  now: number
  bought: number
  /** What the dice leave open of it; 0 where all is exact. */
  error: number
  /** Whether chances of jobs, machines and the plan may be better than said, since too many parts hang together (`linesApart`). */
  isAtLeast: boolean
  /** For which `bought` is said: goods and carriage of the whole season, money minor units. */
  budgetMinor: number
  works: WorkAnswer[]
  machines: { machineId: number; now: number; bought: number }[]
  /** The readiness of it is that no machine waits but those of `waits`, which are reckoned with the day on which their parts can come. */
  curve: ChoiceCurve
  /** Machines that wait whatever is bought. */
  waits: SureWait[]
  parts: PartAnswer[]
  /** Parts that some job lacks whatever is bought. */
  leftOut: number[]
  faults: PlanFault[]
}

interface Asked {
  /** Kept by somebody; null: one is proposed. */
  budgetMinor: number | null
  /** What orders of the plan have cost so far. */
  spentMinor: number
}

type Progress = (step: string, done: number, of: number) => void

/** The plan with the list of a budget on order. */
function planBought(
  plan: WorkPlan,
  curve: ChoiceCurve,
  count: number,
  partAt: ReadonlyMap<number, number>,
  arrives: (part: number) => PlainDate,
): WorkPlan {
  const parts = [...plan.parts]
  for (const [partId, { pieces }] of choiceLines(curve, count)) {
    const at = partAt.get(partId)!
    const part = parts[at]!
    const onOrder = [...part.onOrder, { quantity: pieces, date: arrives(at) }].sort((a, b) =>
      a.date < b.date ? -1 : 1,
    )
    parts[at] = { ...part, onOrder }
  }
  return { ...plan, parts }
}

function curveKept(
  plan: WorkPlan,
  curve: Curve,
  idOf: readonly number[],
  { byHand, prices }: Pick<WinterPlanned, 'byHand' | 'prices'>,
  { spentMinor, error }: { spentMinor: number; error: number },
): ChoiceCurve {
  const steps = curve.steps.map(({ part, packs, readiness: reached, isCertain }) => ({
    partId: idOf[part]!,
    pieces: packs * plan.parts[part]!.pack,
    readiness: reached,
    isCertain,
  }))
  const costs = stepCosts(steps, byHand, prices)
  // What is bought together or not at all is paid for together.
  for (let at = steps.length - 2; at >= 0; at--) if (curve.steps[at]!.isWithNext) costs[at + 1] = costs[at + 2]!
  return {
    baseMinor: spentMinor + costs[0]!,
    start: curve.start,
    error,
    steps: steps.map((step, at) => ({ ...step, costMinor: spentMinor + costs[at + 1]! })),
  }
}

function partsOf(
  plan: WorkPlan,
  found: Readiness,
  known: PlanKnown,
  curve: Curve,
  idOf: readonly number[],
): PartAnswer[] {
  return found.parts.map(({ part, certain, all, stock }) => {
    const { offer } = plan.parts[part]!
    const first = (known.byPart.get(part) ?? []).map(({ job }) => plan.jobs[job]!.date).sort()[0]
    const neededOn = curve.neededOn.get(part) ?? first ?? plan.season.until
    const lastDay =
      offer === null ? neededOn : orderLastDay(neededOn, offer.leadDays, plan.suppliers[offer.supplier]!.orderDays)
    return { partId: idOf[part]!, certain, mean: all.mean, enough: all.quantile(0.95), stock, neededOn, lastDay }
  })
}

/**
 * Reckons a winter plan: readiness as things stand, the curve of what to buy, and readiness with the list of the budget bought.
 * Deterministic: dice begin with a fixed seed.
 */
export function winterAnswer(planned: WinterPlanned, asked: Asked, progress: Progress = () => undefined): WinterAnswer {
  const { plan, faults } = planRead(planned.file)
  must(plan !== null, 'the head of a winter plan can be read')
  const dice = { seed: 'winter', runs: RUNS }
  const known = planKnown(plan, dice, (done, of) => progress('Reckoning what is needed', done, of), CASES_ALL)
  const found = readiness(plan, known)
  progress('Reckoning what to buy', 0, 1)
  const curve = readinessCurve(plan, known)
  const ids = new Map([...planned.partNames].map(([id, name]) => [name, id]))
  const idOf = plan.parts.map(({ id }) => ids.get(id)!)
  const partAt = new Map(idOf.map((id, at) => [id, at]))
  const kept = curveKept(plan, curve, idOf, planned, { spentMinor: asked.spentMinor, error: found.plan.error })
  const budgetMinor = asked.budgetMinor ?? choiceProposed(kept)
  const { count } = choiceAt(kept, budgetMinor)
  const after = planBought(plan, kept, count, partAt, (at) => planned.arrivals.get(idOf[at]!)!)
  const bought = readiness(
    after,
    planKnown(after, dice, (done, of) => progress('Reckoning with what is bought', done, of), CASES_ALL),
  )
  const waits = sureWaits(plan, planned, bought, curve.leftOut)
  const isSure = waits.length > 0
  return {
    now: isSure ? 0 : found.plan.chance,
    bought: isSure ? 0 : bought.plan.chance,
    error: found.plan.error,
    isAtLeast: known.apart.size > 0,
    budgetMinor,
    works: worksOf(plan, planned, found, bought, idOf),
    machines: machinesOf(plan, planned, found, bought),
    curve: kept,
    waits,
    parts: partsOf(plan, found, known, curve, idOf),
    leftOut: curve.leftOut.map((part) => idOf[part]!),
    faults: [...planned.faults, ...faults],
  }
}

/** So small is only what rounding leaves of nothing. */
const NOTHING = 1e-12

/** Machines that wait whatever is bought: for what comes too late, or for what is not to be had; each with what it waits for longest. */
function sureWaits(plan: WorkPlan, planned: WinterPlanned, bought: Readiness, leftOut: readonly number[]): SureWait[] {
  const lackedBy = new Map<number, number>()
  for (const { part, jobs } of bought.parts)
    if (leftOut.includes(part)) for (const [job, chance] of jobs) if (chance < NOTHING) lackedBy.set(job, part)
  const works = worksById(planned)
  const waits = new Map<number, SureWait>()
  for (const [at, { id, machine: machineAt }] of plan.jobs.entries()) {
    const { machineId, late } = works.get(id)!
    const lacked = lackedBy.get(at)
    const last = lateLast(late)
    if (lacked === undefined && last === null) continue
    const machine = plan.machines[machineAt]!.id
    const one: SureWait =
      lacked === undefined
        ? { machineId, machine, part: planned.partNames.get(last!.partId)!, until: last!.on }
        : { machineId, machine, part: plan.parts[lacked]!.id, until: null }
    const before = waits.get(machineId)
    const isLonger = before === undefined || one.until === null || (before.until !== null && one.until > before.until)
    if (isLonger) waits.set(machineId, one)
  }
  return [...waits.values()].sort((a, b) => a.machine.localeCompare(b.machine, 'en', { numeric: true }))
}

const worksById = ({ works }: WinterPlanned): Map<string, WinterWork> => new Map(works.map((one) => [one.id, one]))

function worksOf(
  plan: WorkPlan,
  planned: WinterPlanned,
  found: Readiness,
  bought: Readiness,
  idOf: readonly number[],
): WorkAnswer[] {
  const lacks: WorkAnswer['lacks'][] = plan.jobs.map(() => [])
  const later = new Map(bought.parts.map((one) => [one.part, one.jobs]))
  for (const { part, jobs } of found.parts)
    for (const [job, now] of jobs)
      if (now < 1 - LACK_LEAST) lacks[job]!.push({ partId: idOf[part]!, now, bought: later.get(part)?.get(job) ?? now })
  const works = worksById(planned)
  return plan.jobs.map(({ id }, at) => {
    const { late } = works.get(id)!
    const isLate = new Set(late.map(({ partId }) => partId))
    const own = [
      ...late.map(({ partId }) => ({ partId, now: 0, bought: 0 })),
      ...lacks[at]!.filter(({ partId }) => !isLate.has(partId)),
    ]
    return {
      id,
      now: late.length > 0 ? 0 : found.jobs[at]!.chance,
      bought: late.length > 0 ? 0 : bought.jobs[at]!.chance,
      lacks: own.sort((a, b) => a.now - b.now || a.partId - b.partId).slice(0, LACKS_MOST),
    }
  })
}

function machinesOf(plan: WorkPlan, planned: WinterPlanned, found: Readiness, bought: Readiness) {
  const works = worksById(planned)
  const seen = new Map<number, number>()
  const late = new Set<number>()
  for (const { id, machine } of plan.jobs) {
    const work = works.get(id)!
    seen.set(machine, work.machineId)
    if (work.late.length > 0) late.add(machine)
  }
  return [...seen].map(([at, machineId]) => ({
    machineId,
    now: late.has(at) ? 0 : found.machines[at]!.chance,
    bought: late.has(at) ? 0 : bought.machines[at]!.chance,
  }))
}
