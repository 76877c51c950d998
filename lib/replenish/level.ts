import { type Distribution, gammaMoments, negativeBinomialMoments, normal, poisson } from '../demand/distribution.ts'
import { must } from '../must.ts'
import { deliveryShare } from './delivery-share.ts'
import { type Moments, type NeedFacts, type Protection, protection, type TimeFacts } from './protection.ts'
import { type Step, Steps } from './step.ts'

/**
 * What a level is to achieve. fill: share of pieces served at once; cycle: share of looks at the shelf after which nobody waits until
 * the order of the next look has come, or, every taking being looked at, of deliveries before which nobody waits; least-cost: the least of keeping pieces and of machines standing, both in money for one piece and one period.
 */
export type Target =
  | { kind: 'fill'; share: number }
  | { kind: 'cycle'; share: number }
  | { kind: 'least-cost'; holding: number; standing: number }

/** By what stands still without the part; common practice, no source. */
export const FILL_TARGETS = { vital: 0.99, essential: 0.95, desirable: 0.9 } as const

export interface LevelFacts {
  need: NeedFacts
  time: TimeFacts
  target: Target
  /** Pieces ordered at a time, more than 0 (`orderQuantity`). */
  quantity: number
  /** Pieces that one job takes; the shelf is never meant to hold less. */
  oneJob: number
  /** Kept in multiples of this: 2 for what is renewed in pairs. */
  set: number
  /** Smallest amount that a level is said in where it is poured or cut to length: 0.1 of a litre; null for pieces. */
  grain: number | null
}

export interface LevelAnswer {
  /** Order when position (on hand - allocated + on order) is at or below this. */
  reorderPoint: number
  /** Order so much that the position is this again. */
  orderUpTo: number
  /** Reorder point less mean need until an order has come, from 0. */
  safetyStock: number
  /** Share of pieces that the levels are expected to serve at once, 0 to 1. */
  fillRate: number
  /**
   * Looked at every review: share of looks after which nobody waits until the order of the next look has come, whether or not one is
   * raised, 0 to 1. Every taking being looked at: share of deliveries before which nobody waits.
   */
  cycleService: number
  /** Share of deliveries before which nobody waits (`deliveryShare`); null where nothing is wanted, or it is poured and seen at reviews. */
  deliveryService: number | null
  /** On the shelf at a moment picked at random. */
  meanOnHand: number
  protection: Protection
  steps: { reorderPoint: Step[]; orderUpTo: Step[] }
}

/** A part asked for less often than once in so many tries is not asked for: the digits of a tail are gone there. */
const NEVER = 1e-9
/** Below this many standard deviations from zero a normal distribution would see need below nothing. */
const NORMAL_FROM_SDS = 4
/** A gamma distribution so narrow is a normal one to the eye, and takes a thousand times as long. */
const BELL_FROM_SDS = 100
/** A spread this near to Poisson is taken for it. */
const POISSON_FROM = 0.9

/**
 * A distribution with the given mean and variance ("moment matched"): what the need over a random lead time adds up to is not
 * followed piece by piece. Negative binomial where the variance is above the mean; normal where it is well below and zero is
 * far; Poisson between them, which errs towards keeping more. Gamma for what is poured.
 */
export function matched({ mean, variance }: Moments, isPoured: boolean): Distribution {
  if (mean < NEVER || mean * mean < NEVER * variance) return poisson(0)
  const sd = Math.sqrt(variance)
  if (isPoured) return mean < BELL_FROM_SDS * sd ? gammaMoments(mean, variance) : normal(mean, sd)
  if (variance >= mean) return negativeBinomialMoments(mean, variance)
  const isSteady = variance < POISSON_FROM * mean && mean >= NORMAL_FROM_SDS * sd
  return isSteady ? normal(mean, sd) : poisson(mean)
}

/**
 * Share of pieces served at once when `quantity` is ordered each time the position falls to `s`. The position is then equally
 * often at each of s + 1 .. s + quantity (Hadley & Whitin, Analysis of Inventory Systems, 1963; Zipkin 2000, section 6.2; from
 * memory), and a piece is served where what has gone before it leaves one: 1 - (loss(s) - loss(s + quantity)) / quantity.
 */
export function fillRate(piece: Distribution, s: number, quantity: number): number {
  return Math.min(1, Math.max(0, 1 - (piece.loss(s) - piece.loss(s + quantity)) / quantity))
}

/** Keeping and waiting in one period at position y: h E(y - D)+ + p E(D - y)+. */
export function positionCost(anyTime: Distribution, y: number, holding: number, standing: number): number {
  return holding * (y - anyTime.mean) + (holding + standing) * anyTime.loss(y)
}

/** Smallest whole k from 0 with enough(k); `most` is known to be enough, or the best that can be said. */
function smallest(most: number, enough: (k: number) => boolean): number {
  if (most <= 0 || enough(0)) return 0
  let low = 0
  let high = most
  while (high - low > 1) {
    const middle = low + Math.floor((high - low) / 2)
    if (enough(middle)) high = middle
    else low = middle
  }
  return high
}

interface Needs {
  /** All in steps: one piece, one pair, one grain. */
  whole: Distribution
  piece: Distribution
  anyTime: Distribution
}

