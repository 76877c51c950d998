import type { ShopFault, ShopOffer } from '../replenish/plan-shop-state.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { Tx } from './client.ts'
import { breaksAtHome, offersNow } from './offer-price.ts'

export interface PlanOffers {
  offers: ShopOffer[]
  faults: ShopFault[]
}

/**
 * What suppliers ask for these parts on a day, in the workshop's money: the only place where the order plan looks at offers. Those
 * in a currency of which nobody keeps a rate are named and left out.
 */
export async function planOffers(tx: Tx, partIds: readonly number[], day: PlainDate): Promise<PlanOffers> {
  const found: PlanOffers = { offers: [], faults: [] }
  const without = new Set<number>()
  for (const list of (await offersNow(tx, partIds, day)).values())
    for (const offer of list) {
      const { supplierId, partId, pack, minimum, preferred, supplier, currency } = offer
      const asked = breaksAtHome(offer)
      if (asked === null) {
        if (!without.has(supplierId))
          found.faults.push({
            at: supplier,
            why: `its prices are in ${currency}, and no rate of that is kept`,
            next: 'Enter the rate under Settings; all that it offers was left out.',
            supplierId,
          })
        without.add(supplierId)
        continue
      }
      found.offers.push({
        supplierId,
        partId,
        pack,
        minimum,
        prices: asked.breaks.map(({ from, priceMinor }) => ({ from, priceMinor })),
        breaks: asked.breakKind,
        discountPercent: 0,
        preferred,
      })
    }
  return found
}
