import { type Distribution, numberOrThrow, wholeDistribution } from './distribution-shape.ts'
import { empirical } from './empirical.ts'
import { inLots } from './lots.ts'
import { negativeBinomialMean, negativeBinomialMoments } from './negative-binomial.ts'
import { poisson } from './poisson.ts'

/** Steps that a table may take, from none to 12 deviations beyond the mean; of more than that a coarser one is made. */
const STEPS_MAX = 20_000_000
/** As many where nearly every order brings so many pieces that one or two more or less are not seen. */
const STEPS_COARSE = 2_000_000
const PIECES_COARSE = 50
const TABLE_MAX = 1_000_000
/** A table is asked no further than this many times the last amount that can matter: past it every chance is zero to a double. */
const FAR_TIMES = 4
const RESCALE_AT = 1e200

/** Gives P(D = 0), P(D = 1), ... one after the other. */
type Walk = () => number

/**
 * Panjer's recursion (ASTIN Bulletin 12, 1981): orders with P(n) = (a + b / n) P(n - 1), each of 1, 2, ... pieces with the
 * chances `sizes`. All terms are positive here, so every probability keeps its digits. Values are carried with a common
 * factor e^scale, because P(D = 0) is below the smallest double where many orders are expected.
 */
function panjerWalk(logZero: number, a: number, b: number, sizes: readonly number[]): Walk {
  const most = sizes.length
  const recent = new Float64Array(most)
  let scale = logZero
  let k = -1
  return () => {
    k += 1
    let value = k === 0 ? 1 : 0
    for (let size = 1; size <= Math.min(most, k); size++)
      value += (a + (b * size) / k) * sizes[size - 1]! * recent[(k - size) % most]!
    if (value > RESCALE_AT) {
      for (let at = 0; at < most; at++) recent[at]! /= RESCALE_AT
      value /= RESCALE_AT
      scale += Math.log(RESCALE_AT)
    }
    recent[k % most] = value
    return value * Math.exp(scale)
  }
}

/** The same for Poisson orders of geometric sizes, with two running sums in place of all the sizes: k P(k) = rate (1 - rho) S. */
function geometricWalk(rate: number, rho: number): Walk {
  let plain = 0
  let bySize = 0
  let before = 0
  let scale = -rate
  let k = -1
  return () => {
    k += 1
    if (k === 0) {
      before = 1
      return Math.exp(scale)
    }
    plain = rho * plain + before
    bySize = rho * bySize + plain
    before = (rate * (1 - rho) * bySize) / k
    if (before > RESCALE_AT) {
      before /= RESCALE_AT
      plain /= RESCALE_AT
      bySize /= RESCALE_AT
      scale += Math.log(RESCALE_AT)
    }
    return before * Math.exp(scale)
  }
}

/**
 * Any number of orders up to counts.length - 1, with the chances `counts`: sums of two, three, ... orders are kept side by side
 * and each goes one piece further at a time.
 */
function countWalk(counts: readonly number[], sizes: readonly number[]): Walk {
  // Numbers of orders that hardly ever come are left out.
  const most = counts.findLastIndex((chance) => chance > 1e-15)
  const least = sizes.findIndex((chance) => chance > 0) + 1
  const sums: number[][] = Array.from({ length: most + 1 }, () => [])
  let k = -1
  return () => {
    k += 1
    let value = k === 0 ? counts[0]! : 0
    for (let orders = 1; orders <= most; orders++) {
      const fewer = sums[orders - 1]!
      let chance = 0
      if (orders === 1) chance = sizes[k - 1] ?? 0
      else {
        const last = Math.min(sizes.length, k)
        for (let size = least; size <= last; size++) chance += sizes[size - 1]! * fewer[k - size]!
      }
      sums[orders]!.push(chance)
      value += counts[orders]! * chance
    }
    return value
  }
}

/** A tail above this is what 1 leaves, to eleven digits and without looking further out; a smaller one is summed from far out. */
const TAIL_NEAR = 1e-4

/** The smallest double that has all its digits (IEEE 754). */
const SMALLEST_WHOLE = 2 ** -1022

/** Probabilities, tails and losses as far as they were asked for. */
class Table {
  private readonly chances: number[] = []
  private readonly below: number[] = []
  /** Loss at k: the mean, less P(D > 0), P(D > 1), ... up to there. */
  private readonly lossNear: number[]
  private above = new Float64Array(0)
  private lossFar = new Float64Array(0)
  /** Up to here tails and losses are summed from far enough out. */
  private goodTo = -1

  constructor(
    private readonly walk: Walk,
    private readonly mean: number,
    private readonly block: number,
  ) {
    this.lossNear = [mean]
  }

