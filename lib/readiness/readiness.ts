import type { Distribution } from '../demand/distribution-shape.ts'
import { empirical } from '../demand/empirical.ts'
import { randomSeeded } from '../maths/random.ts'
import { must } from '../must.ts'
import {
  type Amounts,
  amountsAtMost,
  amountsShort,
  failuresAlone,
  type GroupChance,
  groupChance,
  type PartChance,
} from './group-chance.ts'
import { partNeed } from './part-need.ts'
import { linesApart } from './parts-apart.ts'
import type { WorkPlan } from './plan-check.ts'
import {
  groupCaseCount,
  groupCases,
  type LinesByPart,
  linesByPart,
  type PartGroup,
  type PlanLines,
  partGroups,
  planLines,
} from './plan-needs.ts'
import { runsError, type Simulated, simulate } from './simulate.ts'

/** Cases times jobs of a group that are reckoned exactly; a larger one is simulated. */
const EXACT_MOST = 200_000

/** A chance with its standard error, 0 where it is exact. */
export interface Chance {
  chance: number
  error: number
}

export interface PartReadiness {
  part: number
  /** That no planned job waits for it. */
  readiness: Chance
  /** Chance for each of its jobs. */
  jobs: Map<number, number>
  /** Needed whatever is found. */
  certain: number
  /** What planned work needs in all, and what is needed with the failures of the whole season. */
  planned: Distribution
  all: Distribution
  allAmounts: Amounts
  failuresMean: number
  stock: number
  /** Chance that what is there and on order is enough for planned work and failures. */
  covered: number
  short: { mean: number; deviation: number }
}

export interface Readiness {
  plan: Chance
  jobs: Chance[]
  machines: Chance[]
  parts: PartReadiness[]
  /** Most that any group needed by dice; null where all is exact. */
  runs: number | null
}

/** One group with all that is asked of it again when pieces are bought. */
export interface GroupKnown {
  group: PartGroup
  chance: GroupChance
  simulated: Simulated | null
}

export interface PlanKnown {
  lines: PlanLines
  byPart: LinesByPart
  groups: GroupKnown[]
  /** Parts that are reckoned as though nothing were needed together with them: chances said are then at least so good. */
  apart: ReadonlySet<number>
  /** Those of them whose own chances are near only (`LinesApart`). */
  rough: ReadonlySet<number>
}

export interface Dice {
  seed: string
  runs: number
}

/** Cases times jobs of all groups together for which a plan is reckoned in about a second. */
export const CASES_ALL = 60_000

/**
 * Reckons every group of parts by itself: exactly where it has few cases, else by dice. Where `casesAll` is
 * named, groups are taken apart before that (`linesApart`), for as many cases in all. `progress` hears of each that is done.
 */
export function planKnown(
  plan: WorkPlan,
  { seed, runs }: Dice,
  progress: (done: number, of: number) => void = () => undefined,
  casesAll: number | null = null,
): PlanKnown {
  const whole = planLines(plan)
  const nothing: ReadonlySet<number> = new Set()
  const { lines, apart, rough } =
    casesAll !== null ? linesApart(plan, whole, casesAll) : { lines: whole, apart: nothing, rough: nothing }
  const byPart = linesByPart(lines)
  const groups = partGroups(plan, lines, apart).map((group, at, all): GroupKnown => {
    progress(at, all.length)
    const steps = group.parts.reduce((sum, part) => sum + byPart.get(part)!.length, 0)
    const cases = groupCaseCount(group)
    if (cases === 1 || cases * steps <= EXACT_MOST)
      return { group, chance: groupChance(plan, group.parts, groupCases(plan, group, lines, byPart)), simulated: null }
    // A stream of its own for each group, so that one more part elsewhere changes nothing here.
    const random = randomSeeded(`${seed}/${group.parts.map((part) => plan.parts[part]!.id).join('/')}`)
    const simulated = simulate(plan, group.parts, lines, byPart, { random, runs })
    return { group, chance: simulated.chance, simulated }
  })
  return { lines, byPart, groups, apart, rough }
}

