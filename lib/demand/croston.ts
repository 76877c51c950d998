/** Share of the newest demand in a forecast, where nothing else is said: a usual choice for parts that seldom move. */
export const ALPHA = 0.1

function shareOrThrow(alpha: number, name: string): void {
  if (!(alpha > 0 && alpha <= 1)) throw new RangeError(`${name} must be above 0 and at most 1, not ${alpha}`)
}

/**
 * Simple exponential smoothing, started at the first value: f + alpha (demand - f) after each period. Pieces a period; null
 * without a history (R. G. Brown, Statistical Forecasting for Inventory Control, 1959).
 *
 * Example: ses([2, 3]) is 2.1.
 */
export function ses(history: readonly number[], alpha: number = ALPHA): number | null {
  shareOrThrow(alpha, 'ses: alpha')
  const [first, ...rest] = history
  if (first === undefined) return null
  return rest.reduce((level, demand) => level + alpha * (demand - level), first)
}

export interface CrostonForecast {
  /** Pieces at a demand, and periods from one to the next; null before the first demand. */
  size: number | null
  interval: number | null
  /** Pieces a period: size / interval, 0 before the first demand. */
  perPeriod: number
}

/**
 * Croston's method (Operational Research Quarterly 23, 1972): size of a demand and periods between demands are smoothed apart,
 * and only in periods with demand. Started at the first size and at the number of the period it came in, counted from 1. A part
 * that dies keeps its forecast: see tsb.
 */
export function croston(history: readonly number[], alpha: number = ALPHA): CrostonForecast {
  shareOrThrow(alpha, 'croston: alpha')
  let size: number | null = null
  let interval: number | null = null
  let last = 0
  for (const [at, demand] of history.entries()) {
    if (demand <= 0) continue
    const gap = at + 1 - last
    last = at + 1
    size = size === null ? demand : size + alpha * (demand - size)
    interval = interval === null ? gap : interval + alpha * (gap - interval)
  }
  return { size, interval, perPeriod: size === null || interval === null ? 0 : size / interval }
}

/**
 * Croston less its bias, which comes of dividing by a smoothed interval: (1 - alpha / 2) size / interval (Syntetos and Boylan,
 * International Journal of Forecasting 21, 2005).
 */
export function sba(history: readonly number[], alpha: number = ALPHA): number {
  return (1 - alpha / 2) * croston(history, alpha).perPeriod
}

export interface TsbForecast {
  chance: number
  size: number
  perPeriod: number
}

/**
 * Teunter, Syntetos and Babai (European Journal of Operational Research 214, 2011): the chance of a demand is smoothed in every
 * period, so a part that dies fades out; the size only in periods with demand.
 *
 * `series` starts at the share of periods with demand and the mean size of the whole history, which looks ahead and is good for
 * the last forecast only. `first` starts at the first demand, one over its period, and looks at the past only: null before it.
 */
export function tsb(
  history: readonly number[],
  start: 'series' | 'first' = 'series',
  alphaSize: number = ALPHA,
  alphaChance: number = alphaSize,
): TsbForecast | null {
  shareOrThrow(alphaSize, 'tsb: the share of the newest size')
  shareOrThrow(alphaChance, 'tsb: the share of the newest period')
  const first = history.findIndex((demand) => demand > 0)
  if (first === -1) return start === 'first' || history.length === 0 ? null : { chance: 0, size: 0, perPeriod: 0 }
  let chance: number
  let size: number
  let from: number
  if (start === 'series') {
    const demands = history.filter((demand) => demand > 0)
    chance = demands.length / history.length
    size = demands.reduce((sum, demand) => sum + demand, 0) / demands.length
    from = 0
  } else {
    chance = 1 / (first + 1)
    size = history[first]!
    from = first + 1
  }
  for (const demand of history.slice(from)) {
    chance += alphaChance * ((demand > 0 ? 1 : 0) - chance)
    if (demand > 0) size += alphaSize * (demand - size)
  }
  return { chance, size, perPeriod: chance * size }
}
