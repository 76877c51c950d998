import type { PartHistory } from './method.ts'
import {
  type Busy,
  busyAhead,
  busyFrom,
  type Followed,
  foreseenOf,
  type Ladder,
  quietChances,
  quietFrom,
  quietLookup,
  type Standing,
  standingFollow,
} from './rate-ladder.ts'
import { type BusyList, ladderFit, ladderOfClass, listLeast } from './rate-ladder-fit.ts'
import { type Work, workLevel } from './work-level.ts'

/** Where the rate of a part was learned: beside its own history from its class, from all parts, or from nothing at all. */
export type LearnedFrom = 'class' | 'all parts' | 'nothing'

export interface PartRate {
  /** Demands per exposure that are expected in the first coming period. */
  rate: number
  /** Exposure of a coming period: that of the newest ones, more or less as the whole shop works. */
  ahead: number
  learnedFrom: LearnedFrom
  /** Nothing was ever asked for: all that is known comes from the others. */
  isNew: boolean
  /**
   * Demands as they were foreseen in each period with demand so far (0 in the others), and in the one to come: two failures of one
   * month are one amount, so a part that is asked for less is asked for in smaller amounts too.
   */
  crowds: Float64Array
  crowdAhead: number
  /** Chances of 0, 1, ... periods with demand among the coming ones. */
  busyIn(periods: number): number[]
  /** Chance that none of them has demand. */
  quietIn(periods: number): number
}

/** A smaller class tells no rungs of its own. */
const CLASS_MIN = 5
/** Weight of a period beside the next one, for what ran lately: a year of months or so. */
const NEWEST_FADE = 0.9
/** Parts that the work of the whole shop is told from; more of them say the same. */
const FOLLOWED_MAX = 2000

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

/** Something was taken where nothing is known to have run: something did, for this share of what ran in other periods. */
const MOMENT = 1e-3

function busyOf({ quantities, exposure }: PartHistory): Busy {
  const length = quantities.length
  const periods = new Uint8Array(length)
  for (let at = 0; at < length; at++) if (quantities[at]! > 0) periods[at] = 1
  if (!exposure) return { periods, exposure: null }
  const ran = new Float64Array(length)
  let sum = 0
  for (let at = 0; at < length; at++) {
    ran[at] = Math.max(0, exposure[at] ?? 1)
    sum += ran[at]!
  }
  const mean = sum / Math.max(1, length)
  const least = MOMENT * (mean > 0 ? mean : 1)
  for (let at = 0; at < length; at++) if (periods[at] === 1 && ran[at]! < least) ran[at] = least
  return { periods, exposure: ran }
}

/** Histories of a list as far as the rate goes, each made when it is asked for: of a hundred thousand parts too much to hold. */
function busyList(parts: readonly PartHistory[], indices?: readonly number[]): BusyList {
  const at = (nth: number) => busyOf(parts[indices ? indices[nth]! : nth]!)
  return { length: indices ? indices.length : parts.length, at }
}

const isAsked = ({ quantities }: PartHistory) => quantities.some((quantity) => quantity > 0)

/** Beyond so many demands a period none is empty, as far as anybody will ever see. */
const STEADY_MOST = 12
/** Deviations of a variance from few periods that it may really be above what was seen. */
const VARIANCE_DEVIATIONS = 2
/** Fewer periods tell nothing of how steady amounts are. */
const STEADY_PERIODS = 6

/**
 * Demands per exposure that must come at least for amounts to be as steady as they are, for a part that is asked for in every
 * period; 0 for others, and where nothing tells. A sum of demands that know nothing of each other has variance / mean^2 >=
 * 1 / demands, with equality where all are alike. So whoever takes a hundred a month, give or take ten, has no empty month by
 * chance, though months with demand alone cannot tell a hundred from five.
 */
function steadyRate({ quantities }: PartHistory, { exposure }: Busy): { demands: number; pieces: number } | null {
  let count = 0
  let sum = 0
  let square = 0
  let ran = 0
  for (let at = 0; at < quantities.length; at++) {
    const own = exposure ? exposure[at]! : 1
    if (!(own > 0)) continue
    if (!(quantities[at]! > 0)) return null
    const amount = quantities[at]! / own
    count += 1
    sum += amount
    square += amount * amount
    ran += own
  }
  if (count < STEADY_PERIODS) return null
  const mean = sum / count
  const variance = Math.max(0, square / count - mean * mean) * (count / (count - 1))
  const most = variance * (1 + VARIANCE_DEVIATIONS * Math.sqrt(2 / (count - 1)))
  const demands = most > 0 ? Math.min(STEADY_MOST, (mean * mean) / most) : STEADY_MOST
  return { demands: (demands * count) / ran, pieces: mean }
}

function newestExposure({ exposure }: Busy): number {
  if (!exposure || exposure.length === 0) return 1
  let sum = 0
  let weights = 0
  for (let at = exposure.length - 1, weight = 1; at >= 0; at--, weight *= NEWEST_FADE) {
    sum += weight * exposure[at]!
    weights += weight
  }
  return sum / weights
}

/**
 * Work of the whole shop as the ladder foresaw it. On a list that leaves off what was hardly asked for, a part counts once it has
 * been asked for often enough to be on it: before that it was sure to be asked for, and no surprise.
 */
