import { deviance, logGamma1, stirlingError } from './saddle-point.ts'

const TINY = 1e-300
const STEPS_MAX = 1_000_000

/** Continued fraction of the incomplete beta function (Abramowitz and Stegun 26.5.8), after Lentz. */
export function betaFraction(a: number, b: number, x: number): number {
  let c = 1
  let d = 1 - ((a + b) * x) / (a + 1)
  if (Math.abs(d) < TINY) d = TINY
  d = 1 / d
  let product = d
  for (let m = 1; m < STEPS_MAX; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 + even * d
    if (Math.abs(d) < TINY) d = TINY
    c = 1 + even / c
    if (Math.abs(c) < TINY) c = TINY
    d = 1 / d
    product *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 + odd * d
    if (Math.abs(d) < TINY) d = TINY
    c = 1 + odd / c
    if (Math.abs(c) < TINY) c = TINY
    d = 1 / d
    const factor = d * c
    product *= factor
    if (Math.abs(factor - 1) < 1e-16) break
  }
  return product
}

/**
 * x^a y^b / B(a, b) with y = 1 - x handed in, for a and b above zero. y comes from the caller because 1 - x has lost its
 * digits when x is near 1.
 */
export function betaWeight(a: number, b: number, x: number, y: number): number {
  if (x <= 0 || y <= 0) return 0
  const n = a + b
  if (a < 1e-3 || b < 1e-3) {
    // 1 / B = a b / (a + b) times Gamma(1 + a + b) / (Gamma(1 + a) Gamma(1 + b))
    const log = a * Math.log(x) + b * Math.log(y) + logGamma1(n) - logGamma1(a) - logGamma1(b)
    return (Math.exp(log) * a * b) / n
  }
  const exponent = stirlingError(n) - stirlingError(a) - stirlingError(b) - deviance(a, n * x) - deviance(b, n * y)
  return Math.exp(exponent) * Math.sqrt((a * b) / (2 * Math.PI * n))
}

/** Regularised incomplete beta function I_x(a, b): the beta distribution below x, with y = 1 - x handed in. */
export function betaLower(a: number, b: number, x: number, y: number = 1 - x): number {
  if (x <= 0) return 0
  if (y <= 0) return 1
  const weight = betaWeight(a, b, x, y)
  const lower =
    x < (a + 1) / (a + b + 2) ? (weight / a) * betaFraction(a, b, x) : 1 - (weight / b) * betaFraction(b, a, y)
  return Math.min(1, Math.max(0, lower))
}
