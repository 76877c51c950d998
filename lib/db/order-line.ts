import { isSoldSo, soldIn } from '../buying/sold-in.ts'
import { moneyOfQuantity } from '../measure/money.ts'
import { quantityFormat, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { quantityPrice } from '../price/offer-price.ts'
import { Refusal } from '../refusal.ts'
import type { PlainDate } from '../service/plain-date.ts'
import type { Tx } from './client.ts'
import { offersNow } from './offer-price.ts'

export interface LineWanted {
  partId: number
  /** Minor units of the part's stock unit. */
  quantity: number
}

/** A line at what the supplier asks for it on a day, at its quantity; money minor units of the supplier's currency. */
export interface LineSold extends LineWanted {
  priceMinor: number
  /** The whole line where that is not price times quantity; else null. */
  amountMinor: number | null
  depositMinor: number | null
  returnDays: number | null
}

/**
 * What a supplier asks for lines on a day, once they can be ordered so: it offers each part, the part is still made, stands once on
 * the order, and the quantity fits the packs. Refuses with 'buying/no-offer', 'buying/discontinued', 'input/invalid'.
 */
export async function orderLinesSold(
  tx: Tx,
  supplier: { id: number; name: string },
  lines: readonly LineWanted[],
  day: PlainDate,
): Promise<LineSold[]> {
  const offers = await offersNow(
    tx,
    lines.map(({ partId }) => partId),
    day,
  )
  const sold: LineSold[] = []
  for (const { partId, quantity } of lines) {
    const part = await tx.part.findUnique({ where: { id: partId } })
    const offer = offers.get(partId)?.find(({ supplierId }) => supplierId === supplier.id)
    if (!offer || !part) throw new Refusal('buying/no-offer', { supplier: supplier.name, part: part?.number ?? partId })
    const unit = part.unit as StockUnit
    if (part.discontinuedOn !== null)
      throw new Refusal('buying/discontinued', { part: part.number, note: part.discontinuedNote ?? '' })
    if (lines.filter((other) => other.partId === partId).length > 1)
      throw new Refusal('input/invalid', { what: `${part.number} stands on the order twice` })
    if (!isSoldSo(offer, quantity)) {
      const how = soldIn(offer, unit)
      throw new Refusal(
        'input/invalid',
        { what: `${part.number} is sold ${how}; ${quantityFormat(quantity, unit)} entered` },
        { fields: { [`quantity.${partId}.${unit}`]: `sold ${how}` } },
      )
    }
    const { unitMinor, amountMinor } = quantityPrice(offer.on, quantity, quantityScale(unit))
    sold.push({
      ...{ partId, quantity, priceMinor: unitMinor },
      amountMinor: amountMinor === moneyOfQuantity(unitMinor, quantity, unit) ? null : amountMinor,
      ...{ depositMinor: offer.depositMinor, returnDays: offer.returnDays },
    })
  }
  return sold
}
