import { classMembers, FADES, fadeChoose, logQuiet, type PartRate, partRates } from './demand-rate.ts'
import { AMOUNT_MAX, type SizeModel, sizeChances, sizeModelFit, sizesSeen } from './demand-size.ts'
import { compoundBetaBinomial, gammaMoments, negativeBinomialMoments } from './distribution.ts'
import type { Method, Outlook, PartHistory } from './method.ts'

/** A class with fewer demands takes the sizes of all parts. */
const CLASS_DEMANDS_MIN = 30
const SIZE_FADES = [1, 0.95, 0.9] as const

export interface InstalledBase {
  /** Weight of a period beside the next one, as the histories said. */
  fade: number
  /** Demands that came lately for each that was expected. */
  tracking: number
  rates: PartRate[]
  outlooks: Outlook[]
}

/**
 * A coming period's chance of demand as a beta distribution. The rate is Gamma, so the chance of no demand, e^-(rate x ahead),
 * has the moments (1 + ahead / exposure)^-shape and so on; a beta with the first two of them stands in.
 */
export function busyChance(rate: PartRate): { busy: number; quiet: number } {
  const quiet = Math.exp(logQuiet(rate, rate.ahead))
  const quietTwice = Math.exp(logQuiet(rate, 2 * rate.ahead))
  const spread = Math.max(quietTwice - quiet * quiet, 1e-12 * quiet)
  const worth = Math.max(1e-9, (quiet - quietTwice) / spread)
  return { busy: Math.max(1e-12, 1 - quiet) * worth, quiet: Math.max(1e-12, quiet) * worth }
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
  const { busy, quiet } = busyChance(rate)
  return remembered((periods) => compoundBetaBinomial(periods, busy, quiet, sizes))
}

/** Amounts that are poured or cut, or too large to tell piece by piece: mean and spread of the history are kept. */
function plainOutlook(quantities: readonly number[]): Outlook {
  const count = quantities.length
  const mean = quantities.reduce((sum, one) => sum + one, 0) / count
  const variance = quantities.reduce((sum, one) => sum + (one - mean) ** 2, 0) / Math.max(1, count - 1)
  const make = quantities.every(Number.isInteger) ? negativeBinomialMoments : gammaMoments
  return (periods) => make(periods * mean, periods * variance)
}

/**
 * Demand from the installed base: how often a part is asked for per exposure (pieces running times hours; a period where that is
 * not known) is Gamma over the parts of its class, fitted by empirical Bayes, and the part's own history moves it from there. A
 * new part has a rate from the first day. What is asked for at once follows the part's own sizes and those of its class. The
 * past fades, exposure with it, so that a part that is dying is let go and one that picks up is followed; how fast, the
 * histories say (`fades` to choose from).
 */
export function installedBase(parts: readonly PartHistory[], fades: readonly number[] = FADES): InstalledBase {
  const isWhole = parts.map(({ quantities }) => quantities.every((q) => Number.isInteger(q) && q <= AMOUNT_MAX))
  const chosen = fadeChoose(parts, fades)
  const rates = partRates(parts, chosen)
  const outlooks: Outlook[] = []
  const members = classMembers(parts)
  const modelOf = (indices: readonly number[]) =>
    sizeModelFit(
      indices.filter((at) => isWhole[at]).map((at) => parts[at]!.quantities),
      SIZE_FADES,
    )
  let ofAll: SizeModel | null | undefined
  for (const [name, indices] of members) {
    const demands = indices.reduce((sum, at) => sum + parts[at]!.quantities.filter((amount) => amount > 0).length, 0)
    const isOwn = name !== '' && members.size > 1 && demands >= CLASS_DEMANDS_MIN
    if (!isOwn && ofAll === undefined) ofAll = modelOf(parts.map((_, at) => at))
    const model = isOwn ? modelOf(indices) : (ofAll ?? null)
    for (const at of indices) {
      const { quantities } = parts[at]!
      outlooks[at] = isWhole[at]
        ? partOutlook(rates[at]!, sizeChances(model, sizesSeen(quantities, model?.fade ?? 1)))
        : plainOutlook(quantities)
    }
  }
  return { fade: chosen.fade, tracking: chosen.tracking, rates, outlooks }
}

export const INSTALLED_BASE: Method = {
  name: 'installed-base',
  says: 'rate per running hour learned from the class and the part, sizes as they were taken',
  outlooks: (parts) => installedBase(parts).outlooks,
}
