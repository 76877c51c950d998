import { type Random, randomBeta, randomGamma, randomPoisson } from '../maths/random.ts'
import type { GroupChance, PartChance } from './group-chance.ts'
import { seasonShare } from './part-need.ts'
import type { WorkChance, WorkPlan } from './plan-check.ts'
import type { LinesByPart, PlanLines } from './plan-needs.ts'

/** What one run found of one part: how short it was at each job that needed some, for reckoning what buying would have helped. */
export interface RunShort {
  job: number
  short: number
}

export interface Simulated {
  chance: GroupChance
  /** By part of the group, by run: only runs in which a job waited. */
  shorts: Map<number, RunShort[]>[]
}

/** Progress is told once in so many runs. */
const RUNS_TOLD = 100

/** Standard error of a share of runs; none and all of them are taken as one more than seen, so that it is never nothing. */
export function runsError(share: number, runs: number): number {
  const seen = Math.min(Math.max(share * runs, 1), runs - 1)
  return runs < 2 ? 0.5 : Math.sqrt(((seen / runs) * (1 - seen / runs)) / runs)
}

/**
 * Season after season by dice: chances of looks, causes and rates of failures are drawn first, then what each job finds. Knows
 * nothing of how chances are reckoned, so it proves them; and it stands in where too many causes tie parts together.
 */
export function simulate(
  plan: WorkPlan,
  parts: readonly number[],
  { ties }: PlanLines,
  byPart: LinesByPart,
  { random, runs, progress }: { random: Random; runs: number; progress?: (done: number, of: number) => void },
): Simulated {
  const jobs = new Map<number, number>()
  const machines = new Map<number, number>()
  const found = parts.map(
    (part): PartChance => ({ part, chance: 0, jobs: new Map(), planned: new Map(), all: new Map() }),
  )
  const shorts = parts.map(() => new Map<number, RunShort[]>())
  const add = (map: Map<number, number>, key: number) => map.set(key, (map.get(key) ?? 0) + 1)
  const supply = parts.map((part) =>
    (byPart.get(part) ?? []).map(({ job }) =>
      plan.parts[part]!.onOrder.reduce(
        (sum, { quantity, date }) => (date <= plan.jobs[job]!.date ? sum + quantity : sum),
        plan.parts[part]!.free,
      ),
    ),
  )
  const jobsOf = new Set(parts.flatMap((part) => (byPart.get(part) ?? []).map(({ job }) => job)))
  const machinesOf = new Set([...jobsOf].map((job) => plan.jobs[job]!.machine))
  let whole = 0
  for (let run = 0; run < runs; run++) {
    if (run % RUNS_TOLD === 0) progress?.(run, runs)
    const looks = new Map<number, number>()
    const chanceOf = (chance: WorkChance): number => {
      if ('given' in chance) return chance.given
      const { a, b } = plan.looks[chance.look]!
      const drawn = looks.get(chance.look) ?? randomBeta(random, a, b)
      looks.set(chance.look, drawn)
      return drawn
    }
    const opened = new Map<number, boolean>()
    const isOpened = (tie: number): boolean => {
      const is = opened.get(tie) ?? random() < chanceOf(ties[tie]!.chance)
      opened.set(tie, is)
      return is
    }
    const waiting = new Set<number>()
    for (const [at, part] of parts.entries()) {
      const { failures } = plan.parts[part]!
      const rate = failures
        ? failures.shape === null
          ? failures.mean
          : (failures.mean * randomGamma(random, failures.shape)) / failures.shape
        : 0
      let planned = 0
      let failed = 0
      let share = 0
      let isShort = false
      for (const [step, { job, lines }] of (byPart.get(part) ?? []).entries()) {
        const until = Math.max(share, seasonShare(plan, plan.jobs[job]!.date))
        if (failures && until > share) failed += failures.quantity * randomPoisson(random, rate * (until - share))
        share = until
        let own = 0
        for (const { quantity, places, chance, tie } of lines) {
          if (tie !== null && !isOpened(tie)) continue
          if (chance === null) own += quantity * places
          else {
            const worn = chanceOf(chance)
            for (let place = 0; place < places; place++) if (random() < worn) own += quantity
          }
        }
        planned += own
        const short = planned + failed - supply[at]![step]!
        if (own > 0 && short > 0) {
          isShort = true
          waiting.add(job)
          const before = shorts[at]!.get(run) ?? []
          before.push({ job, short })
          shorts[at]!.set(run, before)
        } else add(found[at]!.jobs, job)
      }
      if (failures && share < 1) failed += failures.quantity * randomPoisson(random, rate * (1 - share))
      add(found[at]!.planned, planned)
      add(found[at]!.all, planned + failed)
      if (!isShort) found[at]!.chance += 1
    }
    if (waiting.size === 0) whole += 1
    const waitingMachines = new Set([...waiting].map((job) => plan.jobs[job]!.machine))
    for (const job of jobsOf) if (!waiting.has(job)) add(jobs, job)
    for (const machine of machinesOf) if (!waitingMachines.has(machine)) add(machines, machine)
  }
  for (const job of jobsOf) if (!jobs.has(job)) jobs.set(job, 0)
  for (const machine of machinesOf) if (!machines.has(machine)) machines.set(machine, 0)
  // Counted in whole runs and shared out once, so that all of them are exactly 1.
  const shared = (counts: Map<number, number>) => new Map([...counts].map(([key, count]) => [key, count / runs]))
  const chance = {
    plan: whole / runs,
    jobs: shared(jobs),
    machines: shared(machines),
    parts: found.map((one) => ({
      part: one.part,
      chance: one.chance / runs,
      jobs: shared(one.jobs),
      planned: shared(one.planned),
      all: shared(one.all),
    })),
    runs,
  }
  return { chance, shorts }
}
