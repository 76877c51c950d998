import { type MarginalPart, marginalPurchases } from './marginal.ts'
import { fillClaimed, type Protection, type TargetKind } from './target-level.ts'

/**
 * Levels of many parts that together claim a target with the least stock: fill as share of all pieces that are asked for, cycle
 * as mean over the parts. Dear parts that seldom move get less, cheap ones more. `weights` are what a piece on the shelf costs;
 * a piece more adds it only as often as it is not taken, P(D <= level).
 *
 * Targets rise; one list of levels for each.
 */
export function levelsSpread(
  parts: readonly Protection[],
  weights: readonly number[],
  kind: TargetKind,
  targets: readonly number[],
): number[][] {
  const isFill = kind === 'fill'
  const whole = isFill ? parts.reduce((sum, { meanReview }) => sum + meanReview, 0) : parts.length
  const levels = parts.map(() => 0)
  let claimed = 0
  for (const part of parts) claimed += isFill ? part.meanReview * fillClaimed(part, 0) : part.whole.cdf(0)
  const base = claimed
  const offers = parts.map(({ whole: demand, lead }, at): MarginalPart => {
    const gain = isFill
      ? (level: number) => (lead ? lead.cdf(level) : 1) - demand.cdf(level)
      : (level: number) => demand.pmf(level + 1)
    return { gain, cost: (level) => weights[at]! * demand.cdf(level) }
  })
  const purchases = marginalPurchases(offers)
  return targets.map((target) => {
    while (claimed < target * whole) {
      const next = purchases.next()
      if (next.done) break
      levels[next.value.part]! += next.value.pieces
      claimed = base + next.value.total
    }
    return [...levels]
  })
}
