import { wilsonInterval } from '../maths/wilson.ts'

/** What a closed job renewed and what else it used. Parts stand under the number that is orderable now. */
export interface PastJob {
  jobId: number
  /** Parts chosen as targets: what had failed. */
  targets: readonly number[]
  /** Parts taken and not put back, targets included. */
  used: readonly number[]
  /** Parts that were offered and left out with a reason. */
  declined: readonly number[]
}

export interface LearnedCompanion {
  partId: number
  /** The target it went with. */
  targetPartId: number
  /** Closed jobs that had the target. */
  support: number
  /** Those of them that also used the part. */
  together: number
  /** Those of them where somebody left it out. */
  declined: number
  /** together / support. */
  confidence: number
  /** Lower end of the 95 % Wilson interval of that share: few jobs say little, however much they agree. */
  lower: number
}

export interface LearnedLimits {
  /** Fewer jobs than this with the same target teach nothing. */
  supportLeast: number
  /** The lower end must reach this. */
  lowerLeast: number
}

/** Five jobs of which all used it give a lower end of 0.57; of four it is 0.51, of two out of five 0.12. */
export const LEARNED_LIMITS: LearnedLimits = { supportLeast: 4, lowerLeast: 0.4 }

/**
 * What past jobs with the same targets also used, surest first. Association by count, target by target: support and
 * confidence as in association rules (Agrawal, Imielinski, Swami, SIGMOD 1993, from memory), ranked by the Wilson lower
 * bound. A job that left the part out counts against it like one that did not use it, and once more: somebody looked and
 * said no. Targets of the job in hand are not offered. Where two targets teach the same part, the surer one speaks.
 */
export function learnedCompanions(
  targets: readonly number[],
  past: readonly PastJob[],
  limits: LearnedLimits = LEARNED_LIMITS,
): LearnedCompanion[] {
  const mine = new Set(targets)
  const best = new Map<number, LearnedCompanion>()
  for (const targetPartId of mine) {
    const alike = past.filter((job) => job.targets.includes(targetPartId))
    if (alike.length < limits.supportLeast) continue
    const counts = new Map<number, { together: number; declined: number }>()
    const count = (partId: number) => counts.get(partId) ?? { together: 0, declined: 0 }
    for (const job of alike) {
      const used = new Set(job.used)
      for (const partId of used) counts.set(partId, { ...count(partId), together: count(partId).together + 1 })
      for (const partId of new Set(job.declined))
        if (!used.has(partId)) counts.set(partId, { ...count(partId), declined: count(partId).declined + 1 })
    }
    for (const [partId, { together, declined }] of counts) {
      if (mine.has(partId) || together === 0) continue
      const { lower } = wilsonInterval(together, alike.length + declined)
      if (lower < limits.lowerLeast) continue
      const companion = {
        partId,
        targetPartId,
        support: alike.length,
        together,
        declined,
        confidence: together / alike.length,
        lower,
      }
      const before = best.get(partId)
      if (!before || companionCompare(companion, before) < 0) best.set(partId, companion)
    }
  }
  return [...best.values()].sort(companionCompare)
}

function companionCompare(a: LearnedCompanion, b: LearnedCompanion): number {
  return b.lower - a.lower || b.support - a.support || a.partId - b.partId || a.targetPartId - b.targetPartId
}
