import { must } from '../must.ts'
import { type Curve, readinessCurve } from '../readiness/curve.ts'
import { orderLastDay } from '../readiness/order-day.ts'
import { type PlanFault, planRead, type WorkPlan } from '../readiness/plan-check.ts'
import { CASES_ALL, type PlanKnown, planKnown, type Readiness, readiness } from '../readiness/readiness.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { type ChoiceCurve, choiceAt, choiceLines, choiceProposed } from './choice.ts'
import { stepCosts } from './money.ts'
import type { WinterPlanned } from './plan.ts'

/** Runs where too many causes tie parts together to be reckoned. */
const RUNS = 20_000
/** Parts that are named of one job, those most likely to lack first. */
const LACKS_MOST = 40
/** A part that lacks less often than this is not named. */
const LACK_LEAST = 0.002

export interface WorkAnswer {
  id: string
  /** That it waits for no part: as things stand, and when the list of the budget is bought. */
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
  /** Chance that no machine waits, as things stand and with the list of the budget. */
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
  curve: ChoiceCurve
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
  return {
    now: found.plan.chance,
    bought: bought.plan.chance,
    error: found.plan.error,
    isAtLeast: known.apart.size > 0,
    budgetMinor,
    works: worksOf(plan, found, bought, idOf),
    machines: machinesOf(plan, planned, found, bought),
    curve: kept,
    parts: partsOf(plan, found, known, curve, idOf),
    leftOut: curve.leftOut.map((part) => idOf[part]!),
    faults: [...planned.faults, ...faults],
  }
}

function worksOf(plan: WorkPlan, found: Readiness, bought: Readiness, idOf: readonly number[]): WorkAnswer[] {
  const lacks: WorkAnswer['lacks'][] = plan.jobs.map(() => [])
  const later = new Map(bought.parts.map((one) => [one.part, one.jobs]))
  for (const { part, jobs } of found.parts)
    for (const [job, now] of jobs)
      if (now < 1 - LACK_LEAST) lacks[job]!.push({ partId: idOf[part]!, now, bought: later.get(part)?.get(job) ?? now })
  return plan.jobs.map(({ id }, at) => ({
    id,
    now: found.jobs[at]!.chance,
    bought: bought.jobs[at]!.chance,
    lacks: lacks[at]!.sort((a, b) => a.now - b.now || a.partId - b.partId).slice(0, LACKS_MOST),
  }))
}

function machinesOf(plan: WorkPlan, planned: WinterPlanned, found: Readiness, bought: Readiness) {
  const machineOf = new Map(planned.works.map(({ id, machineId }) => [id, machineId]))
  const seen = new Map<number, number>()
  for (const { id, machine } of plan.jobs) seen.set(machine, machineOf.get(id)!)
  return [...seen].map(([at, machineId]) => ({
    machineId,
    now: found.machines[at]!.chance,
    bought: bought.machines[at]!.chance,
  }))
}
