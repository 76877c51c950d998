import { orderRound } from '../replenish/order-list.ts'
import { breakAbove, type PriceOn, type QuantityPrice, quantityPrice } from './offer-price.ts'
import { rateTurn } from './rate.ts'

/** An offer as it stands on a day, to be compared with others of the same part. */
export interface OfferAsked {
  supplierId: number
  /** Sold in multiples of the one, at least the other; minor units of quantity. */
  pack: number
  minimum: number
  preferred: boolean
  on: PriceOn
  /** Turns its money into the workshop's; null where the currency has no rate on that day. */
  rateMicro: number | null
}

export interface Bought<T> {
  offer: T
  /** Rounded to minimum and packs. */
  quantity: number
  /** In the supplier's currency. */
  price: QuantityPrice
  /** For one stock unit, in the workshop's money; null where the currency has no rate. */
  homeUnitMinor: number | null
}

/**
 * From whom to buy what is needed: the preferred offer, else the one with the lowest price of a stock unit at the quantity that
 * would be ordered there, in the workshop's money; ties go to the lower supplier id so that the list is steady. What cannot be
 * compared for want of a rate comes last. `need` above 0; null where nobody offers it.
 */
export function offerBest<T extends OfferAsked>(offers: readonly T[], need: number, scale: number): Bought<T> | null {
  const bought = offers.map((offer) => {
    const quantity = orderRound(need, offer)
    const price = quantityPrice(offer.on, quantity, scale)
    // Not turned before it is compared: whole minor units of two currencies would make ties of what differs.
    const compared = offer.rateMicro === null ? Infinity : price.unitMinor * offer.rateMicro
    return { offer, quantity, price, compared }
  })
  bought.sort(
    (a, b) =>
      Number(b.offer.preferred) - Number(a.offer.preferred) ||
      (a.compared === b.compared ? 0 : a.compared - b.compared) ||
      a.offer.supplierId - b.offer.supplierId,
  )
  const [best] = bought
  if (!best) return null
  const { offer, quantity, price } = best
  const homeUnitMinor = offer.rateMicro === null ? null : rateTurn(price.unitMinor, offer.rateMicro)
  return { offer, quantity, price, homeUnitMinor }
}

/** More that costs no more in all, because it reaches the next break; null where there is none. */
export function moreForNoMore(
  offer: Pick<OfferAsked, 'pack' | 'minimum' | 'on'>,
  { quantity, amountMinor }: { quantity: number; amountMinor: number },
  scale: number,
): { quantity: number; amountMinor: number } | null {
  const next = breakAbove(offer.on, quantity)
  if (next === null) return null
  const more = orderRound(next.from, offer)
  const paid = quantityPrice(offer.on, more, scale).amountMinor
  return paid <= amountMinor ? { quantity: more, amountMinor: paid } : null
}
