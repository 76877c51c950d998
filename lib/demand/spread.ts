import type { Distribution } from './distribution.ts'
import { type MarginalPart, marginalPurchases } from './marginal.ts'
import { fillClaimed, type Protection, type TargetKind } from './target-level.ts'

/** Levels that may come to more than so many pieces are looked for by the lot. */
const SINGLY_MOST = 4000
/** A lot is this share of the spread, or of the mean where that is more: nobody counts a heap of ten thousand more finely. */
const LOTS_IN_SPREAD = 16
const LOTS_IN_MEAN = 256

function lotOf({ mean, variance }: Distribution): number {
  const spread = Math.sqrt(variance)
  if (mean + 4 * spread <= SINGLY_MOST) return 1
  return Math.max(1, Math.floor(Math.max(spread / LOTS_IN_SPREAD, mean / LOTS_IN_MEAN)))
}

/** What whole lots bring and cost, by differences of losses: the sum of P(D > k) over pieces is what the loss falls by. */
function byLots(
  { whole: demand, lead }: Protection,
  { lot, weight, isFill }: { lot: number; weight: number; isFill: boolean },
): MarginalPart {
  const remembered = (of: (level: number) => number) => {
    const known: number[] = []
    return (lots: number) => (known[lots] ??= of(lots * lot))
  }
  const short = remembered((level) => demand.loss(level))
  const shortLead = remembered((level) => lead?.loss(level) ?? 0)
  const within = remembered((level) => demand.cdf(level))
  const falls = (of: (lots: number) => number, at: number) => of(at) - of(at + 1)
  return {
    gain: (at) => (isFill ? falls(short, at) - falls(shortLead, at) : within(at + 1) - within(at)),
    cost: (at) => weight * (lot - falls(short, at)),
  }
}

/**
 * Levels of many parts that together claim a target with the least stock: fill as share of all pieces that are asked for, cycle
 * as mean over the parts. Dear parts that seldom move get less, cheap ones more. `weights` are what a piece on the shelf costs;
 * a piece more adds it only as often as it is not taken, P(D <= level).
 *
 * Targets rise; one list of levels for each. Of what is asked for by the thousand a level is a number of lots.
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
  const lots = parts.map(({ whole: demand }) => lotOf(demand))
  const offers = parts.map((part, at): MarginalPart => {
    const lot = lots[at]!
    if (lot > 1) return byLots(part, { lot, weight: weights[at]!, isFill })
    const { whole: demand, lead } = part
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
      levels[next.value.part]! += next.value.pieces * lots[next.value.part]!
      claimed = base + next.value.total
    }
    return [...levels]
  })
}
