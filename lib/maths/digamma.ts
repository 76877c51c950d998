/** Below this the recurrence walks up; from here on the asymptotic series is exact to a double. */
const SERIES_FROM = 12

/** Derivative of the log of the gamma function, for x above zero (Abramowitz and Stegun 6.3.5 and 6.3.18). */
export function digamma(x: number): number {
  let sum = 0
  let at = x
  for (; at < SERIES_FROM; at += 1) sum -= 1 / at
  const i = 1 / (at * at)
  const series =
    i * (1 / 12 - i * (1 / 120 - i * (1 / 252 - i * (1 / 240 - i * (1 / 132 - i * (691 / 32760 - i / 12))))))
  return sum + Math.log(at) - 0.5 / at - series
}

/** Derivative of digamma, for x above zero (Abramowitz and Stegun 6.4.6 and 6.4.12). */
export function trigamma(x: number): number {
  let sum = 0
  let at = x
  for (; at < SERIES_FROM; at += 1) sum += 1 / (at * at)
  const i = 1 / (at * at)
  const series = 1 + i * (1 / 6 - i * (1 / 30 - i * (1 / 42 - i * (1 / 30 - i * (5 / 66 - (i * 691) / 2730)))))
  return sum + series / at + 0.5 * i
}
