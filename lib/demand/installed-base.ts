import { classMembers, demandRatesLearn, type PartRate } from './demand-rate.ts'
import { AMOUNT_MAX, FADES_NONE, type SizeModel, sizeChances, sizeModelFit, sizesSeen } from './demand-size.ts'
import { compoundCounts, gammaMoments, negativeBinomialMoments } from './distribution.ts'
import type { Method, Outlook, PartHistory } from './method.ts'

/** A class with fewer demands takes the sizes of all parts. */
const CLASS_DEMANDS_MIN = 30

export interface InstalledBase {
  /** Chances that the rate of a part moves a rung of the ladder up or down, or ends, from a period to the next. */
  up: number
  down: number
  ends: number
  /** Demands that come for each that a history alone lets one expect. */
  level: number
  rates: PartRate[]
  outlooks: Outlook[]
}

function remembered(make: Outlook): Outlook {
  const known = new Map<number, ReturnType<Outlook>>()
  return (periods) => {
    const before = known.get(periods)
    if (before) return before
    const made = make(periods)
    known.set(periods, made)
    return made
  }
}

function partOutlook(rate: PartRate, sizes: number[]): Outlook {
  return remembered((periods) => compoundCounts(rate.busyIn(periods), sizes))
}

/** Amounts that are poured or cut, or too large to tell piece by piece: mean and spread of the history are kept. */
function plainOutlook(quantities: readonly number[]): Outlook {
  const count = quantities.length
  const mean = quantities.reduce((sum, one) => sum + one, 0) / count
  const variance = quantities.reduce((sum, one) => sum + (one - mean) ** 2, 0) / Math.max(1, count - 1)
  const make = quantities.every(Number.isInteger) ? negativeBinomialMoments : gammaMoments
  return (periods) => make(periods * mean, periods * variance)
}

/** Parts with demand whose sizes teach a class; more of them say the same. */
const SIZES_MAX = 2000

/** What all parts taught, and what is to come of any one of them by it. */
export interface BaseLearned {
  up: number
  down: number
  ends: number
  level: number
  rateOf: (part: PartHistory) => PartRate
  outlookOf: (part: PartHistory, rate?: PartRate) => Outlook
}

const isWhole = ({ quantities }: PartHistory) => quantities.every((q) => Number.isInteger(q) && q <= AMOUNT_MAX)
const demandsOf = ({ quantities }: PartHistory) => quantities.reduce((count, one) => (one > 0 ? count + 1 : count), 0)

/**
 * Demand from the installed base: how often a part is asked for per exposure (pieces running times hours; a period where that is
 * not known) is one rung of a ladder, whose chances the parts of its class share, and the part's own history says on which rung
 * it stands (`rate-ladder.ts`). A new part has a rate from the first day; a part that is dying goes down and is let go. What is
 * asked for at once follows the part's own sizes and those of its class (`demand-size.ts`), and how much the whole shop works
 * counts for all (`work-level.ts`). Learns from all parts; the outlook of a part is made when it is asked for.
 */
export function installedBaseLearn(parts: readonly PartHistory[]): BaseLearned {
  const { ladder, level, rateOf } = demandRatesLearn(parts)
  const members = classMembers(parts)
  const amountsOf = (part: PartHistory, rate: PartRate) => ({ quantities: part.quantities, crowds: rate.crowds })
  const modelOf = (indices: readonly number[]) => {
    const told = indices.filter((at) => isWhole(parts[at]!) && demandsOf(parts[at]!) > 0)
    const stride = Math.max(1, told.length / SIZES_MAX)
    const some = Array.from(
      { length: Math.floor(told.length / stride) },
      (_, nth) => parts[told[Math.floor(nth * stride)]!]!,
    )
    return sizeModelFit(some.map((part) => amountsOf(part, rateOf(part))))
  }
  const models = new Map<string, SizeModel | null>()
  let ofAll: SizeModel | null | undefined
  for (const [name, indices] of members) {
    const demands = indices.reduce((sum, at) => sum + demandsOf(parts[at]!), 0)
    const isOwn = name !== '' && members.size > 1 && demands >= CLASS_DEMANDS_MIN
    if (!isOwn && ofAll === undefined) ofAll = modelOf(parts.map((_, at) => at))
    models.set(name, isOwn ? modelOf(indices) : (ofAll ?? null))
  }
  return {
    up: ladder.up,
    down: ladder.down,
    ends: ladder.ends,
    level,
    rateOf,
    outlookOf(part, rate = rateOf(part)) {
      if (!isWhole(part)) return plainOutlook(part.quantities)
      const model = models.get(part.partClass ?? '') ?? null
      const seen = sizesSeen(amountsOf(part, rate), model?.fading ?? FADES_NONE)
      return partOutlook(rate, sizeChances(model, seen, rate.crowdAhead))
    },
  }
}

/** The same with what is to come of all parts. */
export function installedBase(parts: readonly PartHistory[]): InstalledBase {
  const { rateOf, outlookOf, ...learned } = installedBaseLearn(parts)
  const rates = parts.map(rateOf)
  return { ...learned, rates, outlooks: parts.map((part, at) => outlookOf(part, rates[at])) }
}

export const INSTALLED_BASE: Method = {
  name: 'installed-base',
  says: 'rate per running hour learned from the class and the part, sizes as they were taken',
  outlooks: (parts) => installedBase(parts).outlooks,
}
