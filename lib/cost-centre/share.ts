import { must } from '../must.ts'

/**
 * Shares a whole amount by weights, so that the shares add up to it exactly: each gets the whole part of its quota, and what is
 * left goes, one by one, to those with the largest remainder, equal ones in their order. With no weight at all nobody gets
 * anything but the last, who takes all of it: put there whoever pays where nobody is known.
 *
 * Example: 100 by 1, 1, 1 is 34, 33, 33.
 * Source: method of largest remainders (Hamilton); Balinski and Young, Fair Representation, 2nd edition, section 3.
 */
export function sharesWhole(amount: number, weights: readonly number[]): number[] {
  must(Number.isSafeInteger(amount) && amount >= 0, 'what is shared is a whole amount')
  must(
    weights.length > 0 && weights.every((weight) => weight >= 0 && Number.isFinite(weight)),
    'weights can be shared by',
  )
  const sum = weights.reduce((all, weight) => all + weight, 0)
  if (sum === 0) return weights.map((_, at) => (at === weights.length - 1 ? amount : 0))
  const quotas = weights.map((weight) => (amount / sum) * weight)
  const shares = quotas.map((quota) => Math.min(amount, Math.floor(quota)))
  let left = amount - shares.reduce((all, share) => all + share, 0)
  const byRemainder = quotas
    .map((quota, at) => ({ at, remainder: quota - shares[at]!, isAsked: weights[at]! > 0 }))
    .filter(({ isAsked }) => isAsked)
    .sort((a, b) => b.remainder - a.remainder || a.at - b.at)
  for (let turn = 0; left > 0; turn = (turn + 1) % byRemainder.length) {
    shares[byRemainder[turn]!.at]! += 1
    left -= 1
  }
  // Only rounding of the quotas can give out one too many; whoever has the least right to it gives it back.
  for (let turn = byRemainder.length - 1; left < 0; turn = turn === 0 ? byRemainder.length - 1 : turn - 1) {
    const { at } = byRemainder[turn]!
    if (shares[at] === 0) continue
    shares[at]! -= 1
    left += 1
  }
  return shares
}

/** What a cost centre needs of a part in a season: in any case, and expected in all. */
export interface CentreNeed {
  certain: number
  mean: number
}

/**
 * What each cost centre pays of a line that serves several: what is needed in any case is bought for whoever needs it, what is
 * bought beyond that for whoever is expected to need it, in those proportions. Exact in minor units; the last of `needs` pays
 * where nobody needs the part, as with what only failures take.
 *
 * Example: 10 pieces for 20.00, needed 4 and 2 in any case and expected to be 4 and 4: 4 + 0 and 2 + 4, so 8.00 and 12.00.
 * Source: common practice, no source.
 */
export function lineShares(line: { quantity: number; amountMinor: number }, needs: readonly CentreNeed[]): number[] {
  const certain = needs.reduce((sum, need) => sum + need.certain, 0)
  const chance = needs.map(({ certain: sure, mean }) => Math.max(0, mean - sure))
  const expected = chance.reduce((sum, one) => sum + one, 0)
  const first = expected > 0 ? Math.min(line.quantity, certain) : line.quantity
  const weights = needs.map((need, at) => {
    const sure = certain > 0 ? (first * need.certain) / certain : 0
    return sure + (expected > 0 ? ((line.quantity - first) * chance[at]!) / expected : 0)
  })
  return sharesWhole(line.amountMinor, weights)
}