/** Reorder point in steps that meets the target with `quantity` steps an order. */
function reorderSteps({ whole, piece, anyTime }: Needs, target: Target, quantity: number, review: number): number {
  const missed = review > 0 ? 1 : 0
  switch (target.kind) {
    case 'cycle': {
      // Seen at a review, the position was at s + 1 at the worst when the last review let it pass.
      return Math.max(0, Math.ceil(whole.quantile(target.share)) - missed)
    }
    case 'fill': {
      const most = Math.ceil(piece.quantile(target.share))
      return smallest(most, (s) => fillRate(piece, s, quantity) >= target.share)
    }
    case 'least-cost': {
      const { holding, standing } = target
      const cost = (y: number) => positionCost(anyTime, y, holding, standing)
      // With s at the newsvendor's quantile every position above costs more than the one below.
      const most = Math.ceil(anyTime.quantile(standing / (holding + standing)))
      return smallest(most, (s) => cost(s + quantity + 1) >= cost(s + 1))
    }
  }
}

function factsMustHold({ target, quantity, oneJob, set, grain }: LevelFacts): void {
  must(Number.isFinite(quantity) && quantity > 0, 'an order is of more than nothing')
  must(Number.isFinite(oneJob) && oneJob >= 0, 'what one job takes is a number from 0')
  must(Number.isInteger(set) && set >= 1, 'parts are kept in sets of one or more')
  must(grain === null || (grain > 0 && set === 1), 'what is poured has a grain and comes in no sets')
  if (target.kind === 'least-cost')
    must(target.holding > 0 && target.standing >= 0, 'keeping a piece costs something, standing is not negative')
  else must(target.share > 0 && target.share < 1, 'a target is a share between 0 and 1')
}

const scaled = ({ mean, variance }: Moments, by: number): Moments => ({ mean: mean / by, variance: variance / by ** 2 })

function deliveryIn({ need, time, set }: LevelFacts, whole: Distribution, s: number): number | null {
  const { mean, variance } = scaled(need, set)
  const inSets = { mean, variance, rateVariance: (need.rateVariance ?? 0) / set ** 2 }
  return deliveryShare({ need: inSets, time, s, whole }, (moments) => matched(moments, false))
}

/** Stock at a random moment: position less what is on its way, and nothing below zero; the mean over at most 16 positions. */
function onHandMean(anyTime: Distribution, s: number, quantity: number): number {
  const count = Math.min(quantity, 16)
  let sum = 0
  for (let at = 0; at < count; at++) {
    const y = s + (count === quantity ? at + 1 : ((at + 0.5) / count) * quantity + 0.5)
    sum += y - anyTime.mean + anyTime.loss(y)
  }
  return Math.max(0, sum / count)
}

/**
 * Reorder point and order-up-to level of one part. Times are periods of the history (`NeedFacts`), quantities are pieces. What is
 * kept in pairs is reckoned in pairs: half a pair serves nobody. Example: Poisson need 10 until an order comes, single pieces, cycle
 * service 0.95: reorder point 15.
 */
export function level(facts: LevelFacts): LevelAnswer {
  factsMustHold(facts)
  const { need, time, target, oneJob, set, grain } = facts
  const unit = grain ?? set
  const over = protection(need, time, unit)
  const needs: Needs = {
    whole: matched(scaled(over.whole, unit), grain !== null),
    piece: matched(scaled(over.piece, unit), grain !== null),
    anyTime: matched(scaled(over.anyTime, unit), grain !== null),
  }
  const inSteps = (quantity: number) => Math.ceil(quantity / unit - 1e-9)
  const back = (steps: number) => (grain === null ? steps * set : Number((steps * grain).toPrecision(12)))
  const ordered = Math.max(1, inSteps(facts.quantity))
  const wanted = reorderSteps(needs, target, ordered, time.review)

  const low = new Steps()
  const high = new Steps()
  low.begin(target.kind === 'least-cost' ? 'least-cost' : 'target', back(wanted))
  // Order as soon as less than one job’s worth is left.
  const reorderPoint = low.to('one-job', Math.max(back(wanted), oneJob - (grain ?? 1)))
  high.begin('reorder-point', reorderPoint)
  const topped = high.to('quantity', reorderPoint + facts.quantity)
  const least = high.to('one-job', Math.max(topped, oneJob))
  const orderUpTo = high.to('set', Math.max(back(inSteps(least)), least))

  const s = Math.floor(reorderPoint / unit + 1e-9)
  const quantity = Math.max(1, Math.floor(orderUpTo / unit + 1e-9) - s)
  const cycleService = Math.min(1, needs.whole.cdf(time.review > 0 ? s + 1 : s))
  return {
    reorderPoint,
    orderUpTo,
    safetyStock: Math.max(0, reorderPoint - over.whole.mean),
    fillRate: fillRate(needs.piece, s, quantity),
    cycleService,
    deliveryService: time.review === 0 ? cycleService : grain === null ? deliveryIn(facts, needs.whole, s) : null,
    meanOnHand: onHandMean(needs.anyTime, s, quantity) * unit,
    protection: over,
    steps: { reorderPoint: low.list, orderUpTo: high.list },
  }
}