  private growTo(count: number): void {
    let sum = this.below.at(-1) ?? 0
    let loss = this.lossNear.at(-1)!
    while (this.chances.length < count) {
      // Below the smallest number with all its digits a walk may stand still instead of coming to zero, and never end.
      const walked = this.walk()
      const chance = walked < SMALLEST_WHOLE ? 0 : walked
      this.chances.push(chance)
      sum += chance
      loss -= 1 - Math.min(1, sum)
      this.below.push(Math.min(1, sum))
      this.lossNear.push(loss)
    }
  }

  chance(k: number): number {
    this.growTo(k + 1)
    return this.chances[k]!
  }

  cdf(k: number): number {
    this.growTo(k + 1)
    return this.below[k]!
  }

  /** Goes so far out that what comes after moves no digit of the loss at k. */
  private reach(k: number): void {
    if (k <= this.goodTo) return
    for (;;) {
      this.growTo(Math.max(Math.ceil(this.mean), k, this.chances.length) + this.block)
      let tail = 0
      let last = 0
      const end = this.chances.length
      for (let at = k + 1; at < end; at++) tail += this.chances[at]! * (at - k)
      for (let at = Math.max(k + 1, end - this.block); at < end; at++) last += this.chances[at]! * (at - k)
      // A whole block that adds nothing; probabilities far out fall at least as fast as in the block before.
      if (last <= tail * 1e-17) break
    }
    const end = this.chances.length
    this.above = new Float64Array(end)
    this.lossFar = new Float64Array(end)
    for (let at = end - 2; at >= 0; at--) {
      this.above[at] = this.above[at + 1]! + this.chances[at + 1]!
      this.lossFar[at] = this.lossFar[at + 1]! + this.above[at]!
    }
    this.goodTo = k
  }

  upper(k: number): number {
    const near = 1 - this.cdf(k)
    if (near > TAIL_NEAR) return near
    this.reach(k)
    return Math.min(1, this.above[k]!)
  }

  loss(k: number): number {
    this.growTo(k + 1)
    const near = this.lossNear[k]!
    if (near > TAIL_NEAR * Math.max(1, this.mean)) return near
    this.reach(k)
    return this.lossFar[k]!
  }
}

interface Compound {
  family: string
  parameters: Record<string, number>
  mean: number
  variance: number
  /** Multiplications for each further piece. */
  perPiece: number
  walk: () => Walk
}

const reachOf = ({ mean, variance }: Pick<Compound, 'mean' | 'variance'>) => mean + 12 * Math.sqrt(variance)
const isTooLong = (of: Pick<Compound, 'mean' | 'variance' | 'perPiece'>, steps = STEPS_MAX) =>
  reachOf(of) > TABLE_MAX || reachOf(of) * of.perPiece > steps

/** Whether all but one order of a hundred bring so many pieces. */
function areLarge(shares: readonly number[]): boolean {
  let small = 0
  for (let size = 1; size < PIECES_COARSE && size <= shares.length; size++) small += shares[size - 1]!
  return small < 0.01
}

/** Of what is too large for a table the negative binomial of the same mean and variance, under its own name. */
function fromTable(of: Compound): Distribution {
  const { family, parameters, mean, variance, walk } = of
  if (isTooLong(of)) return negativeBinomialMoments(mean, variance)
  const deviation = Math.sqrt(variance)
  const far = FAR_TIMES * Math.max(1000, reachOf(of))
  const table = new Table(walk(), mean, 32 + Math.ceil(2 * deviation))
  return wholeDistribution({
    family,
    parameters,
    mean,
    variance,
    skewness: 0,
    pmf(k) {
      return k > far ? 0 : table.chance(k)
    },
    cdf(k) {
      return k > far ? 1 : table.cdf(k)
    },
    upper(k) {
      return k > far ? 0 : table.upper(k)
    },
    loss(k) {
      return k > far ? 0 : table.loss(k)
    },
    // The table is its own step.
    step(k) {
      return table.chance(k)
    },
  })
}

/**
 * Stuttering Poisson demand: `rate` orders expected, each of 1, 2, ... pieces with chance (1 - rho) rho^(j - 1). What is taken
 * in ones and twos, seldom in dozens (Galliher, Morse and Simond, Operations Research 7, 1959).
 */
export function stuttering(rate: number, rho: number): Distribution {
  numberOrThrow(rate, rate >= 0, 'stuttering: the rate must be zero or more')
  numberOrThrow(rho, rho >= 0 && rho < 1, 'stuttering: rho must be from 0 to below 1')
  const parameters = { rate, rho }
  if (rho === 0 || rate === 0) return { ...poisson(rate), family: 'stuttering-poisson', parameters }
  return fromTable({
    family: 'stuttering-poisson',
    parameters,
    mean: rate / (1 - rho),
    variance: (rate * (1 + rho)) / (1 - rho) ** 2,
    perPiece: 1,
    walk() {
      return geometricWalk(rate, rho)
    },
  })
}

