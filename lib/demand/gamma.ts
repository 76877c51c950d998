import { gammaLower, gammaUpper } from '../maths/incomplete-gamma.ts'
import { normalQuantileNear } from '../maths/normal.ts'
import { logGamma1, poissonWeight } from '../maths/saddle-point.ts'
import { certain, type Distribution, numberOrThrow } from './distribution-shape.ts'

/** x with P(a, x) = p, by Newton's steps in log x between two bounds that close in. `upper` is 1 - p. */
function gammaPoint(a: number, p: number, upper: number): number {
  if (p <= 0) return 0
  if (upper <= 0) return Number.POSITIVE_INFINITY
  // Near zero P(a, x) is x^a / Gamma(a + 1); elsewhere Wilson and Hilferty's cube of a normal.
  const small = (Math.log(p) + logGamma1(a)) / a
  const cube = 1 - 1 / (9 * a) + normalQuantileNear(p, upper) / (3 * Math.sqrt(a))
  let log = cube > 0.2 && small > Math.log(0.1 * a) ? Math.log(a) + 3 * Math.log(cube) : small
  if (log < Math.log(Number.MIN_VALUE)) return 0
  let low = Number.NEGATIVE_INFINITY
  let high = Number.POSITIVE_INFINITY
  for (let round = 0; round < 200; round++) {
    const x = Math.exp(log)
    const isLower = p < 0.5
    const tail = isLower ? gammaLower(a, x) : gammaUpper(a, x)
    // The log of the tail is nearly straight in log x far out, where Newton on the tail itself would crawl.
    const error = Math.log(tail) - Math.log(isLower ? p : upper)
    if (isLower ? error > 0 : error < 0) high = log
    else low = log
    const slope = ((isLower ? 1 : -1) * a * poissonWeight(a, x)) / tail
    let next = log - error / slope
    if (!(next > low && next < high)) {
      if (low === Number.NEGATIVE_INFINITY) next = high - 1
      else if (high === Number.POSITIVE_INFINITY) next = low + 1
      else next = (low + high) / 2
    }
    if (Math.abs(next - log) <= 1e-15 * Math.max(1, Math.abs(log))) return Math.exp(next)
    log = next
  }
  return Math.exp(log)
}

/**
 * Gamma demand of the given shape and rate, for what is poured or cut rather than counted. Mean shape / rate, variance
 * mean / rate. Loss (mean - s) P(D > s) + x^shape e^-x / Gamma(shape) / rate with x = rate s.
 */
export function gamma(shape: number, rate: number): Distribution {
  numberOrThrow(shape, shape > 0, 'gamma: the shape must be above zero')
  numberOrThrow(rate, rate > 0, 'gamma: the rate must be above zero')
  const mean = shape / rate
  const density = (x: number): number => {
    if (x < 0) return 0
    if (x === 0) return shape < 1 ? Number.POSITIVE_INFINITY : shape === 1 ? rate : 0
    return (shape * poissonWeight(shape, rate * x)) / x
  }
  return {
    family: 'gamma',
    parameters: { shape, rate },
    mean,
    variance: mean / rate,
    pmf: density,
    cdf: (x) => gammaLower(shape, rate * x),
    upper: (x) => gammaUpper(shape, rate * x),
    quantile(p) {
      if (Number.isNaN(p)) throw new RangeError('quantile: the chance must be a number')
      return gammaPoint(shape, p, 1 - p) / rate
    },
    loss(x) {
      if (x <= 0) return mean - x
      if (x === Number.POSITIVE_INFINITY) return 0
      const scaled = rate * x
      return Math.max(0, ((shape - scaled) * gammaUpper(shape, scaled) + shape * poissonWeight(shape, scaled)) / rate)
    },
  }
}

/** By mean and variance; without spread the mean itself. */
export function gammaMoments(mean: number, variance: number): Distribution {
  numberOrThrow(mean, mean >= 0, 'gamma: the mean must be zero or more')
  numberOrThrow(variance, variance >= 0, 'gamma: the variance must be zero or more')
  const rate = mean / variance
  const shape = mean * rate
  if (mean === 0 || !(shape < 1e14) || !(rate > 0)) return certain('gamma', { mean, variance }, mean)
  return gamma(shape, rate)
}
