import { type SuggestionChange, suggestionsCompare } from '../companion/compare.ts'
import type { MachineNow } from '../companion/machine-now.ts'
import type { Rule } from '../companion/rule.ts'
import type { PartOnFile } from '../companion/suggest.ts'
import { jobPlan } from './plan.ts'
import type { PlanFigure, PlanTarget } from './plan-figure.ts'
import { countEmpty, type RuleCount } from './rule-count.ts'

/** A job that is over, as it is planned again: its targets, and what was said to each suggestion then. */
export interface BenchJob {
  jobId: number
  number: number
  machine: string
  /** As it was when the job was opened. */
  machineThen: MachineNow
  figures: readonly PlanFigure[]
  targets: readonly PlanTarget[]
  alsoStripped: ReadonlyMap<number, readonly string[]>
  answers: ReadonlyMap<string, { state: string; declineReason: string | null }>
}

export interface BenchDifference {
  jobId: number
  number: number
  machine: string
  changes: SuggestionChange[]
}

export interface BenchRun {
  jobs: number
  present: Record<string, RuleCount>
  draft: Record<string, RuleCount>
  differences: BenchDifference[]
}

export const benchEmpty = (): BenchRun => ({ jobs: 0, present: {}, draft: {}, differences: [] })

function countAdd(
  counts: Record<string, RuleCount>,
  job: BenchJob,
  suggestions: readonly { jobKey: string; reasons: readonly { ruleId: string }[] }[],
): void {
  const seen = new Set<string>()
  for (const { jobKey, reasons } of suggestions) {
    const answer = job.answers.get(jobKey)
    for (const ruleId of new Set(reasons.map((reason) => reason.ruleId))) {
      counts[ruleId] ??= countEmpty()
      const count = counts[ruleId]
      if (!seen.has(ruleId)) count.jobs += 1
      seen.add(ruleId)
      count.fired += 1
      if (!answer) count.unasked += 1
      else if (answer.state === 'declined') {
        count.declined += 1
        const why = answer.declineReason || 'no reason given'
        count.reasons[why] = (count.reasons[why] ?? 0) + 1
      } else if (answer.state === 'open') count.left += 1
      else count.accepted += 1
    }
  }
}

/** Plans one job with both sets of rules and adds what came of it to the run. */
export function benchJobAdd(
  run: BenchRun,
  job: BenchJob,
  rules: { present: readonly Rule[]; draft: readonly Rule[] | null },
  shelf: readonly PartOnFile[],
): void {
  const { figures, targets, alsoStripped, machineThen: machine } = job
  const before = jobPlan({ figures, targets, rules: rules.present, shelf, alsoStripped, machine }).asked
  run.jobs += 1
  countAdd(run.present, job, before)
  if (rules.draft === null) return
  const after = jobPlan({ figures, targets, rules: rules.draft, shelf, alsoStripped, machine }).asked
  countAdd(run.draft, job, after)
  const changes = suggestionsCompare(before, after).filter((change) => change.kind !== 'same')
  if (changes.length > 0) run.differences.push({ jobId: job.jobId, number: job.number, machine: job.machine, changes })
}