/** Chances of 1, 2, ... pieces an order, brought to a sum of 1, with their mean and mean square. */
function sizesRead(sizes: readonly number[]): { shares: number[]; mean: number; square: number } {
  const total = sizes.reduce((sum, chance) => sum + chance, 0)
  for (const chance of sizes) numberOrThrow(chance, chance >= 0, 'sizes: a chance must be zero or more')
  numberOrThrow(total, total > 0, 'sizes: one chance must be above zero')
  const last = sizes.findLastIndex((chance) => chance > 0)
  const shares = sizes.slice(0, last + 1).map((chance) => chance / total)
  let mean = 0
  let square = 0
  for (const [at, share] of shares.entries()) {
    mean += (at + 1) * share
    square += (at + 1) ** 2 * share
  }
  return { shares, mean, square }
}

/** Poisson orders of any sizes: `sizes[0]` is the chance of one piece, `sizes[1]` of two. */
export function compoundPoisson(rate: number, sizes: readonly number[]): Distribution {
  numberOrThrow(rate, rate >= 0, 'compoundPoisson: the rate must be zero or more')
  const { shares, mean, square } = sizesRead(sizes)
  const parameters = { rate, meanSize: mean, sizes: shares.length }
  if (shares.length === 1 || rate === 0) return { ...poisson(rate), family: 'compound-poisson', parameters }
  return fromTable({
    family: 'compound-poisson',
    parameters,
    mean: rate * mean,
    variance: rate * square,
    perPiece: shares.length,
    walk() {
      return panjerWalk(-rate, 0, rate, shares)
    },
  })
}

/** Negative binomial orders (shape r, `orders` expected) of any sizes: how often is not known for sure, nor how many at once. */
export function compoundNegativeBinomial(r: number, orders: number, sizes: readonly number[]): Distribution {
  const { shares, mean, square } = sizesRead(sizes)
  const plain = negativeBinomialMean(r, orders)
  const parameters = { r, p: r / (r + orders), meanSize: mean, sizes: shares.length }
  if (shares.length === 1 || plain.variance === 0) return { ...plain, family: 'compound-negative-binomial', parameters }
  const q = orders / (r + orders)
  return fromTable({
    family: 'compound-negative-binomial',
    parameters,
    mean: orders * mean,
    variance: orders * square + (plain.variance - orders) * mean * mean,
    perPiece: shares.length,
    walk() {
      return panjerWalk(r * Math.log1p(-q), q, (r - 1) * q, shares)
    },
  })
}

/** Two sizes of one, each as likely as before; the mean moves by half a piece at most. */
function coarser(sizes: readonly number[]): number[] {
  const lots = Array.from({ length: (sizes.length >> 1) + 1 }, () => 0)
  for (const [at, chance] of sizes.entries()) {
    const size = at + 1
    // An odd size lies between two lots and is shared by them.
    if (size % 2 === 0) lots[size / 2 - 1]! += chance
    else {
      const above = (size + 1) / 2
      lots[above - 1]! += size === 1 ? chance : chance / 2
      if (size > 1) lots[above - 2]! += chance / 2
    }
  }
  return lots
}

/**
 * Orders with the chances `counts` of none, one, two, ..., each of any sizes: what a monthly list shows, where all that was taken
 * in a month is one amount.
 */
export function compoundCounts(counts: readonly number[], sizes: readonly number[]): Distribution {
  const { shares, mean, square } = sizesRead(sizes)
  let total = 0
  let orders = 0
  for (const [count, chance] of counts.entries()) {
    numberOrThrow(chance, chance >= 0, 'compoundCounts: a chance must be zero or more')
    total += chance
    orders += count * chance
  }
  numberOrThrow(total, total > 0, 'compoundCounts: one chance must be above zero')
  orders /= total
  const family = 'compound-counts'
  const parameters = { ordersMost: counts.length - 1, meanOrders: orders, meanSize: mean, sizes: shares.length }
  if (shares.length === 1) return { ...empirical([...counts.keys()], counts), family, parameters }
  let variance = 0
  for (const [count, chance] of counts.entries()) variance += ((count - orders) ** 2 * chance) / total
  const whole = {
    mean: orders * mean,
    variance: orders * (square - mean * mean) + variance * mean * mean,
    perPiece: (counts.length - 1) * (shares.length - shares.findIndex((share) => share > 0)),
  }
  // Half as fine takes a quarter of the steps.
  if (isTooLong(whole, areLarge(shares) ? STEPS_COARSE : STEPS_MAX))
    return inLots(compoundCounts(counts, coarser(shares)), 2)
  return fromTable({
    family,
    parameters,
    ...whole,
    walk() {
      return countWalk(
        counts.map((chance) => chance / total),
        shares,
      )
    },
  })
}
