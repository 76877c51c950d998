/**
 * The two pieces of which C. Loader builds probabilities of counts that keep their last digits ("Fast and Accurate Computation
 * of Binomial Probabilities", 2000): logarithms of factorials are never subtracted from each other.
 */

/** Coefficients of the series of Stirling: 1/12, 1/360, 1/1260, 1/1680, 1/1188 (Abramowitz and Stegun 6.1.41). */
const SERIES = [1 / 12, 1 / 360, 1 / 1260, 1 / 1680, 1 / 1188] as const

/** From here on five terms of the series are exact to a double. */
const SERIES_FROM = 15

/**
 * Error of Stirling's formula: log(n!) - log(sqrt(2 pi n) (n / e)^n), for any n above zero, whole or not.
 *
 * Below 15 it walks up by the recurrence, whose terms are small: an absolute error of 1e-16 is what counts in an exponent.
 */
export function stirlingError(n: number): number {
  let sum = 0
  let at = n
  for (; at < SERIES_FROM; at += 1) sum += (at + 0.5) * Math.log1p(1 / at) - 1
  const inverse = 1 / (at * at)
  const [a, b, c, d, e] = SERIES
  return sum + (a - (b - (c - (d - e * inverse) * inverse) * inverse) * inverse) / at
}

/**
 * Deviance x log(x / m) + m - x, for x and m of zero or more: how far a count lies from its mean, in the exponent. Near the
 * mean the terms cancel, so a series in (x - m) / (x + m) stands in.
 */
export function deviance(x: number, m: number): number {
  if (x === 0) return m
  if (Math.abs(x - m) < 0.1 * (x + m)) {
    const v = (x - m) / (x + m)
    let sum = (x - m) * v
    let term = 2 * x * v
    for (let at = 3; ; at += 2) {
      term *= v * v
      const next = sum + term / at
      if (next === sum) return next
      sum = next
    }
  }
  return x * Math.log(x / m) + m - x
}

/** Poisson probability e^-m m^x / x!, where x need not be whole (then x! is the gamma function of x + 1). */
export function poissonWeight(x: number, m: number): number {
  if (m === 0) return x === 0 ? 1 : 0
  if (x === 0) return Math.exp(-m)
  if (!Number.isFinite(x)) return 0
  // Far below 1 the error of Stirling's formula grows without bound; there the plain formula keeps its digits.
  if (x < 1e-3) return Math.exp(x * Math.log(m) - m - logGamma1(x))
  return Math.exp(-stirlingError(x) - deviance(x, m)) / Math.sqrt(2 * Math.PI * x)
}

/** log of the gamma function of 1 + x, for x of zero or more: exact near zero, where it is about -0.577 x. */
export function logGamma1(x: number): number {
  if (x === 0) return 0
  if (x < 1e-3)
    return x * (-0.5772156649015329 + x * (0.8224670334241132 + x * (-0.4006856343865314 + x * 0.27058080842778454)))
  return stirlingError(x) + 0.5 * Math.log(2 * Math.PI * x) + x * (Math.log(x) - 1)
}

/** log of the gamma function, for x above zero. */
export function logGamma(x: number): number {
  return logGamma1(x) - Math.log(x)
}