/** The whole plan by dice with all that is needed together, parts that stand apart in the reckoning too: to hold beside it. */
export function planSimulated(
  plan: WorkPlan,
  { seed, runs }: Dice,
  progress: (done: number, of: number) => void = () => undefined,
): GroupChance {
  const lines = planLines(plan)
  const byPart = linesByPart(lines)
  return simulate(plan, [...byPart.keys()], lines, byPart, { random: randomSeeded(seed), runs, progress }).chance
}

/** Chances of things that know nothing of each other, multiplied; the error by its first order (sum of relative variances). */
class Product {
  private chance = 1
  private variance = 0

  times(chance: number, runs: number | null): void {
    if (runs !== null && chance > 0) this.variance += (runsError(chance, runs) / chance) ** 2
    else if (runs !== null) this.variance += 1
    this.chance *= Math.min(1, Math.max(0, chance))
  }

  answer(): Chance {
    return { chance: this.chance, error: this.chance * Math.sqrt(this.variance) }
  }
}

function distribution(amounts: Amounts): Distribution {
  const rising = [...amounts].sort(([a], [b]) => a - b)
  return empirical(
    rising.map(([amount]) => amount),
    rising.map(([, chance]) => chance),
  )
}

function partReadiness(plan: WorkPlan, certain: number, known: PartChance, runs: number | null): PartReadiness {
  const { free, onOrder, failures } = plan.parts[known.part]!
  const stock = onOrder.reduce((sum, { quantity }) => sum + quantity, free)
  const { mean, variance } = amountsShort(known.all, stock)
  const readiness = Math.min(1, known.chance)
  return {
    part: known.part,
    readiness: { chance: readiness, error: runs === null ? 0 : runsError(readiness, runs) },
    jobs: known.jobs,
    certain,
    planned: distribution(known.planned),
    all: distribution(known.all),
    allAmounts: known.all,
    failuresMean: failures ? failures.mean * failures.quantity : 0,
    stock,
    covered: amountsAtMost(known.all, stock),
    short: { mean, deviation: Math.sqrt(variance) },
  }
}

/**
 * Readiness: the chance that planned work finishes without waiting for a part; of each part, each job, each machine and the whole
 * plan. Jobs are given their parts in their order (how much they matter, then their day); failures take theirs as they come up,
 * spread evenly over the season. A job that turns out to need none of a part does not wait for it.
 */
export function readiness(plan: WorkPlan, { groups, byPart }: PlanKnown): Readiness {
  const whole = new Product()
  const jobs = plan.jobs.map(() => new Product())
  const machines = plan.machines.map(() => new Product())
  const parts: PartReadiness[] = []
  let runs: number | null = null
  for (const { chance } of groups) {
    runs ??= chance.runs
    whole.times(chance.plan, chance.runs)
    for (const [job, one] of chance.jobs) jobs[job]!.times(one, chance.runs)
    for (const [machine, one] of chance.machines) machines[machine]!.times(one, chance.runs)
    for (const known of chance.parts) {
      let certain = 0
      for (const { lines } of byPart.get(known.part)!)
        for (const line of lines) if (line.chance === null && line.tie === null) certain += line.quantity * line.places
      parts.push(partReadiness(plan, certain, known, chance.runs))
    }
  }
  for (const [part, { failures }] of plan.parts.entries())
    if (failures && !byPart.has(part)) {
      const all = failuresAlone(partNeed(plan, part, []))
      const nothing: Amounts = new Map([[0, 1]])
      parts.push(partReadiness(plan, 0, { part, chance: 1, jobs: new Map(), planned: nothing, all }, null))
    }
  const answer: Readiness = {
    plan: whole.answer(),
    jobs: jobs.map((one) => one.answer()),
    machines: machines.map((one) => one.answer()),
    parts: parts.sort((a, b) => a.part - b.part),
    runs,
  }
  for (const { chance } of [answer.plan, ...answer.jobs, ...answer.machines])
    must(chance >= 0 && chance <= 1, 'a chance lies between 0 and 1')
  return answer
}
