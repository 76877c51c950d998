import { type Candidate, likelyCallouts, mostFrequent, type PastJob } from '../../lib/fault/rank.ts'

export const share = (hits: number, jobs: number) => (jobs === 0 ? '-' : `${Math.round((100 * hits) / jobs)} %`)

/** Words in common with past jobs of the callout, nothing else: what a search by hand gives. */
function unsmoothed(told: readonly string[], candidates: readonly Candidate[], past: readonly PastJob[]): string[] {
  const alike = new Map<string, number>()
  for (const job of past) {
    const common = job.words.filter((word) => told.includes(word)).length
    for (const { key } of job.found) alike.set(key, Math.max(alike.get(key) ?? 0, common))
  }
  return candidates.map(({ key }) => key).sort((a, b) => (alike.get(b) ?? 0) - (alike.get(a) ?? 0) || (a < b ? -1 : 1))
}

/** How often the callout that was found stands among the first when the job itself is left out. */
export function leaveOneOut<Job extends PastJob>(
  candidates: readonly Candidate[],
  past: readonly Job[],
  asks: (job: Job) => boolean,
) {
  const score = { jobs: 0, first: 0, three: 0, five: 0, frequentThree: 0, unsmoothedThree: 0 }
  for (const job of past) {
    if (!asks(job) || job.found.length === 0) continue
    const others = past.filter((other) => other !== job)
    const hit = (keys: readonly string[], within: number) =>
      keys.slice(0, within).some((key) => job.found.some((one) => one.key === key)) ? 1 : 0
    const ranked = likelyCallouts(job.words, candidates, others).map(({ key }) => key)
    const often = mostFrequent(candidates, others)
    score.jobs += 1
    score.first += hit(ranked, 1)
    score.three += hit(ranked, 3)
    score.five += hit(ranked, 5)
    score.frequentThree += hit(often, 3)
    score.unsmoothedThree += hit(unsmoothed(job.words, candidates, others), 3)
  }
  return score
}
