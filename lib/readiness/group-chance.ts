import { NeedSoFar, type PartNeed } from './part-need.ts'
import { needLimits, planChance, someChance, stepChances } from './part-wait.ts'
import { NO_PIECES, piecesSum } from './pieces.ts'
import type { WorkPlan } from './plan-check.ts'
import type { GroupCase } from './plan-needs.ts'

/** Amounts of a part in its smallest unit, each with its chance. */
export type Amounts = Map<number, number>

export interface PartChance {
  part: number
  /** Chance that no planned job waits for this part. */
  chance: number
  /** The same for each of its jobs. */
  jobs: Map<number, number>
  /** What planned work needs, and what is needed with the failures of the whole season. */
  planned: Amounts
  all: Amounts
}

/** What is known of a group of parts: chances that no job waits for any of them. */
export interface GroupChance {
  plan: number
  jobs: Map<number, number>
  machines: Map<number, number>
  parts: PartChance[]
  /** Runs of a simulation where it was too large to be reckoned; null where the answer is exact. */
  runs: number | null
}

const add = <Key>(map: Map<Key, number>, key: Key, value: number) => map.set(key, (map.get(key) ?? 0) + value)
const times = <Key>(map: Map<Key, number>, key: Key, value: number) => map.set(key, (map.get(key) ?? 1) * value)

/** Chance below which an amount is not listed. */
const LISTED = 1e-15

function amountsAdd(to: Amounts, need: PartNeed, weight: number, share: number): void {
  const soFar = new NeedSoFar(need)
  for (const step of need.steps) soFar.add(step)
  const { from, chances } = soFar.all(share).reduce(piecesSum, NO_PIECES)
  for (let at = 0; at < chances.length; at++)
    if (chances[at]! > LISTED) add(to, soFar.fixed + (from + at) * need.grain, weight * chances[at]!)
}

/** Amounts of a part that no job needs: what may fail. */
export function failuresAlone(need: PartNeed): Amounts {
  const all: Amounts = new Map()
  amountsAdd(all, need, 1, 1)
  return all
}

/** Chance of each machine of the steps that it does not wait for the part. */
function machineChances(plan: WorkPlan, need: PartNeed, limits: readonly number[], steps: readonly number[]) {
  const byMachine = new Map<number, number[]>()
  for (const [at, { job }] of need.steps.entries()) {
    const { machine } = plan.jobs[job]!
    const own = byMachine.get(machine)
    if (own) own.push(at)
    else byMachine.set(machine, [at])
  }
  return [...byMachine].map(
    ([machine, own]) => [machine, own.length === 1 ? steps[own[0]!]! : someChance(need, limits, own)] as const,
  )
}

/** Exact: in each case the parts know nothing of each other, so chances are multiplied within it and averaged over all. */
export function groupChance(plan: WorkPlan, parts: readonly number[], cases: Iterable<GroupCase>): GroupChance {
  const answer: GroupChance = {
    plan: 0,
    jobs: new Map(),
    machines: new Map(),
    parts: parts.map((part) => ({ part, chance: 0, jobs: new Map(), planned: new Map(), all: new Map() })),
    runs: null,
  }
  for (const { weight, needs } of cases) {
    let whole = 1
    const jobs = new Map<number, number>()
    const machines = new Map<number, number>()
    for (const [at, need] of needs.entries()) {
      const limits = needLimits(need, plan.parts[need.part]!)
      const steps = stepChances(need, limits)
      const chance = planChance(need, limits)
      const own = answer.parts[at]!
      whole *= chance
      own.chance += weight * chance
      for (const [step, { job }] of need.steps.entries()) {
        add(own.jobs, job, weight * steps[step]!)
        times(jobs, job, steps[step]!)
      }
      for (const [machine, one] of machineChances(plan, need, limits, steps)) times(machines, machine, one)
      amountsAdd(own.planned, need, weight, 0)
      amountsAdd(own.all, need, weight, 1)
    }
    answer.plan += weight * whole
    for (const [job, chance] of jobs) add(answer.jobs, job, weight * chance)
    for (const [machine, chance] of machines) add(answer.machines, machine, weight * chance)
  }
  return answer
}

/** Chance that a stock is enough for a need. */
export function amountsAtMost(amounts: Amounts, stock: number): number {
  let chance = 0
  let total = 0
  for (const [amount, one] of amounts) {
    total += one
    if (amount <= stock) chance += one
  }
  return total > 0 ? Math.min(1, chance / total) : 1
}

/**
 * Pieces short with `stock` at hand: mean and variance of (need - stock)+, in the words of the textbooks expected backorders and
 * their variance (Sherbrooke, Optimal Inventory Modeling of Systems, 2nd edition, chapters 2 and 5).
 */
export function amountsShort(amounts: Amounts, stock: number): { mean: number; variance: number } {
  let mean = 0
  let square = 0
  for (const [amount, chance] of amounts)
    if (amount > stock) {
      mean += (amount - stock) * chance
      square += (amount - stock) ** 2 * chance
    }
  return { mean, variance: Math.max(0, square - mean * mean) }
}
