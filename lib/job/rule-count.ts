/** What one rule did over the jobs. A suggestion that several rules ask for counts for each of them. */
export interface RuleCount {
  /** Jobs in which it asked for something. */
  jobs: number
  /** Suggestions it asked for. */
  fired: number
  accepted: number
  declined: number
  /** Offered and never answered. */
  left: number
  /** Not offered when the job was done: the rule or the figure is newer. */
  unasked: number
  /** Why it was declined, and how often. */
  reasons: Record<string, number>
}

/** What the present rules and those of a draft did over so many jobs, by rule. */
export interface RuleCounts {
  jobs: number
  present: Record<string, RuleCount>
  draft: Record<string, RuleCount>
}

export const countEmpty = (): RuleCount => ({
  jobs: 0,
  fired: 0,
  accepted: 0,
  declined: 0,
  left: 0,
  unasked: 0,
  reasons: {},
})

function countsSum(a: Record<string, RuleCount>, b: Record<string, RuleCount>): Record<string, RuleCount> {
  const sum = { ...a }
  for (const [ruleId, more] of Object.entries(b)) {
    const before = sum[ruleId] ?? countEmpty()
    const reasons = { ...before.reasons }
    for (const [why, times] of Object.entries(more.reasons)) reasons[why] = (reasons[why] ?? 0) + times
    sum[ruleId] = {
      jobs: before.jobs + more.jobs,
      fired: before.fired + more.fired,
      accepted: before.accepted + more.accepted,
      declined: before.declined + more.declined,
      left: before.left + more.left,
      unasked: before.unasked + more.unasked,
      reasons,
    }
  }
  return sum
}

/** The counts of two slices of jobs together; a run over many jobs is the sum of its slices. */
export function benchSum(a: RuleCounts, b: RuleCounts): RuleCounts {
  return { jobs: a.jobs + b.jobs, present: countsSum(a.present, b.present), draft: countsSum(a.draft, b.draft) }
}
