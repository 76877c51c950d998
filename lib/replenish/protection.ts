import { must } from '../must.ts'

/** Mean and variance of a number that is not known beforehand. */
export interface Moments {
  mean: number
  variance: number
}

/**
 * Need of a part for planning; times in periods of its history, quantities in pieces. Over a time t the need has mean m t and
 * variance v t + w t^2: `variance` v is what happens by chance from one period to the next, `rateVariance` w is how far the true
 * rate may lie from the estimate, which does not average out over a longer time.
 */
export interface NeedFacts {
  mean: number
  variance: number
  rateVariance?: number
  /** What one customer takes at once; null or absent where pieces are taken singly. */
  sizes?: SizeMoments | null
}

/** Means of the size, of its square and of its cube. */
export interface SizeMoments {
  first: number
  second: number
  third: number
}

export interface TimeFacts {
  leadMean: number
  leadSd: number
  /** Periods between two looks at the shelf; 0 where every taking is looked at. */
  review: number
}

/** Moments of the sizes of single takings. Example: 2, 2, 2 gives 2, 4, 8. Null for none. */
export function sizeMoments(sizes: readonly number[]): SizeMoments | null {
  const taken = sizes.filter((size) => size > 0)
  if (taken.length === 0) return null
  const mean = (power: number) => taken.reduce((sum, size) => sum + size ** power, 0) / taken.length
  return { first: mean(1), second: mean(2), third: mean(3) }
}

/**
 * Need over a time that is itself not known: conditioning on the time gives mean m E(T) and variance
 * v E(T) + w E(T^2) + m^2 Var(T). With w = 0 it is l sd^2 + d^2 sL^2 of Hopp & Spearman, Factory Physics, chapter 2.
 */
export function needOver({ mean, variance, rateVariance = 0 }: NeedFacts, time: Moments): Moments {
  return {
    mean: mean * time.mean,
    variance: variance * time.mean + rateVariance * (time.mean ** 2 + time.variance) + mean ** 2 * time.variance,
  }
}

/**
 * Pieces of the same taking that go before a piece picked at random: sizes weighted by themselves, a place in them at random. It is
 * also how far a taking carries the position below the reorder point (Feller, An Introduction to Probability Theory and Its
 * Applications II, renewal theory; from memory). Pairs: 0 or 1, mean 1/2.
 */
export function aheadInTaking(sizes: SizeMoments | null | undefined): Moments {
  if (!sizes || sizes.first <= 0) return { mean: 0, variance: 0 }
  const { first, second, third } = sizes
  const mean = Math.max(0, (second / first - 1) / 2)
  const square = Math.max(0, (2 * third - 3 * second + first) / (6 * first))
  return { mean, variance: Math.max(0, square - mean ** 2) }
}

export interface Protection {
  /** Need while an order is on its way. */
  lead: Moments
  /** Need from the look at the shelf that just missed it until that order has come: lead time + review. */
  whole: Moments
  /**
   * What has been taken, and is not back yet, before a piece picked at random: over the lead time and the time since the last look
   * at the shelf, which is anything from 0 to the review with equal chance, and in its own taking.
   */
  piece: Moments
  /** The same at a moment picked at random, without the taking: what stock and waiting pieces are counted from. */
  anyTime: Moments
}

const plus = (a: Moments, b: Moments): Moments => ({ mean: a.mean + b.mean, variance: a.variance + b.variance })

/** Pieces in a period below which no ratio to the mean has digits left. */
const ALMOST_NONE = 1e-9
const WEIGHT_MOST = 4

const SINGLY: SizeMoments = { first: 1, second: 1, third: 1 }

/**
 * Sizes as they were taken (singly where nothing is known); where the spread is wider than they explain, takings come in runs of a
 * logarithmic number N, which is what makes a negative binomial need of single pieces (Quenouille, Biometrics 5, 1949; from
 * memory). Need whose variance is c times its mean is that of runs S with E(S^2) / E(S) = c. With N of E(N^2) / E(N) = 1 + k,
 * E(N^3) / E(N) = 2 (1 + k)^2 - (1 + k), and sizes X: E(S^2) / E(N) = E(X^2) + k E(X)^2 and
 * E(S^3) / E(N) = E(X^3) + 3 k E(X) E(X^2) + 2 k^2 E(X)^3. A spread a little wider than the sizes moves them only a little.
 */
function sizesTold({ mean, variance, sizes }: NeedFacts): SizeMoments {
  const { first, second, third } = sizes && sizes.first > 0 ? sizes : SINGLY
  const ratio = mean > ALMOST_NONE ? variance / mean : 0
  const k = Math.max(0, (ratio - second / first) / first)
  return {
    first,
    second: second + k * first ** 2,
    third: third + 3 * k * first * second + 2 * k ** 2 * first ** 3,
  }
}

/**
 * Need as a piece picked at random meets it: where the rate is not known for sure, more pieces are wanted at high rates than at low
 * ones. A gamma rate weighted by itself has one more in its shape: all moments grow by 1 + w / m^2.
 */
function needOfPiece({ mean, variance, rateVariance = 0 }: NeedFacts): NeedFacts {
  const more = mean > ALMOST_NONE ? 1 + rateVariance / mean ** 2 : 1
  // A rate so uncertain that its mean says nothing: weighting it would weigh noise.
  const by = Math.min(more, WEIGHT_MOST)
  return { mean: mean * by, variance: variance * by, rateVariance: rateVariance * by }
}

/** What goes before a piece where the smallest amount is `unit`: what is kept in pairs is taken in pairs. */
function aheadInUnits(sizes: SizeMoments, unit: number): Moments {
  const { first, second, third } = sizes
  const ahead = aheadInTaking({ first: first / unit, second: second / unit ** 2, third: third / unit ** 3 })
  return { mean: ahead.mean * unit, variance: ahead.variance * unit ** 2 }
}

/** Need over the times that a level has to last, in pieces; `unit` is the smallest amount that is kept: a piece, a set, a grain. */
export function protection(need: NeedFacts, { leadMean, leadSd, review }: TimeFacts, unit = 1): Protection {
  for (const value of [need.mean, need.variance, need.rateVariance ?? 0, leadMean, leadSd, review])
    must(Number.isFinite(value) && value >= 0, 'need, lead time and review are numbers from 0')
  const variance = leadSd ** 2
  const seen = { mean: leadMean + review / 2, variance: variance + review ** 2 / 12 }
  const ahead = aheadInUnits(sizesTold(need), unit)
  const whole = needOver(need, { mean: leadMean + review, variance })
  return {
    lead: needOver(need, { mean: leadMean, variance }),
    // Seen at every taking, the last taking carries the position below the reorder point; seen at a review, that need is in it.
    whole: review === 0 ? plus(whole, ahead) : whole,
    piece: plus(needOver(needOfPiece(need), seen), ahead),
    anyTime: needOver(need, seen),
  }
}
