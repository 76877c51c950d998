import { betaBinomial } from '../demand/beta-binomial.ts'
import { negativeBinomialMean } from '../demand/negative-binomial.ts'
import { poisson } from '../demand/poisson.ts'

/** How many pieces are needed, as a chance of each number from `from` on; no chance stands outside the list. */
export interface Pieces {
  from: number
  chances: Float64Array
}

/** Ends of a distribution that together are less than this are cut: far below the last digit of any answer. */
const CUT = 1e-18
/** The same for failures, whose number has no end. */
const FAILURES_CUT = 1e-14

export const NO_PIECES: Pieces = { from: 0, chances: Float64Array.of(1) }

function trimmed(from: number, chances: Float64Array): Pieces {
  let first = 0
  let last = chances.length - 1
  for (let lost = chances[first]!; first < last && lost < CUT; lost += chances[first]!) first++
  for (let lost = chances[last]!; last > first && lost < CUT; lost += chances[last]!) last--
  return { from: from + first, chances: chances.subarray(first, last + 1) }
}

/** Need of two things that know nothing of each other: the convolution of both. */
export function piecesSum(a: Pieces, b: Pieces): Pieces {
  const [long, short] = a.chances.length >= b.chances.length ? [a.chances, b.chances] : [b.chances, a.chances]
  if (short.length === 1 && short[0] === 1) return { from: a.from + b.from, chances: long }
  const sum = new Float64Array(long.length + short.length - 1)
  for (let at = 0; at < short.length; at++) {
    const chance = short[at]!
    if (chance === 0) continue
    for (let other = 0; other < long.length; other++) sum[at + other]! += chance * long[other]!
  }
  return trimmed(a.from + b.from, sum)
}

/** Each of the things takes `quantity` pieces: a pair for every place. */
export function piecesTimes(a: Pieces, quantity: number): Pieces {
  if (quantity === 1) return a
  const chances = new Float64Array((a.chances.length - 1) * quantity + 1)
  for (let at = 0; at < a.chances.length; at++) chances[at * quantity] = a.chances[at]!
  return { from: a.from * quantity, chances }
}

/** How many of `places` are worn when each is with the given chance: ratios of neighbours from the likeliest outwards. */
export function binomialPieces(places: number, chance: number): Pieces {
  if (places === 0 || chance <= 0) return NO_PIECES
  if (chance >= 1) return { from: places, chances: Float64Array.of(1) }
  if (places === 1) return { from: 0, chances: Float64Array.of(1 - chance, chance) }
  const odds = chance / (1 - chance)
  const likeliest = Math.min(places, Math.floor((places + 1) * chance))
  const weights = new Float64Array(places + 1)
  weights[likeliest] = 1
  for (let k = likeliest; k < places; k++) weights[k + 1] = (weights[k]! * odds * (places - k)) / (k + 1)
  for (let k = likeliest; k > 0; k--) weights[k - 1] = (weights[k]! * k) / (odds * (places - k + 1))
  let total = 0
  for (const weight of weights) total += weight
  return trimmed(
    0,
    weights.map((weight) => weight / total),
  )
}

/** How many of `places` are worn when the chance itself is only known as Beta(a, b). */
export function betaBinomialPieces(places: number, a: number, b: number): Pieces {
  if (places === 0) return NO_PIECES
  if (places === 1) return binomialPieces(1, a / (a + b))
  const worn = betaBinomial(places, a, b)
  return trimmed(
    0,
    Float64Array.from({ length: places + 1 }, (_, k) => worn.pmf(k)),
  )
}

/** Beyond this mean the chance of no failure at all is too small to begin with. */
const MEAN_WALKED = 500

/** Failures of which `mean` are expected: Poisson, or negative binomial where the rate is uncertain by the given shape. */
export function failurePieces(mean: number, shape: number | null): Pieces {
  if (mean === 0) return NO_PIECES
  if (mean > MEAN_WALKED) return failuresMany(mean, shape)
  // Ratios of neighbours, cut where what follows is less than any digit of an answer.
  const rest = shape === null ? 0 : mean / (shape + mean)
  let chance = shape === null ? Math.exp(-mean) : Math.exp(-shape * Math.log1p(mean / shape))
  const chances = [chance]
  for (let k = 0; ; k++) {
    const ratio = shape === null ? mean / (k + 1) : (rest * (k + shape)) / (k + 1)
    chance *= ratio
    if (k > mean && chance < FAILURES_CUT * (1 - Math.min(ratio, 0.999))) break
    chances.push(chance)
  }
  return { from: 0, chances: Float64Array.from(chances) }
}

function failuresMany(mean: number, shape: number | null): Pieces {
  const failures = shape === null ? poisson(mean) : negativeBinomialMean(shape, mean)
  const first = failures.quantile(1e-13)
  const last = failures.quantile(1 - 1e-13)
  return { from: first, chances: Float64Array.from({ length: last - first + 1 }, (_, k) => failures.pmf(first + k)) }
}

/** Chance that at most `most` pieces are needed. */
export function piecesAtMost({ from, chances }: Pieces, most: number): number {
  let sum = 0
  const end = Math.min(chances.length, Math.floor(most) - from + 1)
  if (end === chances.length) return 1
  for (let at = 0; at < end; at++) sum += chances[at]!
  return Math.min(1, sum)
}

/** The same of the sum of several needs, without the last convolution. */
export function sumAtMost(needs: readonly Pieces[], most: number): number {
  if (needs.length === 0) return most >= 0 ? 1 : 0
  const [last, ...others] = [...needs].sort((a, b) => b.chances.length - a.chances.length)
  const rest = others.reduce(piecesSum, NO_PIECES)
  const leastLeft = most - rest.from
  if (leastLeft < last!.from) return 0
  if (most - rest.from - rest.chances.length + 1 >= last!.from + last!.chances.length - 1) return 1
  const upTo = new Float64Array(last!.chances.length)
  let sum = 0
  for (let at = 0; at < upTo.length; at++) upTo[at] = sum += last!.chances[at]!
  let chance = 0
  for (let at = 0; at < rest.chances.length; at++) {
    const left = leastLeft - at - last!.from
    if (left < 0) break
    chance += rest.chances[at]! * (left >= upTo.length ? 1 : upTo[left]!)
  }
  return Math.min(1, chance)
}
