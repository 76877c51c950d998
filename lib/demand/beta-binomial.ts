import { certain, type Distribution, numberOrThrow } from './distribution-shape.ts'
import { empirical } from './empirical.ts'

/**
 * How many of `trials` coming strips need the part, when the chance of each is known only as Beta(a, b): a - 1 hits and b - 1
 * misses seen before, say (Gelman and others, Bayesian Data Analysis, 3rd edition, chapter 2). Whole trials of zero or more.
 */
export function betaBinomial(trials: number, a: number, b: number): Distribution {
  numberOrThrow(trials, Number.isInteger(trials) && trials >= 0, 'betaBinomial: trials must be a whole number')
  numberOrThrow(a, a > 0, 'betaBinomial: a must be above zero')
  numberOrThrow(b, b > 0, 'betaBinomial: b must be above zero')
  const family = 'beta-binomial'
  const parameters = { trials, a, b }
  if (trials === 0) return certain(family, parameters, 0)
  // Ratios of neighbours, from one end to the other; the weights are shared out to 1 afterwards, so that no factorial is met.
  const logs = [0]
  for (let k = 1; k <= trials; k++)
    logs.push(logs[k - 1]! + Math.log(((trials - k + 1) * (a + k - 1)) / (k * (b + trials - k))))
  const most = logs.reduce((top, log) => Math.max(top, log), Number.NEGATIVE_INFINITY)
  const weights = logs.map((log) => Math.exp(log - most))
  return {
    ...empirical(
      weights.map((_, k) => k),
      weights,
    ),
    family,
    parameters,
    mean: (trials * a) / (a + b),
    variance: (trials * a * b * (a + b + trials)) / ((a + b) ** 2 * (a + b + 1)),
  }
}
