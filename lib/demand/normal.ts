import { normalDensity, normalLoss, normalLower, normalQuantile, normalUpper } from '../maths/normal.ts'
import { certain, type Distribution, numberOrThrow } from './distribution-shape.ts'

/** Normal demand, for fast and steady parts. It knows demand below zero: look at mean and deviation before it is used. */
export function normal(mean: number, deviation: number): Distribution {
  numberOrThrow(mean, true, 'normal: the mean must be a number')
  numberOrThrow(deviation, deviation >= 0, 'normal: the deviation must be zero or more')
  const parameters = { mean, deviation }
  // A square below the smallest double is no spread, and would divide zero by zero.
  if (deviation * deviation === 0) return certain('normal', parameters, mean)
  const z = (x: number) => (x - mean) / deviation
  return {
    family: 'normal',
    parameters,
    mean,
    variance: deviation * deviation,
    pmf: (x) => normalDensity(z(x)) / deviation,
    cdf: (x) => normalLower(z(x)),
    upper: (x) => normalUpper(z(x)),
    quantile(p) {
      if (Number.isNaN(p)) throw new RangeError('quantile: the chance must be a number')
      return mean + deviation * normalQuantile(p)
    },
    loss: (x) => (x === Number.POSITIVE_INFINITY ? 0 : deviation * normalLoss(z(x))),
  }
}
