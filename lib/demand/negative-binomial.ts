import { betaFraction } from '../maths/incomplete-beta.ts'
import { deviance, stirlingError } from '../maths/saddle-point.ts'
import { certain, type Distribution, numberOrThrow, type WholeFamily, wholeDistribution } from './distribution-shape.ts'
import { poisson } from './poisson.ts'

/** From here on the continued fraction loses digits (about the shape times the rounding of a double), and tails are sums. */
const SHAPE_SUMMED = 1e5
/** Above this shape the spread of the rate moves no digit of a double, and the Poisson distribution answers. */
const SHAPE_MAX = 1e14

/**
 * Negative binomial demand with the given shape and mean: Poisson demand whose rate is not known, only spread as a gamma
 * distribution of that shape. Variance mean + mean^2 / r. r = 1 is geometric; a large r is Poisson.
 *
 * Probabilities after Loader; P(D > k) is an incomplete beta function by its continued fraction from whichever side
 * converges; loss -(s - r b) P(D > s) + (s + r) b P(D = s) with b = mean / r (Zipkin, Foundations of Inventory Management,
 * 2000, section C.2.3.6, from memory; checked against sums).
 */
export function negativeBinomialMean(r: number, mean: number): Distribution {
  numberOrThrow(r, r > 0, 'negativeBinomial: the shape must be above zero')
  numberOrThrow(mean, mean >= 0, 'negativeBinomial: the mean must be zero or more')
  // p is the chance of "no further piece", q = 1 - p; each from its own fraction, so that neither loses digits.
  const p = r / (r + mean)
  const q = mean / (r + mean)
  if (mean === 0 || q === 0) return certain('negative-binomial', { r, p }, 0)
  return r > SHAPE_MAX ? poisson(mean) : wholeDistribution(new NegativeBinomial(r, mean, p, q))
}

/** A class, since a reckoning of all levels makes hundreds of thousands and asks each a few times. */
class NegativeBinomial implements WholeFamily {
  readonly family = 'negative-binomial'
  readonly parameters: { r: number; p: number }
  readonly variance: number
  readonly skewness: number
  private readonly zero: number
  private readonly shapeError: number

  constructor(
    private readonly r: number,
    readonly mean: number,
    private readonly p: number,
    private readonly q: number,
  ) {
    this.parameters = { r, p }
    this.variance = mean + mean * (mean / r)
    this.skewness = (1 + q) / Math.sqrt(q * r)
    this.zero = Math.exp(r < mean ? r * Math.log(p) : r * Math.log1p(-q))
    this.shapeError = r < 1e-3 ? 0 : stirlingError(r)
  }

  pmf(k: number): number {
    const { r, p, q, zero } = this
    if (k === 0) return zero
    if (k === 1) return r * q * zero
    if (!Number.isFinite(k)) return 0
    // A shape near zero is a logarithmic series: its few digits of r do not survive the saddle point.
    if (r < 1e-3) return (r / k) * Math.exp(k * Math.log1p(-p) + Math.log(zero) + risingOver(k, r))
    const n = k + r
    const exponent = stirlingError(n) - this.shapeError - stirlingError(k) - deviance(r, n * p) - deviance(k, n * q)
    return (r / n) * Math.exp(exponent) * Math.sqrt(n / (2 * Math.PI * r * k))
  }

  cdf(k: number): number {
    return this.tails(k).lower
  }

  upper(k: number): number {
    return this.tails(k).upper
  }

  loss(k: number): number {
    const { r, mean } = this
    return Math.max(0, (mean - k) * this.upper(k) + (k + r) * (mean / r) * this.pmf(k))
  }

  step(k: number, before: number): number {
    return (before * this.q * (k - 1 + this.r)) / k
  }

  /** Both tails at once: one of them is a continued fraction, the other what is left. */
  private tails(k: number): { lower: number; upper: number } {
    const { r, p, q } = this
    if (r > SHAPE_SUMMED) return this.summed(k)
    const next = this.pmf(k + 1)
    if (q < (k + 2) / (k + 3 + r)) {
      const upper = Math.min(1, next * betaFraction(k + 1, r, q))
      return { lower: 1 - upper, upper }
    }
    const lower = Math.min(1, ((next * (k + 1)) / r) * betaFraction(r, k + 1, p))
    return { lower, upper: 1 - lower }
  }

  /** Nearly Poisson: a few deviations of terms away from the mean, all positive. */
  private summed(k: number): { lower: number; upper: number } {
    const { r, q } = this
    const isAbove = k + 1 > this.mean
    let chance = this.pmf(isAbove ? k + 1 : k)
    let tail = 0
    for (let at = isAbove ? k + 1 : k; at >= 0 && chance > tail * 1e-17; ) {
      tail += chance
      if (isAbove) {
        at += 1
        chance *= (q * (at - 1 + r)) / at
      } else {
        chance *= at / (q * (at - 1 + r))
        at -= 1
      }
    }
    tail = Math.min(1, tail)
    return isAbove ? { lower: 1 - tail, upper: tail } : { lower: tail, upper: 1 - tail }
  }
}

/** log of (1 + r)(1 + r / 2) ... (1 + r / (k - 1)), for a small r: a sum while k is small, then by the digamma function. */
function risingOver(k: number, r: number): number {
  let sum = 0
  const walked = Math.min(k - 1, 256)
  for (let at = 1; at <= walked; at++) sum += Math.log1p(r / at)
  if (walked === k - 1) return sum
  // Harmonic numbers beyond the walk by Euler and Maclaurin; r^2 terms beyond 256 are below 1e-9 of r.
  const harmonic = (n: number) => Math.log(n) + 1 / (2 * n) - 1 / (12 * n * n)
  return sum + r * (harmonic(k - 1) - harmonic(walked)) - (r * r * (1 / walked - 1 / (k - 1))) / 2
}

/** In the words of the textbooks: pieces before the r-th "no", each "no" with chance p; mean r (1 - p) / p. */
export function negativeBinomial(r: number, p: number): Distribution {
  numberOrThrow(p, p > 0 && p <= 1, 'negativeBinomial: the chance must be above 0 and at most 1')
  return negativeBinomialMean(r, (r * (1 - p)) / p)
}

/** By mean and variance. Demand no more spread than Poisson has no negative binomial: the Poisson distribution answers. */
export function negativeBinomialMoments(mean: number, variance: number): Distribution {
  numberOrThrow(mean, mean >= 0, 'negativeBinomial: the mean must be zero or more')
  numberOrThrow(variance, variance >= 0, 'negativeBinomial: the variance must be zero or more')
  const spread = variance - mean
  if (mean === 0 || !(spread > mean * 1e-12)) return poisson(mean)
  const r = (mean / spread) * mean
  return r > SHAPE_MAX ? poisson(mean) : negativeBinomialMean(Math.max(r, Number.MIN_VALUE), mean)
}
