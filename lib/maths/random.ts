/**
 * The seeded source of chance for the demo and for simulations: xoshiro128** 1.1 by D. Blackman and S. Vigna (2018, public
 * domain), four words of 32 bits. The same seed gives the same numbers on every machine. Not for secrets.
 */
export type Random = () => number

const rotate = (word: number, by: number): number => (word << by) | (word >>> (32 - by))

/** The bare generator: each call answers 32 random bits. The four words of `state` must not all be zero. */
export function xoshiro128(state: readonly [number, number, number, number]): () => number {
  let [a, b, c, d] = state.map((word) => word | 0) as [number, number, number, number]
  if ((a | b | c | d) === 0) throw new RangeError('xoshiro128: a state of zeros would answer zeros for ever')
  return () => {
    const result = Math.imul(rotate(Math.imul(b, 5), 7), 9) >>> 0
    const shifted = b << 9
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= shifted
    d = rotate(d, 11)
    return result
  }
}

/** FNV-1a, 32 bits, over UTF-16 code units, from the given start: spreads a seed text over the state. */
function textHash(text: string, start: number): number {
  let hash = start >>> 0
  for (let at = 0; at < text.length; at++) hash = Math.imul(hash ^ text.charCodeAt(at), 0x01000193) >>> 0
  return hash
}

/** A source of uniform numbers in [0, 1) with 53 random bits each. Texts that differ give streams of their own. */
export function randomSeeded(seed: string | number): Random {
  const text = String(seed)
  const words = [0x811c9dc5, 0x9e3779b9, 0x7f4a7c15, 0x85ebca6b].map((start) => textHash(`${text}/${start}`, start))
  const next = xoshiro128([words[0]!, words[1]!, words[2]!, words[3]! | 1])
  // Seeds that differ in one letter begin close together; a few rounds part them.
  for (let round = 0; round < 16; round++) next()
  return () => ((next() >>> 5) * 0x4000000 + (next() >>> 6)) / 0x20000000000000
}

/** A whole number from `from` to `to`, both possible. */
export function randomInteger(random: Random, from: number, to: number): number {
  if (!Number.isSafeInteger(from) || !Number.isSafeInteger(to) || to < from)
    throw new RangeError(`randomInteger: ${from} to ${to} is no range of whole numbers`)
  return from + Math.floor(random() * (to - from + 1))
}

/** True with the given chance, 0 to 1. */
export function randomChance(random: Random, chance: number): boolean {
  return random() < chance
}

export function randomPick<T>(random: Random, from: readonly T[]): T {
  if (from.length === 0) throw new RangeError('randomPick: there is nothing to pick from')
  return from[Math.floor(random() * from.length)] as T
}

/** A shuffled copy (Fisher and Yates); the list handed in stays as it is. */
export function randomShuffle<T>(random: Random, list: readonly T[]): T[] {
  const shuffled = [...list]
  for (let at = shuffled.length - 1; at > 0; at--) {
    const other = Math.floor(random() * (at + 1))
    const kept = shuffled[at] as T
    shuffled[at] = shuffled[other] as T
    shuffled[other] = kept
  }
  return shuffled
}

function positive(value: number, what: string): void {
  if (!(value > 0) || !Number.isFinite(value)) throw new RangeError(`${what} must be above zero, not ${value}`)
}

/** Exponential with the given mean, by inversion. 1 - u because u may be 0 and its logarithm is not a number. */
export function randomExponential(random: Random, mean: number): number {
  positive(mean, 'randomExponential: the mean')
  return -mean * Math.log(1 - random())
}

/** Weibull with characteristic life `scale` (63.2 % have failed by then) and `shape` (above 1: wears out), by inversion. */
export function randomWeibull(random: Random, scale: number, shape: number): number {
  positive(scale, 'randomWeibull: the scale')
  positive(shape, 'randomWeibull: the shape')
  return scale * (-Math.log(1 - random())) ** (1 / shape)
}

/** Poisson count, by multiplying uniforms (Knuth, TAOCP 2, 3.4.1); large means are split so that the product stays above zero. */
export function randomPoisson(random: Random, mean: number): number {
  if (!(mean >= 0) || !Number.isFinite(mean)) throw new RangeError(`randomPoisson: the mean must not be ${mean}`)
  if (mean > 30) return randomPoisson(random, mean / 2) + randomPoisson(random, mean / 2)
  const floor = Math.exp(-mean)
  let count = 0
  for (let product = random(); product > floor; product *= random()) count += 1
  return count
}

/** Normal with the given mean and standard deviation (Box and Muller 1958, one of the two values). */
export function randomNormal(random: Random, mean: number, deviation: number): number {
  return mean + deviation * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
}

/**
 * Gamma with the given shape and mean shape, by G. Marsaglia and W. W. Tsang, ACM Transactions on Mathematical Software 26 (2000):
 * a normal cubed, taken or thrown back. Shapes below 1 come from one above it.
 */
export function randomGamma(random: Random, shape: number): number {
  positive(shape, 'randomGamma: the shape')
  if (shape < 1) return randomGamma(random, shape + 1) * (1 - random()) ** (1 / shape)
  const d = shape - 1 / 3
  const c = 1 / Math.sqrt(9 * d)
  for (;;) {
    const z = randomNormal(random, 0, 1)
    const v = (1 + c * z) ** 3
    if (v > 0 && Math.log(1 - random()) < 0.5 * z * z + d - d * v + d * Math.log(v)) return d * v
  }
}

/** Beta(a, b) as a share of two gammas. */
export function randomBeta(random: Random, a: number, b: number): number {
  const one = randomGamma(random, a)
  const other = randomGamma(random, b)
  return one + other > 0 ? one / (one + other) : a / (a + b)
}
