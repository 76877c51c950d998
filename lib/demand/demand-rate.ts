import type { PartHistory } from './method.ts'
import { type RatePrior, ratePriorFit, type Seen } from './rate-prior.ts'

/** How fast the past may fade: weight of a period beside the next one. The histories themselves say which fits. */
export const FADES = [1, 0.98, 0.95, 0.9] as const

/** Where the rate of a part was learned: beside its own history from its class, from all parts, or from nothing at all. */
export type LearnedFrom = 'class' | 'all parts' | 'nothing'

export interface PartRate {
  /** The rate as a gamma distribution: demands per exposure, mean shape / exposure. */
  shape: number
  exposure: number
  /** Exposure of a coming period: that of the newest ones. */
  ahead: number
  learnedFrom: LearnedFrom
  /** Nothing was ever asked for: all that is known comes from the others. */
  isNew: boolean
}

/** Sums over a history so far, each period faded. */
interface Running {
  count: number
  periods: number
  exposed: number
  weight: number
  weightSquare: number
}

const runningNone = (): Running => ({ count: 0, periods: 0, exposed: 0, weight: 0, weightSquare: 0 })

function runningStep(sums: Running, quantity: number, exposure: number, fade: number): void {
  sums.count = sums.count * fade + (quantity > 0 ? 1 : 0)
  // A period in which nothing ran says nothing.
  sums.periods = sums.periods * fade + (exposure > 0 ? 1 : 0)
  sums.exposed = sums.exposed * fade + exposure
  sums.weight = sums.weight * fade + 1
  sums.weightSquare = sums.weightSquare * fade * fade + 1
}

/**
 * A period is seen as with or without demand, so two failures in one month look like one. The exposure is lessened by
 * share / -ln(1 - share), which makes the rate -ln(1 - share) where all periods are alike, as it is for Poisson failures.
 */
function seenOf({ count, periods, exposed, weight, weightSquare }: Running): Seen {
  const share = (count + 0.5) / (Math.max(periods, count) + 1)
  // A faded mean is as sure as so many whole periods: (sum of weights)^2 / sum of their squares.
  const worth = weight > 0 ? weight / weightSquare : 1
  return { count: count * worth, exposure: (exposed * worth * share) / -Math.log1p(-share) }
}

function historyRun({ quantities, exposure }: PartHistory, fade: number): Running {
  const sums = runningNone()
  for (const [at, quantity] of quantities.entries()) runningStep(sums, quantity, exposure?.[at] ?? 1, fade)
  return sums
}

/** log of the chance that a period of exposure `ahead` passes without demand, the rate being Gamma(shape, exposure). */
export function logQuiet({ shape, exposure }: { shape: number; exposure: number }, ahead: number): number {
  return -shape * Math.log1p(ahead / exposure)
}

/** A year of months or so: how far back the tracking looks. */
const TRACKING_FADE = 0.9
const TRACKING_MAX = 1.5

export interface Foresight {
  fade: number
  /** log of the chance of what was seen. */
  likelihood: number
  /**
   * Demands that came for each that was expected, of all parts together and the newest weighing most: no single part shows that
   * the whole fleet runs less this year, all of them do.
   */
  tracking: number
}

/**
 * How well the rates foresaw the second half of each history, period by period from what came before (prequential likelihood,
 * Dawid, Journal of the Royal Statistical Society A 147, 1984).
 */
function foresight(parts: readonly PartHistory[], prior: RatePrior, fade: number): Foresight {
  let sum = 0
  let expected = 1
  let came = 1
  for (const { quantities, exposure } of parts) {
    const sums = runningNone()
    const from = Math.ceil(quantities.length / 2)
    for (const [at, quantity] of quantities.entries()) {
      const own = exposure?.[at] ?? 1
      if (at >= from && own > 0) {
        const seen = seenOf(sums)
        const quiet = logQuiet({ shape: prior.shape + seen.count, exposure: prior.exposure + seen.exposure }, own)
        sum += quantity > 0 ? Math.log(Math.max(1e-300, -Math.expm1(quiet))) : quiet
        const weight = TRACKING_FADE ** (quantities.length - 1 - at)
        expected -= weight * Math.expm1(quiet)
        if (quantity > 0) came += weight
      }
      runningStep(sums, quantity, own, fade)
    }
  }
  const tracking = Math.min(TRACKING_MAX, Math.max(1 / TRACKING_MAX, came / expected))
  return { fade, likelihood: sum, tracking }
}

/** The fading under which the parts foresaw their own past best; nothing fades where nothing was ever asked for. */
export function fadeChoose(parts: readonly PartHistory[], fades: readonly number[] = FADES): Foresight {
  let best: Foresight = { fade: 1, likelihood: Number.NEGATIVE_INFINITY, tracking: 1 }
  for (const fade of fades) {
    if (!(fade > 0 && fade <= 1)) throw new RangeError(`the fading must be above 0 and at most 1, not ${fade}`)
    const prior = ratePriorFit(parts.map((part) => seenOf(historyRun(part, fade))))
    if (!prior) continue
    const one = foresight(parts, prior, fade)
    // What is said first stands unless another is plainly better: a short past tells nothing of how it fades.
    if (one.likelihood > best.likelihood + 1) best = one
  }
  return best
}

/**
 * Too few parts to tell a spread: worth half a demand at the rate of all of them together; nobody has a history: half a demand in
 * all that was run.
 */
function priorOfFew(seen: readonly Seen[]): RatePrior {
  const ran = seen.reduce((sum, { exposure }) => sum + exposure, 0)
  const count = seen.reduce((sum, one) => sum + one.count, 0)
  if (!(ran > 0)) return { shape: 0.5, exposure: 1 }
  return { shape: 0.5, exposure: count > 0 ? (0.5 * ran) / count : ran }
}

/** Indices of the parts of each class; parts without one are together under an empty name. */
export function classMembers(parts: readonly PartHistory[]): Map<string, number[]> {
  const members = new Map<string, number[]>()
  for (const [at, { partClass }] of parts.entries()) {
    const known = members.get(partClass ?? '')
    if (known) known.push(at)
    else members.set(partClass ?? '', [at])
  }
  return members
}

/**
 * Rates of all parts by empirical Bayes: a gamma prior from the class (from all parts, where the class is small or was never
 * asked for), moved by the part's own demands and exposure.
 */
export function partRates(
  parts: readonly PartHistory[],
  { fade, tracking }: Pick<Foresight, 'fade' | 'tracking'>,
): PartRate[] {
  const runs = parts.map((part) => historyRun(part, fade))
  const seen = runs.map(seenOf)
  const priorOfAll = ratePriorFit(seen)
  const isAsked = seen.some(({ count }) => count > 0)
  const rates: PartRate[] = []
  for (const [name, indices] of classMembers(parts)) {
    const ofClass = name === '' ? null : ratePriorFit(indices.map((at) => seen[at]!))
    const prior = ofClass ?? priorOfAll ?? priorOfFew(seen)
    for (const at of indices) {
      const { exposed, weight } = runs[at]!
      rates[at] = {
        shape: prior.shape + seen[at]!.count,
        exposure: prior.exposure + seen[at]!.exposure,
        ahead: (weight > 0 ? exposed / weight : 1) * tracking,
        learnedFrom: ofClass ? 'class' : isAsked ? 'all parts' : 'nothing',
        isNew: !parts[at]!.quantities.some((quantity) => quantity > 0),
      }
    }
  }
  return rates
}
