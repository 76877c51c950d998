import { negativeBinomialMean } from './distribution.ts'
import { AMOUNT_MAX } from './lots.ts'
import { ratePriorFit } from './rate-prior.ts'

/** A history of amounts; `crowds` are the demands that each period with demand was foreseen to hold (`PartRate`). */
export interface Amounts {
  quantities: readonly number[]
  crowds: Float64Array
}

/** What a part was taken in. */
export interface SizesSeen {
  /** How often each amount was taken; the newest weigh most where the histories say so. */
  amounts: ReadonlyMap<number, number>
  count: number
  /**
   * Demands as they were foreseen, and pieces beyond the first of each, the newest weighing most: whether more or less is taken
   * at once than it was. Where fewer demands came than were foreseen, there may be less than none of such pieces.
   */
  fadedCount: number
  fadedBeyond: number
}

/** How fast the past fades: weight of a period beside the next one. */
export interface SizeFading {
  /** For the mean. */
  mean: number
  /** For the amounts themselves: a set of twelve may be a set of twelve after years. */
  amounts: number
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
  fading: SizeFading
}

/** Weight of an amount beside the next one, for what is taken lately. */
const NEWEST_FADE = 0.9
/** Deviations of the mean amount by which it is plainly below the demands foreseen. */
const PLAINLY_BELOW = 1.5

/** Variance of the demands of a period that has any, when `crowd` of them are expected (Poisson, none left out). */
function crowdVariance(crowd: number): number {
  let rate = crowd
  for (let round = 0; round < 20; round++) rate = crowd * -Math.expm1(-rate)
  return Math.max(0, crowd * (1 + rate - crowd))
}

/**
 * Demands of each period as the rate foresees them, and of the period to come, as far as the amounts bear it out: every demand takes
 * a piece at least, so there are no more of them than pieces. How many there are in a part that is asked for in every period,
 * months without demand cannot tell; where the pieces are plainly fewer, they do.
 */
export function crowdsBorne(
  quantities: readonly number[],
  { crowds, crowdAhead }: { crowds: Float64Array; crowdAhead: number },
): { crowds: Float64Array; crowdAhead: number } {
  let sum = 0
  let foreseenSum = 0
  let count = 0
  let newest = 0
  let weights = 0
  for (const [at, amount] of quantities.entries()) {
    if (amount <= 0) continue
    sum += amount
    foreseenSum += crowds[at]!
    count += 1
    newest = NEWEST_FADE * newest + amount
    weights = NEWEST_FADE * weights + 1
  }
  if (count === 0) return { crowds, crowdAhead }
  const crowd = foreseenSum / count
  if (crowd - sum / count <= PLAINLY_BELOW * Math.sqrt(crowdVariance(crowd) / count)) return { crowds, crowdAhead }
  const most = Math.max(1, sum / count, newest / weights)
  return { crowds: crowds.map((one) => Math.min(one, most)), crowdAhead: Math.min(crowdAhead, most) }
}

export const FADES_NONE: SizeFading = { mean: 1, amounts: 1 }
const FADES = [1, 0.95, 0.9] as const

export function sizesSeen({ quantities, crowds }: Amounts, fading: SizeFading): SizesSeen {
  const amounts = new Map<number, number>()
  let count = 0
  let fadedCount = 0
  let fadedBeyond = 0
  let weight = 1
  let own = 1
  for (let at = quantities.length - 1; at >= 0; at--, weight *= fading.mean, own *= fading.amounts) {
    const amount = quantities[at]!
    if (amount <= 0) continue
    amounts.set(amount, (amounts.get(amount) ?? 0) + own)
    count += own
    fadedCount += weight * crowds[at]!
    fadedBeyond += weight * (amount - crowds[at]!)
  }
  return { amounts, count, fadedCount, fadedBeyond }
}

/** A mean of the smooth curve is never quite zero. */
const BEYOND_MIN = 1e-3

/** Pieces beyond the first that a period with demand is expected to bring, if it holds `crowd` demands. */
function beyondMean(
  prior: SizeModel['prior'],
  seen: Pick<SizesSeen, 'fadedCount' | 'fadedBeyond'>,
  crowd: number,
): number {
  const each = 1 + Math.max(0, prior.shape + seen.fadedBeyond) / (prior.exposure + seen.fadedCount)
  return Math.max(BEYOND_MIN, each * crowd - 1)
}

const SPREADS = [0.15, 0.3, 0.5, 0.7, 1, 1.5, 2.5, 5, 20, 100, 1000, 10_000] as const
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

/** The first few amounts of a part with many say nothing of the spread where they are large: of how large, the class knows little. */
const DEMANDS_MANY = 12
const DEMANDS_FIRST = 3
const AMOUNT_LARGE = 10

function firstUntold(quantities: readonly number[]): number {
  const amounts = quantities.filter((amount) => amount > 0)
  const sum = amounts.reduce((all, amount) => all + amount, 0)
  return amounts.length >= DEMANDS_MANY && sum >= AMOUNT_LARGE * amounts.length ? DEMANDS_FIRST : 0
}

