import { type Distribution, numberOrThrow } from './distribution-shape.ts'

/** Distribution over amounts that rise, with weights that are shared out to 1. */
function weighted(family: string, amounts: readonly number[], weights: readonly number[]): Distribution {
  const total = weights.reduce((sum, weight) => sum + weight, 0)
  const count = amounts.length
  // above[i] is P(D > amounts[i]), summed from the far end so that a small tail keeps its digits; lost[i] the loss there.
  const above = new Float64Array(count)
  const below = new Float64Array(count)
  const lost = new Float64Array(count)
  for (let at = count - 2; at >= 0; at--) {
    above[at] = above[at + 1]! + weights[at + 1]! / total
    lost[at] = lost[at + 1]! + (amounts[at + 1]! - amounts[at]!) * above[at]!
  }
  let mean = 0
  let sum = 0
  for (let at = 0; at < count; at++) {
    mean += (amounts[at]! * weights[at]!) / total
    sum += weights[at]!
    below[at] = at === count - 1 ? 1 : sum / total
  }
  let variance = 0
  for (let at = 0; at < count; at++) variance += ((amounts[at]! - mean) ** 2 * weights[at]!) / total

  /** How many amounts are at most x. */
  const countTo = (x: number): number => {
    let low = 0
    let high = count
    while (low < high) {
      const middle = (low + high) >> 1
      if (amounts[middle]! <= x) low = middle + 1
      else high = middle
    }
    return low
  }
  return {
    family,
    parameters: { amounts: count, least: amounts[0]!, most: amounts[count - 1]! },
    mean,
    variance,
    pmf(k) {
      const at = countTo(k) - 1
      return at >= 0 && amounts[at] === k ? weights[at]! / total : 0
    },
    cdf(x) {
      const at = countTo(x) - 1
      return at < 0 ? 0 : below[at]!
    },
    upper(x) {
      const at = countTo(x) - 1
      return at < 0 ? 1 : above[at]!
    },
    quantile(p) {
      if (Number.isNaN(p)) throw new RangeError('quantile: the chance must be a number')
      let low = 0
      let high = count - 1
      while (low < high) {
        const middle = (low + high) >> 1
        if (below[middle]! >= p * (1 - 1e-14)) high = middle
        else low = middle + 1
      }
      return amounts[low]!
    },
    loss(x) {
      if (x === Number.POSITIVE_INFINITY) return 0
      const at = countTo(x) - 1
      if (at < 0) return mean - x
      return at === count - 1 ? 0 : lost[at + 1]! + (amounts[at + 1]! - x) * above[at]!
    },
  }
}

/**
 * Demand as it was seen: each amount with its weight (1 where no weights are given). Amounts of zero or more, weights of zero
 * or more, one of them above zero.
 *
 * Example: empirical([0, 0, 2, 4]).quantile(0.75) is 2.
 */
export function empirical(amounts: readonly number[], weights?: readonly number[]): Distribution {
  if (amounts.length === 0) throw new RangeError('empirical: at least one amount is needed')
  if (weights && weights.length !== amounts.length) throw new RangeError('empirical: one weight for each amount')
  const share = new Map<number, number>()
  for (const [at, amount] of amounts.entries()) {
    const weight = weights?.[at] ?? 1
    numberOrThrow(amount, amount >= 0, 'empirical: an amount must be zero or more')
    numberOrThrow(weight, weight >= 0, 'empirical: a weight must be zero or more')
    if (weight > 0) share.set(amount, (share.get(amount) ?? 0) + weight)
  }
  if (share.size === 0) throw new RangeError('empirical: one weight must be above zero')
  const rising = [...share].sort(([a], [b]) => a - b)
  return weighted(
    'empirical',
    rising.map(([amount]) => amount),
    rising.map(([, weight]) => weight),
  )
}

/**
 * Demand of several periods, each drawn from history by itself with every past period as likely as the other: the bootstrap
 * with all its draws instead of some of them.
 */
export function empiricalTotal(history: readonly number[], periods: number): Distribution {
  if (!Number.isInteger(periods) || periods < 1)
    throw new RangeError(`empiricalTotal: ${periods} is no number of periods`)
  const one = empirical(history)
  let amounts = [...new Set(history)].sort((a, b) => a - b)
  const single = amounts.map((amount) => [amount, one.pmf(amount)] as const)
  let weights = single.map(([, weight]) => weight)
  for (let period = 1; period < periods; period++) {
    const share = new Map<number, number>()
    for (const [at, amount] of amounts.entries())
      for (const [more, weight] of single)
        share.set(amount + more, (share.get(amount + more) ?? 0) + weights[at]! * weight)
    amounts = [...share.keys()].sort((a, b) => a - b)
    weights = amounts.map((amount) => share.get(amount)!)
  }
  return weighted('empirical', amounts, weights)
}
