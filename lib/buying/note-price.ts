import { costOf } from '../invoice/match.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'

/** What a delivery note asks for one stock unit beside what was agreed; money minor units of the order's currency. */
export interface NotePrice {
  unit: StockUnit
  /** What came with the note, minor units of the stock unit; 0 while nobody has said. */
  quantity: number
  notedMinor: number
  agreedMinor: number
  currency: string
}

/**
 * The price on a delivery note in words, for one and for all that came at it; null where it is the agreed one. Example: "£13.00 each
 * on the delivery note, £12.50 agreed: £0.50 more each, £2.00 more for 4".
 */
export function notePriceSays({ unit, quantity, notedMinor, agreedMinor, currency }: NotePrice): string | null {
  const more = notedMinor - agreedMinor
  if (more === 0) return null
  const money = (minor: number) => moneyFormat(Math.abs(minor), currency)
  const each = unit === 'each' ? 'each' : `a ${unit}`
  const how = more > 0 ? 'more' : 'less'
  const all =
    quantity > 0 ? `, ${money(costOf(quantity, more, unit))} ${how} for ${quantityFormat(quantity, unit)}` : ''
  return `${money(notedMinor)} ${each} on the delivery note, ${money(agreedMinor)} agreed: ${money(more)} ${how} ${each}${all}`
}

/** A receipt of an order line that stands: how much came, and the price on its note where that is not the agreed one. */
export interface Receipt {
  quantity: number
  notedMinor: number | null
}

/**
 * The price on a delivery note that the next invoice of an order line is expected to ask: the one noted last of what is on no invoice
 * yet; null where none is. Receipts are oldest first, and the oldest pieces are those invoiced `before`. Example: of 4 at 13.00 and 2
 * as agreed, 13.00 until the 4 are invoiced.
 */
export function priceNoted(receipts: readonly Receipt[], before: number): number | null {
  let came = 0
  let noted: number | null = null
  for (const { quantity, notedMinor } of receipts) {
    came += quantity
    if (came > before && notedMinor !== null) noted = notedMinor
  }
  return noted
}
