import { digamma, trigamma } from '../maths/digamma.ts'
import { logGamma } from '../maths/saddle-point.ts'

/** Demands that were seen, and how long and at how many places they could come up. Neither need be whole: the past may fade. */
export interface Seen {
  count: number
  exposure: number
}

/** Gamma distribution of the rate over the parts of a class: shape, and the exposure that it is worth. Mean shape / exposure. */
export interface RatePrior {
  shape: number
  exposure: number
}

/** Between parts that have nothing in common and parts that are all alike; beyond, the data tell nothing apart. */
const SHAPE_MIN = 1e-2
const SHAPE_MAX = 1e3
const ROUNDS_MAX = 100
/** Fewer parts tell no spread. */
const PARTS_MIN = 5

/** log of the negative binomial marginal, less what does not hang on the prior. */
function logLikelihood(seen: readonly Seen[], shape: number, exposure: number): number {
  const base = shape * Math.log(exposure) - logGamma(shape)
  let sum = 0
  for (const { count, exposure: own } of seen)
    sum += base + logGamma(shape + count) - (shape + count) * Math.log(exposure + own)
  return sum
}

/**
 * Prior of the rate by maximum likelihood: counts are negative binomial once the rate has been averaged over the class (empirical
 * Bayes: Gelman and others, Bayesian Data Analysis, 3rd edition, chapter 5; Carlin and Louis, chapter 5). Newton in the logs of
 * both, its steps halved until the likelihood rises; where the likelihood is not concave its curvature is shifted until it is.
 *
 * A prior never knows more than all that was seen: its shape stays at or below the demands counted, else a few parts that are
 * alike by chance would make a certainty. Null where fewer than five parts were exposed or nothing was ever asked for: such a
 * class says nothing of its spread.
 */
export function ratePriorFit(given: readonly Seen[]): RatePrior | null {
  const seen = given.filter(({ exposure }) => exposure > 0)
  const count = seen.reduce((sum, one) => sum + one.count, 0)
  const total = seen.reduce((sum, one) => sum + one.exposure, 0)
  if (seen.length < PARTS_MIN || !(count > 0)) return null
  const shapeMost = Math.min(SHAPE_MAX, Math.max(0.5, count))
  const rate = count / total
  // Spread of the counts beyond Poisson, each part against the mean rate: a first shape by moments.
  let beyond = 0
  let square = 0
  for (const one of seen) {
    const expected = rate * one.exposure
    beyond += (one.count - expected) ** 2 - expected
    square += expected * expected
  }
  let logShape = Math.log(Math.min(shapeMost, Math.max(0.05, beyond > 0 ? square / beyond : shapeMost / 10)))
  let logExposure = logShape - Math.log(rate)
  let best = logLikelihood(seen, Math.exp(logShape), Math.exp(logExposure))
  for (let round = 0; round < ROUNDS_MAX; round++) {
    const shape = Math.exp(logShape)
    const exposure = Math.exp(logExposure)
    let byShape = 0
    let byExposure = 0
    let shapeTwice = 0
    let both = 0
    let exposureTwice = 0
    const digammaShape = digamma(shape)
    const trigammaShape = trigamma(shape)
    for (const one of seen) {
      const whole = exposure + one.exposure
      byShape += digamma(shape + one.count) - digammaShape + Math.log(exposure / whole)
      byExposure += shape / exposure - (shape + one.count) / whole
      shapeTwice += trigamma(shape + one.count) - trigammaShape
      both += 1 / exposure - 1 / whole
      exposureTwice += (shape + one.count) / (whole * whole) - shape / (exposure * exposure)
    }
    // In logs, where both stay above zero and the hill is rounder.
    const g1 = shape * byShape
    const g2 = exposure * byExposure
    const h12 = shape * exposure * both
    let h11 = shape * shape * shapeTwice + g1
    let h22 = exposure * exposure * exposureTwice + g2
    // Where the hill does not curve down every way it is bent until it does: along a ridge that still goes far.
    const apart = Math.hypot((h11 - h22) / 2, h12)
    const top = (h11 + h22) / 2 + apart
    if (top >= 0) {
      h11 -= top + 0.02 * apart
      h22 -= top + 0.02 * apart
    }
    const determinant = h11 * h22 - h12 * h12
    let step1 = (-g1 * h22 + g2 * h12) / determinant
    let step2 = (-g2 * h11 + g1 * h12) / determinant
    if (!Number.isFinite(step1 + step2)) break
    const isAtEnd = (logShape >= Math.log(shapeMost) && step1 > 0) || (logShape <= Math.log(SHAPE_MIN) && step1 < 0)
    if (isAtEnd) {
      // The shape can go no further, so the exposure goes its own way.
      step1 = 0
      step2 = h22 < 0 ? -g2 / h22 : Math.sign(g2)
    }
    const longest = Math.max(Math.abs(step1), Math.abs(step2))
    if (longest > 2) {
      step1 *= 2 / longest
      step2 *= 2 / longest
    }
    let moved = false
    for (let half = 1; half > 1e-6; half /= 2) {
      const nextShape = Math.min(Math.log(shapeMost), Math.max(Math.log(SHAPE_MIN), logShape + half * step1))
      const nextExposure = logExposure + half * step2
      const value = logLikelihood(seen, Math.exp(nextShape), Math.exp(nextExposure))
      if (value > best) {
        moved = value - best > 1e-10 * Math.abs(best)
        best = value
        logShape = nextShape
        logExposure = nextExposure
        break
      }
    }
    if (!moved) break
  }
  return { shape: Math.exp(logShape), exposure: Math.exp(logExposure) }
}
