import type { ShopOffer } from '../replenish/plan-shop-state.ts'
import type { Tx } from './client.ts'
import { slices } from './exchange-rows.ts'

/** What suppliers ask for these parts, as the order plan reads it: the only place where it looks at offers. */
export async function planOffers(tx: Tx, partIds: readonly number[]): Promise<ShopOffer[]> {
  const found: ShopOffer[] = []
  for (const slice of slices(partIds, 500)) {
    const rows = await tx.offer.findMany({
      where: { partId: { in: slice } },
      orderBy: [{ partId: 'asc' }, { supplierId: 'asc' }],
    })
    for (const { supplierId, partId, pack, minimum, priceMinor, preferred } of rows)
      found.push({
        supplierId,
        partId,
        pack,
        minimum,
        prices: [{ from: 1, priceMinor }],
        breaks: 'all-units',
        discountPercent: 0,
        preferred,
      })
  }
  return found
}
