import { orderRound } from '../replenish/order-list.ts'
import { pricesFault } from '../replenish/plan-read-offer.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { ListedPrice } from './offer-price.ts'

/** Most breaks that an offer has on a list. */
export const BREAKS_MOST = 12

/** A price as a list says it; `to` where the list names the last quantity as well. Minor units. */
export interface SaidPrice extends ListedPrice {
  to?: number
}

/**
 * What is wrong with the prices of one offer on a list, so that each quantity that is sold has one price; null where nothing is.
 * `prices` by `from`, lowest first. `show` says a quantity.
 */
export function listFault(
  prices: readonly SaidPrice[],
  offer: { pack: number; minimum: number },
  show: (quantity: number) => string,
): string | null {
  const [first] = prices
  if (!first) return 'it has no price'
  if (prices.length > BREAKS_MOST) return `it has more than ${BREAKS_MOST} breaks`
  const least = orderRound(1, offer)
  if (first.from > least) return `it has no price below ${show(first.from)}, and is sold from ${show(least)} on`
  const fault = pricesFault(prices, show)
  if (fault !== null) return fault
  const end = prices.at(-1)?.to
  return end === undefined ? null : `its prices end at ${show(end)}: what more costs is not said`
}

/** Whether the days of a list can be: it ends, if at all, on its first day or later. */
export function periodFits(validFrom: PlainDate, validUntil: PlainDate | null): boolean {
  return validUntil === null || validUntil >= validFrom
}

export interface PriceMove {
  partId: number
  /** Of a stock unit, at the smallest order, discount taken off. */
  beforeMinor: number
  afterMinor: number
  /** Ten-thousandths of the old price, halves away from 0; null where the old price was 0. */
  moved: number | null
}

/** How far a price moved. Example: from 400 to 430 is 750, 7.5 % dearer. */
export function priceMove(partId: number, beforeMinor: number, afterMinor: number): PriceMove {
  const by = afterMinor - beforeMinor
  const moved =
    beforeMinor === 0 ? null : Math.sign(by) * Math.floor((Math.abs(by) * 20_000 + beforeMinor) / (2 * beforeMinor))
  return { partId, beforeMinor, afterMinor, moved }
}

/** "7.5 % dearer", "2 % cheaper", "as before" */
export function moveSays({ beforeMinor, afterMinor, moved }: Omit<PriceMove, 'partId'>): string {
  if (afterMinor === beforeMinor) return 'as before'
  const word = afterMinor > beforeMinor ? 'dearer' : 'cheaper'
  return moved === null ? `${word}: it cost nothing` : `${String(Math.abs(moved) / 100)} % ${word}`
}

/** The largest moves first, whichever way; those that stayed are left out. */
export function movesByWeight<M extends PriceMove>(moves: readonly M[]): M[] {
  const weight = ({ moved }: M) => (moved === null ? Infinity : Math.abs(moved))
  return moves
    .filter(({ beforeMinor, afterMinor }) => beforeMinor !== afterMinor)
    .sort((a, b) => (weight(a) === weight(b) ? a.partId - b.partId : weight(b) - weight(a)))
}
