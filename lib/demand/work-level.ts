/** Of all parts together, period by period: parts asked for that were foreseen, those that came, and the variance foreseen. */
export interface Work {
  foreseen: Float64Array
  came: Float64Array
  variance: Float64Array
}

/** How much of a deviation is left after a period, and how far a period moves it; the histories say which fits. */
const STAYS = [0.7, 0.9, 1] as const
const MOVES = [1e-4, 4e-4, 1.6e-3, 6.4e-3] as const
/** Beyond this one list says more than it can know. */
const LEVEL_MAX = 1.5

interface Judged {
  log: number
  level: number
}

/** Kalman's filter over came / foreseen, from period `from` on; log of the chance of what came, and the level expected next. */
function followed({ foreseen, came, variance }: Work, from: number, stays: number, moves: number): Judged {
  let away = 0
  let unsure = stays < 1 ? moves / (1 - stays * stays) : 10 * moves
  let log = 0
  for (let at = from; at < foreseen.length; at++) {
    away *= stays
    unsure = stays * stays * unsure + moves
    if (!(foreseen[at]! > 0)) continue
    const noise = Math.max(variance[at]!, 1e-9) / (foreseen[at]! * foreseen[at]!)
    const error = came[at]! / foreseen[at]! - 1 - away
    const whole = unsure + noise
    log -= 0.5 * (Math.log(whole) + (error * error) / whole)
    away += (unsure / whole) * error
    unsure *= noise / whole
  }
  return { log, level: 1 + stays * away }
}

/**
 * How much more or less the whole shop works than each history alone lets one expect: no single part shows that the fleet runs
 * less this year, all of them do. A level around 1 that comes back to it or drifts (local level model, Harvey, Forecasting,
 * Structural Time Series Models and the Kalman Filter, 1989; from memory), chosen by likelihood; 1 where nothing plainly moves.
 */
export function workLevel(work: Work): number {
  const from = Math.ceil(work.foreseen.length / 3)
  let best: Judged = { log: followed(work, from, 0, 0).log + 1, level: 1 }
  for (const stays of STAYS)
    for (const moves of MOVES) {
      const one = followed(work, from, stays, moves)
      if (one.log > best.log) best = one
    }
  return Math.min(LEVEL_MAX, Math.max(1 / LEVEL_MAX, best.level))
}