function workOf(all: readonly PartHistory[], ladderOf: (at: number) => Ladder, least: number): Work {
  const parts = busyList(all)
  const length = all.reduce((most, { quantities }) => Math.max(most, quantities.length), 0)
  const work: Work = {
    foreseen: new Float64Array(length),
    came: new Float64Array(length),
    variance: new Float64Array(length),
  }
  const stride = Math.max(1, parts.length / FOLLOWED_MAX)
  for (let nth = 0; nth < parts.length; nth += stride) {
    const at = Math.floor(nth)
    const part = parts.at(at)!
    const ladder = ladderOf(at)
    const early = length - part.periods.length
    let seen = 0
    standingFollow(ladder, part, quietLookup(ladder), (period, { busy }) => {
      if (seen >= least) {
        work.foreseen[early + period]! += busy
        work.came[early + period]! += part.periods[period]!
        work.variance[early + period]! += busy * (1 - busy)
      }
      seen += part.periods[period]!
    })
  }
  return work
}

/** Busy periods ahead of parts that are counted by the period: what all of a class share is reckoned once. */
function aheadOf(ladder: Ladder, level: number): (periods: number) => Float64Array[] {
  const known = new Map<number, Float64Array[]>()
  return (periods) => {
    const before = known.get(periods)
    if (before) return before
    const made = busyAhead(ladder, periods, level)
    known.set(periods, made)
    return made
  }
}

function mixed(standing: Standing, chances: readonly Float64Array[]): number[] {
  const counts = Array.from(chances[0]!, () => 0)
  for (const [at, weight] of standing.entries())
    for (let count = 0; count < counts.length; count++) counts[count]! += weight * chances[at]![count]!
  return counts
}

const crowdOf = ({ demands, busy }: { demands: number; busy: number }) => (busy > 0 ? Math.max(1, demands / busy) : 1)

/** What was learned from all parts, and the rate of any one of them by it. */
export interface RatesLearned {
  ladder: Ladder
  /** Demands that come for each that a history alone lets one expect. */
  level: number
  rateOf: (part: PartHistory) => PartRate
}

/**
 * Rates by empirical Bayes: the ladder of all parts, the rungs of the class where it has enough parts that were asked for. The rate
 * of a part is moved by its own periods with and without demand; it is reckoned when it is asked for, so that of a hundred thousand
 * parts no two need be held at once.
 */
export function demandRatesLearn(parts: readonly PartHistory[]): RatesLearned {
  const busy = busyList(parts)
  const ladder = ladderFit(busy)
  const isAnyAsked = parts.some(isAsked)
  const ladders: Ladder[] = []
  const members = classMembers(parts)
  for (const [name, indices] of members) {
    const isOwn = name !== '' && indices.length >= CLASS_MIN && indices.some((at) => isAsked(parts[at]!))
    const own = isOwn && members.size > 1 ? ladderOfClass(ladder, busyList(parts, indices)) : ladder
    for (const at of indices) ladders[at] = own
  }
  const level = workLevel(workOf(parts, (at) => ladders[at]!, listLeast(busy)))
  const commons = new Map<string, Common & { ladder: Ladder }>()
  for (const [name, indices] of members) {
    const own = ladders[indices[0]!]!
    const isOwn = name !== '' && indices.length >= CLASS_MIN && indices.some((at) => isAsked(parts[at]!))
    commons.set(name, {
      ladder: own,
      quietOf: quietLookup(own),
      ahead: aheadOf(own, level),
      level,
      learnedFrom: isOwn ? 'class' : isAnyAsked ? 'all parts' : 'nothing',
    })
  }
  return {
    ladder,
    level,
    rateOf(part) {
      const common = commons.get(part.partClass ?? '')!
      const busy = busyOf(part)
      const steady = steadyRate(part, busy)
      if (steady === null || steady.demands <= common.ladder.rungs[0]!) return partRate(busy, common.ladder, common)
      const ladder = { ...common.ladder, rungs: common.ladder.rungs.map((rung) => Math.max(rung, steady.demands)) }
      const own = { ...common, quietOf: quietLookup(ladder), ahead: aheadOf(ladder, common.level) }
      const found = partRate(busy, ladder, own)
      // Every demand takes a piece at least.
      return { ...found, rate: Math.min(found.rate, Math.max(steady.pieces, Number.MIN_VALUE)) }
    },
  }
}

interface Common {
  quietOf: ReturnType<typeof quietLookup>
  ahead: ReturnType<typeof aheadOf>
  level: number
  learnedFrom: LearnedFrom
}

/** A part that nobody knows yet stands where a part of its class begins. */
const begins = ({ weights }: Ladder): Followed => ({ ahead: Float64Array.from([...weights, 0, 0]), log: 0 })

function partRate(part: Busy, ladder: Ladder, { quietOf, ahead, level, learnedFrom }: Common): PartRate {
  const crowds = new Float64Array(part.periods.length)
  const { ahead: standing } =
    part.periods.length === 0
      ? begins(ladder)
      : standingFollow(
          ladder,
          part,
          quietOf,
          (period, foreseen) => {
            crowds[period] = crowdOf(foreseen)
          },
          'busy',
        )
  const exposure = newestExposure(part) * level
  const next = foreseenOf(ladder, standing, quietChances(ladder, exposure), exposure)
  return {
    rate: ladder.rungs.reduce((sum, rung, at) => sum + standing[at]! * rung, 0),
    ahead: exposure,
    learnedFrom,
    isNew: !part.periods.includes(1),
    crowds,
    crowdAhead: crowdOf(next),
    busyIn: (periods) =>
      part.exposure === null ? mixed(standing, ahead(periods)) : busyFrom(ladder, standing, periods, exposure),
    quietIn: (periods) => quietFrom(ladder, standing, periods, exposure),
  }
}
