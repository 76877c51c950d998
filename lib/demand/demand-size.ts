import { negativeBinomialMean } from './distribution.ts'
import { ratePriorFit } from './rate-prior.ts'

/** What a part was taken in. Amounts are remembered in full: a set of twelve is a set of twelve after years. */
export interface SizesSeen {
  amounts: ReadonlyMap<number, number>
  count: number
  /** Demands and pieces beyond the first, the newest weighing most: whether more or less is taken at once than it was. */
  fadedCount: number
  fadedBeyond: number
}

/**
 * How amounts are spread over the parts of a class. The pieces beyond the first are negative binomial with a shape of the class
 * and a mean of the part, which is drawn to the class by a gamma prior; what the part itself was taken in (pairs, sets) comes
 * in beside it, the more the oftener it was seen.
 */
export interface SizeModel {
  prior: { shape: number; exposure: number }
  spread: number
  /** How many demands of the part weigh as much as the smooth curve. */
  weight: number
  /** Weight of a period beside the next one. */
  fade: number
}

/** Amounts of a history; for the mean, each period's weight is `fade` times that of the next one. */
export function sizesSeen(quantities: readonly number[], fade: number): SizesSeen {
  const amounts = new Map<number, number>()
  let count = 0
  let fadedCount = 0
  let fadedBeyond = 0
  let weight = 1
  for (let at = quantities.length - 1; at >= 0; at--, weight *= fade) {
    const amount = quantities[at]!
    if (amount <= 0) continue
    amounts.set(amount, (amounts.get(amount) ?? 0) + 1)
    count += 1
    fadedCount += weight
    fadedBeyond += weight * (amount - 1)
  }
  return { amounts, count, fadedCount, fadedBeyond }
}

const SPREADS = [0.15, 0.3, 0.5, 0.7, 1, 1.5, 2.5, 5, 20] as const
const WEIGHTS = [1, 2, 4, 8, 16, 64] as const
/** Demands that are looked at to choose: more of them choose the same. */
const DEMANDS_MAX = 1000

interface Foreseen {
  beyond: number
  /** Before this demand came: how often the same amount, how many demands, and the mean expected. */
  same: number
  count: number
  mean: number
}

/** Each demand beside what was known just before it, in the order of time. */
function foreseen(histories: readonly (readonly number[])[], fade: number, prior: SizeModel['prior']): Foreseen[] {
  const all: Foreseen[] = []
  for (const quantities of histories) {
    const amounts = new Map<number, number>()
    let count = 0
    let fadedCount = 0
    let fadedBeyond = 0
    let last = 0
    for (const [at, amount] of quantities.entries()) {
      if (amount <= 0) continue
      const faded = fade ** (at - last)
      last = at
      fadedCount *= faded
      fadedBeyond *= faded
      const mean = (prior.shape + fadedBeyond) / (prior.exposure + fadedCount)
      all.push({ beyond: amount - 1, same: amounts.get(amount) ?? 0, count, mean })
      amounts.set(amount, (amounts.get(amount) ?? 0) + 1)
      count += 1
      fadedCount += 1
      fadedBeyond += amount - 1
    }
  }
  if (all.length <= DEMANDS_MAX) return all
  const stride = all.length / DEMANDS_MAX
  return Array.from({ length: DEMANDS_MAX }, (_, at) => all[Math.floor(at * stride)]!)
}

interface Judged {
  model: SizeModel
  likelihood: number
}

function fitFaded(histories: readonly (readonly number[])[], fade: number): Judged | null {
  const seen = histories.map((quantities) => sizesSeen(quantities, fade)).filter(({ count }) => count > 0)
  const beyond = seen.reduce((sum, one) => sum + one.fadedBeyond, 0)
  if (!(beyond > 0)) return null
  const count = seen.reduce((sum, one) => sum + one.fadedCount, 0)
  const fitted = ratePriorFit(seen.map((one) => ({ count: one.fadedBeyond, exposure: one.fadedCount })))
  const prior = fitted ?? { shape: beyond / count, exposure: 1 }
  const demands = foreseen(histories, fade, prior)
  let best: Judged | null = null
  for (const spread of SPREADS) {
    const smooth = demands.map(({ beyond: pieces, mean }) => negativeBinomialMean(spread, mean).pmf(pieces))
    for (const weight of WEIGHTS) {
      let likelihood = 0
      for (const [at, one] of demands.entries())
        likelihood += Math.log(Math.max(1e-300, (one.same + weight * smooth[at]!) / (one.count + weight)))
      if (!best || likelihood > best.likelihood) best = { model: { prior, spread, weight, fade }, likelihood }
    }
  }
  return best
}

/**
 * The model of a class from whole amounts. Spread, weight and fading are those under which each demand was least surprising,
 * given only what came before it (prequential likelihood, Dawid, Journal of the Royal Statistical Society A 147, 1984). Null
 * where nothing was asked for, or always one piece.
 */
export function sizeModelFit(histories: readonly (readonly number[])[], fades: readonly number[]): SizeModel | null {
  let best: Judged | null = null
  for (const fade of fades) {
    const judged = fitFaded(histories, fade)
    if (judged && (!best || judged.likelihood > best.likelihood)) best = judged
  }
  return best?.model ?? null
}

/** Where the rest of the smooth curve no longer matters. */
const REST = 1e-7
/** An amount beyond this is not told piece by piece. */
export const AMOUNT_MAX = 4000

/** Chances of 1, 2, ... pieces for one part. Without a model it is always one piece. */
export function sizeChances(model: SizeModel | null, seen: SizesSeen): number[] {
  if (!model) return [1]
  const { prior, spread, weight } = model
  const mean = (prior.shape + seen.fadedBeyond) / (prior.exposure + seen.fadedCount)
  const smooth = negativeBinomialMean(spread, mean)
  const whole = seen.count + weight
  const chances: number[] = []
  const q = mean / (spread + mean)
  let chance = smooth.pmf(0)
  let rest = 1
  for (let beyond = 0; beyond < AMOUNT_MAX && rest > REST; beyond++) {
    if (beyond > 0) chance *= (q * (beyond - 1 + spread)) / beyond
    rest -= chance
    chances.push((weight * chance) / whole)
  }
  for (const [amount, own] of seen.amounts) {
    while (chances.length < amount) chances.push(0)
    chances[amount - 1]! += own / whole
  }
  return chances
}
