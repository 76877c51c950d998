import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { priceAfter } from '../replenish/plan-price.ts'
import type { BreakKind } from '../replenish/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'

/** A price from a quantity on; "from 400" holds at 400 itself. */
export interface ListedPrice {
  /** Minor units of quantity. */
  from: number
  /** Money minor units for one stock unit. */
  priceMinor: number
}

/** What a list of the supplier says of one part, before the supplier's discount. */
export interface ListedPrices {
  listId: number
  name: string
  validFrom: PlainDate
  /** Last day; null: until another list begins. */
  validUntil: PlainDate | null
  breakKind: BreakKind
  prices: readonly ListedPrice[]
}

export interface OfferPrices {
  /** Paid where no list holds; the discount is not taken off it. */
  priceMinor: number
  /** Hundredths of a per cent off what lists say: 1 250 is 12.5 %. */
  discountHundredths: number
  lists: readonly ListedPrices[]
}

/** What an offer asks on one day, discount taken off; by quantity, lowest first, the first from nothing on. */
export interface PriceOn {
  /** Whose prices these are; null: the offer's own. */
  list: { listId: number; name: string } | null
  breakKind: BreakKind
  breaks: readonly ListedPrice[]
}

/**
 * The list that counts on a day: of those that hold, the one that began last, so that a new list follows an old one without an
 * end, and what is cheaper for a month is followed by what held before. Two of one first day: the one entered last.
 */
export function listOn(lists: readonly ListedPrices[], day: PlainDate): ListedPrices | null {
  let found: ListedPrices | null = null
  for (const list of lists) {
    const isHeld =
      list.prices.length > 0 && list.validFrom <= day && (list.validUntil === null || day <= list.validUntil)
    if (!isHeld) continue
    if (
      found === null ||
      list.validFrom > found.validFrom ||
      (list.validFrom === found.validFrom && list.listId > found.listId)
    )
      found = list
  }
  return found
}

/** What the offer asks on `day`. The discount is rounded once, half a minor unit up, at the price of one stock unit. */
export function priceOn({ priceMinor, discountHundredths, lists }: OfferPrices, day: PlainDate): PriceOn {
  const list = listOn(lists, day)
  if (list === null) return { list: null, breakKind: 'all-units', breaks: [{ from: 0, priceMinor }] }
  const { listId, name, breakKind } = list
  const breaks = [...list.prices]
    .sort((a, b) => a.from - b.from)
    .map((one, at) => ({
      // The first price also holds for what is less than it says: the minimum of the offer rules what is sold at all.
      from: at === 0 ? 0 : one.from,
      priceMinor: priceAfter(one.priceMinor, discountHundredths / 100),
    }))
  return { list: { listId, name }, breakKind, breaks }
}

export interface QuantityPrice {
  /** For one stock unit; of incremental breaks their mean, half a minor unit up. */
  unitMinor: number
  /** For the whole quantity, rounded once. */
  amountMinor: number
  /** The break it stands in, counted from 0. */
  bracket: number
}

/** p / q as a whole number, halves up; both at least 0. */
const halfUp = (p: bigint, q: bigint) => Number((2n * p + q) / (2n * q))

/**
 * What `quantity` costs. `quantity` in minor units, more than 0; `scale` minor units to a stock unit.
 * Example: 250 of a litre's 1000 at 1200 a litre cost 300.
 */
export function quantityPrice({ breakKind, breaks }: PriceOn, quantity: number, scale: number): QuantityPrice {
  must(Number.isSafeInteger(quantity) && quantity > 0, 'what is priced is a whole quantity above nothing')
  must(breaks.length > 0, 'an offer has a price')
  let bracket = 0
  while (bracket + 1 < breaks.length && quantity >= breaks[bracket + 1]!.from) bracket += 1
  // BigInt: nine digits of money times nine of millilitres leave the range of exact doubles.
  const times = (many: number, at: number) => BigInt(many) * BigInt(breaks[at]!.priceMinor)
  const of = BigInt(scale)
  if (breakKind === 'all-units')
    return {
      unitMinor: breaks[bracket]!.priceMinor,
      amountMinor: halfUp(times(quantity, bracket), of),
      bracket,
    }
  let sum = 0n
  for (let at = 0; at <= bracket; at++) {
    const upTo = at === bracket ? quantity : breaks[at + 1]!.from
    sum += times(upTo - breaks[at]!.from, at)
  }
  return { unitMinor: halfUp(sum, BigInt(quantity)), amountMinor: halfUp(sum, of), bracket }
}

/** The next break up, where one is; what a buyer may want to reach. */
export function breakAbove({ breaks }: PriceOn, quantity: number): ListedPrice | null {
  return breaks.find((one) => one.from > quantity) ?? null
}

/** What an order line costs as a whole, in the currency of the order. */
export function lineAmount(
  line: { priceMinor: number; quantity: number; amountMinor: number | null },
  unit: StockUnit,
): number {
  return line.amountMinor ?? moneyOfQuantity(line.priceMinor, line.quantity, unit)
}
