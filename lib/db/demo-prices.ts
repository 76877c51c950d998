import { BUYER } from '../../seed/estate/people.ts'
import { SUPPLIERS } from '../../seed/estate/suppliers.ts'
import { nameKey } from '../catalogue/part-number.ts'
import { orderRound } from '../replenish/order-list.ts'
import { dateOf, monthsAdd } from '../service/plain-date.ts'
import { database } from './client.ts'
import { slices } from './exchange-rows.ts'
import { inTransaction } from './transaction.ts'

/** What a break takes off, per cent, from so many smallest orders on; invented, as all of the demo. */
const BREAKS = [
  { orders: 10, percent: 6 },
  { orders: 40, percent: 12 },
]

/**
 * The price list of the bearing house: what it asks today, cheaper by the ten and the forty. It began two months ago and ends in
 * four, as lists that come twice a year do.
 */
export async function pricesMake(end: Date): Promise<void> {
  const today = dateOf(end)
  const supplier = await database().supplier.findFirstOrThrow({ where: { name: SUPPLIERS.bearings.name } })
  const offers = await database().offer.findMany({ where: { supplierId: supplier.id }, orderBy: { partId: 'asc' } })
  await inTransaction(async (tx) => {
    const name = 'Half-year list'
    const list = await tx.priceList.create({
      data: {
        supplierId: supplier.id,
        name,
        nameKey: nameKey(name),
        validFrom: monthsAdd(today, -2),
        validUntil: monthsAdd(today, 4),
        source: 'by post, entered from the file',
        enteredAt: end,
        enteredById: BUYER,
      },
    })
    const prices = offers.flatMap(({ partId, priceMinor, ...offer }) => {
      const least = orderRound(1, offer)
      const at = (fromQuantity: number, percent: number) => ({
        listId: list.id,
        supplierId: supplier.id,
        partId,
        fromQuantity,
        priceMinor: Math.round((priceMinor * (100 - percent)) / 100),
      })
      return [at(least, 0), ...BREAKS.map(({ orders, percent }) => at(least * orders, percent))]
    })
    for (const slice of slices(prices, 500)) await tx.listPrice.createMany({ data: slice })
  })
}
