import { poissonWeight } from './saddle-point.ts'

const TINY = 1e-300
/** More than any argument of the trade takes; a bound so that no loop is for ever. */
const STEPS_MAX = 1_000_000

/** Lower share by its series (Abramowitz and Stegun 6.5.29): all terms positive, so small values keep their digits. */
function lowerBySeries(a: number, x: number): number {
  let sum = 1
  let term = 1
  for (let step = 1; step < STEPS_MAX; step++) {
    term *= x / (a + step)
    sum += term
    if (term < sum * 1e-17) break
  }
  return poissonWeight(a, x) * sum
}

/** Upper share by the continued fraction (Abramowitz and Stegun 6.5.31), after Lentz. */
function upperByFraction(a: number, x: number): number {
  let b = x + 1 - a
  let c = 1 / TINY
  let d = 1 / b
  let product = d
  for (let step = 1; step < STEPS_MAX; step++) {
    const numerator = -step * (step - a)
    b += 2
    d = numerator * d + b
    if (Math.abs(d) < TINY) d = TINY
    c = b + numerator / c
    if (Math.abs(c) < TINY) c = TINY
    d = 1 / d
    const factor = d * c
    product *= factor
    if (Math.abs(factor - 1) < 1e-16) break
  }
  // x^a e^-x / Gamma(a) = a times the Poisson weight.
  return a * poissonWeight(a, x) * product
}

/**
 * The gamma distribution with shape `a` and rate 1 below and above x: regularised incomplete gamma functions P and Q, each
 * with its own digits (1 - P says nothing once P is 1 to a double). a above zero, x of zero or more.
 */
export function gammaLower(a: number, x: number): number {
  if (x <= 0) return 0
  if (x === Number.POSITIVE_INFINITY) return 1
  // The other share may be above 1 by its last digit.
  return x < a + 1 ? Math.min(1, lowerBySeries(a, x)) : Math.max(0, 1 - upperByFraction(a, x))
}

export function gammaUpper(a: number, x: number): number {
  if (x <= 0) return 1
  if (x === Number.POSITIVE_INFINITY) return 0
  return x < a + 1 ? Math.max(0, 1 - lowerBySeries(a, x)) : Math.min(1, upperByFraction(a, x))
}
