import type { Distribution } from '../demand/distribution.ts'
import { type NeedFacts, needOver, type TimeFacts } from './protection.ts'

/** Need a period below which deliveries are too few to speak of. */
const NEVER = 1e-9

/**
 * P(no need in a time) and the need that is left to expect then. Need at a known rate is Poisson, or, where its variance is c times
 * its mean, negative binomial: runs of a logarithmic number that begin at the rate m ln(c) / (c - 1) (Quenouille, Biometrics 5, 1949;
 * from memory). A rate that is not known is a gamma number, and after a quiet time a slower one: shape kept, mean divided by
 * 1 + time * w / m.
 */
export function quietTime(need: NeedFacts, time: number): { chance: number; after: NeedFacts } {
  const { mean, variance, rateVariance = 0 } = need
  const over = variance / mean - 1
  const begins = over > NEVER ? Math.log1p(over) / over : 1
  const spread = rateVariance / mean
  const slower = 1 / (1 + time * begins * spread)
  const logChance = spread > NEVER ? -(mean / spread) * Math.log1p(time * begins * spread) : -mean * time * begins
  return {
    chance: Math.exp(logChance),
    after: { mean: mean * slower, variance: variance * slower, rateVariance: rateVariance * slower ** 2 },
  }
}

/**
 * Share of deliveries before which nobody waits, the shelf being looked at every review: of the looks that find the position one
 * above the reorder point `s`, those before the next of which something is taken, so that an order is raised at all. With D for need,
 * R for the review and L for the lead time P(D(R) > 0, D(R + L) <= s + 1) / P(D(R) > 0). Exact where single steps are ordered, the
 * lead time is known, and need is Poisson or negative binomial, at a rate that is known or, for Poisson, a gamma number; else as near
 * as moments are. `need` and `whole` (need over lead time and review) are in steps: pieces or sets. Null where there is no need.
 * Example: Poisson 0.1 a period, lead time and review 1, s = 0: 0.8604, where 0.9825 of all looks are well.
 */
export function deliveryShare(
  { need, time, s, whole }: { need: NeedFacts; time: TimeFacts; s: number; whole: Distribution },
  matched: (moments: { mean: number; variance: number }) => Distribution,
): number | null {
  if (need.mean * time.review < NEVER) return null
  const { chance, after } = quietTime(need, time.review)
  const lead = matched(needOver(after, { mean: time.leadMean, variance: time.leadSd ** 2 }))
  const share = (whole.cdf(s + 1) - chance * lead.cdf(s + 1)) / (1 - chance)
  return Math.min(1, Math.max(0, share))
}
