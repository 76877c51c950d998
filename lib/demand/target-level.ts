import type { Distribution } from './distribution.ts'
import type { Outlook } from './method.ts'

/**
 * Cycle: share of reviews after which nothing waits until what the next one orders has come, whether or not it orders. Fill: share of
 * pieces that are served at once.
 */
export type TargetKind = 'cycle' | 'fill'

/** Demand up to when an order of the next review can be there, up to when one of today is there, and between the two. */
export interface Protection {
  whole: Distribution
  lead: Distribution | null
  /** Pieces a review. */
  meanReview: number
}

export function protection(outlook: Outlook, leadPeriods: number, reviewPeriods: number): Protection {
  const whole = outlook(leadPeriods + reviewPeriods)
  return {
    whole,
    lead: leadPeriods > 0 ? outlook(leadPeriods) : null,
    meanReview: (whole.mean * reviewPeriods) / (leadPeriods + reviewPeriods),
  }
}

export function cycleClaimed({ whole }: Protection, level: number): number {
  return whole.cdf(level)
}

/** Share served at once with an order-up-to level: what is owed at the end of a review and was not owed at its start is late. */
export function fillClaimed({ whole, lead, meanReview }: Protection, level: number): number {
  if (meanReview <= 0) return 1
  const late = whole.loss(level) - (lead ? lead.loss(level) : 0)
  return Math.max(0, 1 - late / meanReview)
}

/** The smallest whole level that claims the target, from zero up. */
export function targetLevel(given: Protection, kind: TargetKind, target: number): number {
  if (!(target > 0 && target < 1)) throw new RangeError(`targetLevel: a target lies between 0 and 1, not at ${target}`)
  if (kind === 'cycle') return Math.max(0, Math.ceil(given.whole.quantile(target)))
  let low = -1
  let high = Math.max(0, Math.ceil(given.whole.mean))
  while (fillClaimed(given, high) < target) {
    low = high
    high = 2 * high + 1
  }
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (fillClaimed(given, middle) >= target) high = middle
    else low = middle
  }
  return high
}
