import { gammaLower, gammaUpper } from '../maths/incomplete-gamma.ts'
import { poissonWeight } from '../maths/saddle-point.ts'
import { certain, type Distribution, numberOrThrow, wholeDistribution } from './distribution-shape.ts'

/**
 * Poisson demand: failures that know nothing of each other, `mean` of them expected.
 *
 * Tails are incomplete gamma functions, P(D > k) = P(k + 1, mean), and the loss is (mean - s) P(D > s) + mean P(D = s)
 * (Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd edition, appendix C).
 *
 * Example: poisson(2).quantile(0.95) is 5.
 */
export function poisson(mean: number): Distribution {
  numberOrThrow(mean, mean >= 0, 'poisson: the mean must be zero or more')
  if (mean === 0) return certain('poisson', { mean }, 0)
  return wholeDistribution({
    family: 'poisson',
    parameters: { mean },
    mean,
    variance: mean,
    skewness: 1 / Math.sqrt(mean),
    pmf(k) {
      return poissonWeight(k, mean)
    },
    upper(k) {
      return gammaLower(k + 1, mean)
    },
    cdf(k) {
      return gammaUpper(k + 1, mean)
    },
    loss(k) {
      return Math.max(0, (mean - k) * gammaLower(k + 1, mean) + mean * poissonWeight(k, mean))
    },
    step(k, before) {
      return (before * mean) / k
    },
  })
}
