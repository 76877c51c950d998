/** A place on a figure that may be at fault. */
export interface Candidate {
  /** Names it among the others: figure and item. */
  key: string
  partClass: string
  /** `symptomWords` of its description and of its figure's title. */
  words: readonly string[]
}

/** What one past job told, and what was found to be at fault. */
export interface PastJob {
  id: number
  /** `symptomWords` of its complaint. */
  words: readonly string[]
  /** How much it counts: 1 for the same model, less for a like one. */
  weight: number
  found: readonly { key: string; partClass: string }[]
}

export interface Likely {
  key: string
  /** Share of the belief among all candidates; they add up to 1. */
  share: number
  /** Words of the complaint that speak for it. */
  because: string[]
  /** Past jobs with this callout that told of one of the words at least, most alike first. */
  jobs: number[]
  /** Past jobs with this callout, whatever they told of; weighted. */
  found: number
}

/** Pseudo-counts of the smoothing: how many jobs' worth of words a rung of the ladder weighs against the one above it. */
const CLASS_WEIGHT = 4
const ALL_WEIGHT = 8
/** A part's own name counts like that many jobs that told of it. */
const NAME_WEIGHT = 1.5
/** Belief that a part which never failed is at fault: that many failures spread over its class. */
const PRIOR_WEIGHT = 1

interface Count {
  jobs: number
  total: number
  of: Map<string, number>
}
const empty = (): Count => ({ jobs: 0, total: 0, of: new Map() })

function add(count: Count, words: readonly string[], weight: number): void {
  count.jobs += weight
  count.total += weight * words.length
  for (const word of words) count.of.set(word, (count.of.get(word) ?? 0) + weight)
}

/**
 * Likely callouts for what was told, most likely first. A naive Bayes ranking over words with the ladder callout, class of part,
 * all jobs (each rung smoothed by the one above it, Dirichlet prior), so that one job does not shout and a part without any
 * history is judged by its class and its name. Candidates whose word evidence is nil are ranked by how often they failed.
 * Source: multinomial naive Bayes with Dirichlet smoothing, Manning, Raghavan, Schuetze, Introduction to Information Retrieval
 * (2008), chapters 12 and 13. Words that nothing on file knows are left aside; where none is known, what failed most often
 * comes first, and `because` is empty.
 */
export function likelyCallouts(
  told: readonly string[],
  candidates: readonly Candidate[],
  past: readonly PastJob[],
): Likely[] {
  const all = empty()
  const byClass = new Map<string, Count>()
  const byKey = new Map<string, Count>()
  const at = (counts: Map<string, Count>, key: string) => {
    const there = counts.get(key) ?? empty()
    counts.set(key, there)
    return there
  }
  for (const job of past) {
    if (job.found.length === 0) continue
    add(all, job.words, job.weight)
    // Several parts found on one job share it.
    const share = job.weight / job.found.length
    for (const { key, partClass } of job.found) {
      add(at(byKey, key), job.words, share)
      add(at(byClass, partClass), job.words, share)
    }
  }
  const ofClass = new Map<string, number>()
  for (const { partClass } of candidates) ofClass.set(partClass, (ofClass.get(partClass) ?? 0) + 1)
  for (const { words } of candidates) {
    const name = new Map(words.map((word) => [word, NAME_WEIGHT / candidates.length]))
    for (const [word, weight] of name) all.of.set(word, (all.of.get(word) ?? 0) + weight)
    all.total += [...name.values()].reduce((sum, weight) => sum + weight, 0)
  }
  const asked = told.filter((word) => (all.of.get(word) ?? 0) > 0)
  const words = Math.max(1, all.of.size)
  const inAll = (word: string) => ((all.of.get(word) ?? 0) + 1 / words) / (all.total + 1)

  const scored = candidates.map((candidate) => {
    const own = byKey.get(candidate.key) ?? empty()
    const kind = byClass.get(candidate.partClass) ?? empty()
    const named = new Set(candidate.words)
    const nameTotal = NAME_WEIGHT * named.size
    const inClass = (word: string) => ((kind.of.get(word) ?? 0) + ALL_WEIGHT * inAll(word)) / (kind.total + ALL_WEIGHT)
    const inOwn = (word: string) =>
      ((own.of.get(word) ?? 0) + (named.has(word) ? NAME_WEIGHT : 0) + CLASS_WEIGHT * inClass(word)) /
      (own.total + nameTotal + CLASS_WEIGHT)
    const often = own.jobs + (PRIOR_WEIGHT * (kind.jobs + 1)) / (ofClass.get(candidate.partClass)! * (all.jobs + 1))
    const because = asked.filter((word) => inOwn(word) > 1.5 * inAll(word))
    const belief = Math.log(often) + asked.reduce((sum, word) => sum + Math.log(inOwn(word) / inAll(word)), 0)
    // Rounded, so that the order in which jobs were added up decides nothing.
    const score = Math.round(belief * 1e9) / 1e9
    return { key: candidate.key, score, because, found: own.jobs }
  })
  const best = Math.max(...scored.map(({ score }) => score))
  const mass = scored.reduce((sum, { score }) => sum + Math.exp(score - best), 0)
  return scored
    .sort((a, b) => b.score - a.score || (a.key < b.key ? -1 : 1))
    .map(({ key, score, because, found }) => ({
      key,
      share: Math.exp(score - best) / mass,
      because,
      found,
      jobs: evidence(key, asked, past),
    }))
}

function evidence(key: string, asked: readonly string[], past: readonly PastJob[]): number[] {
  return past
    .filter((job) => job.found.some((one) => one.key === key))
    .map((job) => ({ id: job.id, alike: job.weight * job.words.filter((word) => asked.includes(word)).length }))
    .filter(({ alike }) => alike > 0)
    .sort((a, b) => b.alike - a.alike || b.id - a.id)
    .map(({ id }) => id)
}

/** The usual answer without listening: what failed most often on the model. The baseline of the evaluation. */
export function mostFrequent(candidates: readonly Candidate[], past: readonly PastJob[]): string[] {
  const often = new Map<string, number>()
  for (const job of past)
    for (const { key } of job.found) often.set(key, (often.get(key) ?? 0) + job.weight / job.found.length)
  return candidates.map(({ key }) => key).sort((a, b) => (often.get(b) ?? 0) - (often.get(a) ?? 0) || (a < b ? -1 : 1))
}
