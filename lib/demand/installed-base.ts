import { classMembers, demandRatesLearn, type PartRate } from './demand-rate.ts'
import { crowdsBorne, FADES_NONE, type SizeModel, sizeChances, sizeModelFit, sizesSeen } from './demand-size.ts'
import { compoundCounts } from './distribution.ts'
import { inLots, lotOf, quantitiesInLots } from './lots.ts'
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
  const lots = parts.map(({ quantities }) => lotOf(quantities))
  const amountsOf = (part: PartHistory, rate: PartRate, lot = lotOf(part.quantities)) => {
    const quantities = lot === 1 ? part.quantities : quantitiesInLots(part.quantities, lot)
    return { quantities, ...crowdsBorne(quantities, rate) }
  }
  const modelOf = (indices: readonly number[], isTold: (lot: number) => boolean) => {
    const told = indices.filter((at) => isTold(lots[at]!) && demandsOf(parts[at]!) > 0)
    const stride = Math.max(1, told.length / SIZES_MAX)
    const some = Array.from(
      { length: Math.floor(told.length / stride) },
      (_, nth) => parts[told[Math.floor(nth * stride)]!]!,
    )
    return sizeModelFit(some.map((part) => amountsOf(part, rateOf(part))))
  }
  const byPiece = (lot: number) => lot === 1
  const everyone = parts.map((_, at) => at)
  // What is counted in lots of its own tells nothing of how many pieces are taken at once: such parts learn from each other.
  let ofLots: SizeModel | null | undefined
  const modelOfLots = () => {
    // None is an answer too, and is not looked for again.
    if (ofLots === undefined) ofLots = modelOf(everyone, (lot) => !byPiece(lot))
    return ofLots
  }
  const models = new Map<string, SizeModel | null>()
  let ofAll: SizeModel | null | undefined
  for (const [name, indices] of members) {
    const demands = indices.reduce((sum, at) => sum + demandsOf(parts[at]!), 0)
    const isOwn = name !== '' && members.size > 1 && demands >= CLASS_DEMANDS_MIN
    if (!isOwn && ofAll === undefined) ofAll = modelOf(everyone, byPiece)
    models.set(name, isOwn ? modelOf(indices, byPiece) : (ofAll ?? null))
  }
  return {
    up: ladder.up,
    down: ladder.down,
    ends: ladder.ends,
    level,
    rateOf,
    outlookOf(part, rate = rateOf(part)) {
      const lot = lotOf(part.quantities)
      const model = byPiece(lot) ? (models.get(part.partClass ?? '') ?? null) : modelOfLots()
      const amounts = amountsOf(part, rate, lot)
      const seen = sizesSeen(amounts, model?.fading ?? FADES_NONE)
      const ahead = partOutlook(rate, sizeChances(model, seen, amounts.crowdAhead))
      return byPiece(lot) ? ahead : (periods) => inLots(ahead(periods), lot)
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
