import { normalQuantileNear } from '../maths/normal.ts'

/** Demand over some time as a chance of each amount: what a level, a fill rate and a picture are reckoned from. */
export interface Distribution {
  family: string
  parameters: Record<string, number>
  mean: number
  variance: number
  /** P(D = k) of whole pieces; the density for gamma and normal. */
  pmf(k: number): number
  /** P(D <= x). */
  cdf(x: number): number
  /** P(D > x), with its own digits where the cdf is 1 to a double. */
  upper(x: number): number
  /** The smallest x with cdf(x) >= p. */
  quantile(p: number): number
  /** E((D - x)+): pieces that are asked for and not there, on average, with x on the shelf. */
  loss(x: number): number
}

/** A distribution over 0, 1, 2, ... as its family knows it: every function is asked with a whole k of zero or more. */
export interface WholeFamily {
  family: string
  parameters: Record<string, number>
  mean: number
  variance: number
  /** Third central moment over sd^3: where a search for a quantile begins. */
  skewness: number
  pmf(k: number): number
  cdf(k: number): number
  upper(k: number): number
  loss(k: number): number
  /** pmf(k) from pmf(k - 1); a family without it is always searched by halving. */
  step?(k: number, before: number): number
}

/** A short walk from zero is cheaper than one incomplete beta function. */
const WALK_MAX = 512
/** Sums and tails of a double: two values that differ by less are the same chance. */
const SLACK = 1e-14
const UPPER_FOR_WALK = 1e-9

export function numberOrThrow(value: number, holds: boolean, what: string): void {
  if (!Number.isFinite(value) || !holds) throw new RangeError(`${what}, not ${value}`)
}

/** Cornish and Fisher's start: normal quantile bent by the skewness. Only a guess, so no digit hangs on it. */
function quantileGuess({ mean, variance, skewness }: WholeFamily, p: number): number {
  const z = normalQuantileNear(p)
  const guess = mean + Math.sqrt(variance) * (z + ((z * z - 1) * skewness) / 6)
  return Number.isFinite(guess) ? Math.max(0, Math.floor(guess)) : Math.ceil(mean)
}

/** Smallest k with enough(k), which is false below and true from there on; looked for from `start` outwards. */
function smallestFrom(start: number, stride: number, enough: (k: number) => boolean): number {
  let low = -1
  let high = start
  let step = Math.max(1, Math.floor(stride))
  if (enough(start)) {
    while (high - step > -1 && enough(high - step)) {
      high -= step
      step *= 2
    }
    low = Math.max(-1, high - step)
  } else {
    low = start
    high = start + step
    while (!enough(high)) {
      low = high
      step *= 2
      high += step
    }
  }
  while (high - low > 1) {
    const middle = low + Math.floor((high - low) / 2)
    if (enough(middle)) high = middle
    else low = middle
  }
  return high
}

function wholeQuantile(of: WholeFamily, p: number): number {
  if (Number.isNaN(p)) throw new RangeError('quantile: the chance must be a number')
  if (p <= 0) return 0
  if (p >= 1) return Number.POSITIVE_INFINITY
  const above = 1 - p
  const guess = quantileGuess(of, p)
  let start = guess
  if (of.step && above > UPPER_FOR_WALK && guess < WALK_MAX) {
    let chance = of.pmf(0)
    let sum = chance
    let k = 0
    const wanted = p - SLACK * p
    while (sum < wanted && k < 2 * WALK_MAX) {
      k += 1
      chance = of.step(k, chance)
      sum += chance
    }
    if (sum >= wanted) return k
    start = k
  }
  // Each side asks the tail that has the digits. The second term stands for what is lost when 1 - p is formed.
  return smallestFrom(start, Math.sqrt(of.variance) / 16, (k) =>
    p < 0.5 ? of.cdf(k) >= p * (1 - SLACK) : of.upper(k) <= above * (1 + SLACK) + 1.2e-16,
  )
}

/** A Distribution over whole pieces: amounts between two pieces, below zero and without end are dealt with here, once. */
export function wholeDistribution(of: WholeFamily): Distribution {
  return {
    family: of.family,
    parameters: of.parameters,
    mean: of.mean,
    variance: of.variance,
    // Methods, here and in the families: a function with an arrow is given its name anew each time it is made by some loaders.
    pmf(k) {
      return Number.isInteger(k) && k >= 0 ? of.pmf(k) : 0
    },
    cdf(x) {
      return x < 0 ? 0 : x === Number.POSITIVE_INFINITY ? 1 : of.cdf(Math.floor(x))
    },
    upper(x) {
      return x < 0 ? 1 : x === Number.POSITIVE_INFINITY ? 0 : of.upper(Math.floor(x))
    },
    quantile(p) {
      return wholeQuantile(of, p)
    },
    loss(x) {
      if (x <= 0) return of.mean - x
      if (x === Number.POSITIVE_INFINITY) return 0
      const k = Math.floor(x)
      // Between two pieces the loss falls in a straight line, with the chance of asking for more as its slope.
      return x === k ? of.loss(k) : Math.max(0, of.loss(k) - (x - k) * of.upper(k))
    },
  }
}

/** Demand that is always the same amount: no spread, so most formulas would divide by zero. */
export function certain(family: string, parameters: Record<string, number>, amount: number): Distribution {
  return {
    family,
    parameters,
    mean: amount,
    variance: 0,
    pmf(k) {
      return k === amount ? 1 : 0
    },
    cdf(x) {
      return x >= amount ? 1 : 0
    },
    upper(x) {
      return x >= amount ? 0 : 1
    },
    quantile() {
      return amount
    },
    loss(x) {
      return Math.max(0, amount - x)
    },
  }
}