/** Each demand beside what was known just before it, in the order of time. */
function foreseen(histories: readonly Amounts[], fading: SizeFading, prior: SizeModel['prior']): Foreseen[] {
  const all: Foreseen[] = []
  for (const { quantities, crowds } of histories) {
    const amounts = new Map<number, number>()
    let count = 0
    let fadedCount = 0
    let fadedBeyond = 0
    let last = 0
    let nth = 0
    const untold = firstUntold(quantities)
    for (const [at, amount] of quantities.entries()) {
      if (amount <= 0) continue
      nth += 1
      const faded = fading.mean ** (at - last)
      fadedCount *= faded
      fadedBeyond *= faded
      if (fading.amounts < 1) {
        const kept = fading.amounts ** (at - last)
        count *= kept
        for (const [known, often] of amounts) amounts.set(known, often * kept)
      }
      last = at
      const mean = beyondMean(prior, { fadedCount, fadedBeyond }, crowds[at]!)
      if (nth > untold) all.push({ beyond: amount - 1, same: amounts.get(amount) ?? 0, count, mean })
      amounts.set(amount, (amounts.get(amount) ?? 0) + 1)
      count += 1
      fadedCount += crowds[at]!
      fadedBeyond += amount - crowds[at]!
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

/**
 * What parts of the class take beyond the first piece. Its spread is told by what is more than none; its mean by all, for whoever leaves
 * out that fewer demands came than were foreseen finds too much beyond the first.
 */
function priorOf(seen: readonly SizesSeen[]): SizeModel['prior'] {
  const beyond = Math.max(
    0,
    seen.reduce((sum, one) => sum + one.fadedBeyond, 0),
  )
  const count = seen.reduce((sum, one) => sum + one.fadedCount, 0)
  const fitted = ratePriorFit(seen.map((one) => ({ count: Math.max(0, one.fadedBeyond), exposure: one.fadedCount })))
  const mean = beyond / count
  if (fitted === null || !(mean > 0)) return { shape: mean, exposure: 1 }
  return { shape: mean * fitted.exposure, exposure: fitted.exposure }
}

function fitFaded(histories: readonly Amounts[], fading: SizeFading): Judged | null {
  const seen = histories.map((one) => sizesSeen(one, fading)).filter(({ count }) => count > 0)
  if (seen.every(({ amounts }) => [...amounts.keys()].every((amount) => amount === 1))) return null
  const prior = priorOf(seen)
  const demands = foreseen(histories, fading, prior)
  let best: Judged | null = null
  for (const spread of SPREADS) {
    const smooth = demands.map(({ beyond: pieces, mean }) => negativeBinomialMean(spread, mean).pmf(pieces))
    for (const weight of WEIGHTS) {
      let likelihood = 0
      for (const [at, one] of demands.entries())
        likelihood += Math.log(Math.max(1e-300, (one.same + weight * smooth[at]!) / (one.count + weight)))
      if (!best || likelihood > best.likelihood) best = { model: { prior, spread, weight, fading }, likelihood }
    }
  }
  return best
}

/** What is said first stands unless another is plainly better: a short past tells nothing of how it fades. */
const PLAINLY = 3

/**
 * The model of a class from whole amounts. Spread, weight and fading are those under which each demand was least surprising,
 * given only what came before it (prequential likelihood, Dawid, Journal of the Royal Statistical Society A 147, 1984). Null
 * where nothing was asked for, or always one piece.
 */
export function sizeModelFit(histories: readonly Amounts[]): SizeModel | null {
  let best: Judged | null = null
  for (const mean of FADES) {
    const judged = fitFaded(histories, { mean, amounts: 1 })
    if (judged && (!best || judged.likelihood > best.likelihood + PLAINLY)) best = judged
  }
  const { mean } = best?.model.fading ?? FADES_NONE
  for (const amounts of FADES) {
    const judged = amounts < 1 && best ? fitFaded(histories, { mean, amounts }) : null
    if (judged && best && judged.likelihood > best.likelihood + PLAINLY) best = judged
  }
  return best?.model ?? null
}

/** Where the rest of the smooth curve no longer matters. */
const REST = 1e-7
/** So many deviations below the mean the smooth curve has nothing that a double shows beside the rest. */
const BELOW = 12

/** Chances of 1, 2, ... pieces for one part in a period that holds `crowd` demands. Without a model it is always one piece. */
export function sizeChances(model: SizeModel | null, seen: SizesSeen, crowd: number): number[] {
  if (!model) return [1]
  const { prior, spread, weight } = model
  const mean = beyondMean(prior, seen, crowd)
  const smooth = negativeBinomialMean(spread, mean)
  const whole = seen.count + weight
  const q = mean / (spread + mean)
  // From where there is something: the chance of none may be below the smallest number, and nothing would come of it.
  const first = Math.max(0, Math.floor(mean - BELOW * Math.sqrt(smooth.variance)))
  const chances = Array.from({ length: first }, () => 0)
  let chance = smooth.pmf(first)
  let rest = smooth.upper(first - 1)
  for (let beyond = first; beyond < first + 2 * AMOUNT_MAX && rest > REST; beyond++) {
    if (beyond > first) chance *= (q * (beyond - 1 + spread)) / beyond
    rest -= chance
    chances.push((weight * chance) / whole)
  }
  for (const [amount, own] of seen.amounts) {
    while (chances.length < amount) chances.push(0)
    chances[amount - 1]! += own / whole
  }
  return chances
}
