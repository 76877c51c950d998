import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { type PriceOn, quantityPrice } from '../price/offer-price.ts'
import { rateTurn } from '../price/rate.ts'
import { carriageOn } from '../replenish/order-list.ts'

/** What a supplier asks for an order as such; money minor units of its currency. */
export interface SupplierTerms {
  /** Turns its money into the workshop's. */
  rateMicro: number
  carriageMinor: number
  carriagePaidFromMinor: number | null
  minimumOrderMinor: number
}

/** What is asked for a part; quantities in minor units of its stock unit. */
export interface PartAsked {
  unit: StockUnit
  on: PriceOn
}

/** An order in the workshop's money. */
export interface OrderCosts {
  goodsMinor: number
  carriageMinor: number
  /** Goods that are missing to the least order of the supplier; 0 where it is reached. */
  missingMinor: number
}

/** What so much of a part costs, in the supplier's money. */
export function partAmount({ unit, on }: PartAsked, quantity: number): number {
  return quantity === 0 ? 0 : quantityPrice(on, quantity, quantityScale(unit)).amountMinor
}

/** What an order of goods costs with its carriage; `goods` in the supplier's money. Turned once, as the order itself is. */
export function orderCosts(goods: number, terms: SupplierTerms): OrderCosts {
  return {
    goodsMinor: rateTurn(goods, terms.rateMicro),
    carriageMinor: rateTurn(carriageOn(goods, terms), terms.rateMicro),
    missingMinor: goods === 0 ? 0 : rateTurn(Math.max(0, terms.minimumOrderMinor - goods), terms.rateMicro),
  }
}

/** All that a winter list is charged by. */
export interface ListPrices {
  parts: ReadonlyMap<number, PartAsked & { supplierId: number }>
  suppliers: ReadonlyMap<number, SupplierTerms>
}

/** Orders that grow line by line, an order for each supplier; goods and carriage of all of them are known at every moment. */
export class ListCosts {
  private readonly prices: ListPrices
  private readonly quantities = new Map<number, number>()
  private readonly goods = new Map<number, number>()
  private total = 0

  constructor(prices: ListPrices) {
    this.prices = prices
  }

  /** Minor units of the workshop's money, carriage included. */
  get totalMinor(): number {
    return this.total
  }

  of(supplierId: number): OrderCosts {
    return orderCosts(this.goods.get(supplierId) ?? 0, this.prices.suppliers.get(supplierId)!)
  }

  add(partId: number, pieces: number): void {
    const part = this.prices.parts.get(partId)!
    const before = this.quantities.get(partId) ?? 0
    const [old, was] = [this.goods.get(part.supplierId) ?? 0, this.of(part.supplierId)]
    this.quantities.set(partId, before + pieces)
    this.goods.set(part.supplierId, old + partAmount(part, before + pieces) - partAmount(part, before))
    const is = this.of(part.supplierId)
    this.total += is.goodsMinor + is.carriageMinor - was.goodsMinor - was.carriageMinor
  }
}

/**
 * What a list costs before its first step and after each, in all. More may cost less, where a threshold of carriage or a price
 * break is reached: who has the money for the later step buys that, so each step stands at the least that it or a later one costs.
 * A budget then pays for all steps up to the last that it reaches, and that one costs what is said to the penny.
 */
export function stepCosts(
  steps: readonly { partId: number; pieces: number }[],
  byHand: readonly { partId: number; quantity: number }[],
  prices: ListPrices,
): number[] {
  const costs = new ListCosts(prices)
  for (const { partId, quantity } of byHand) costs.add(partId, quantity)
  const found = [costs.totalMinor]
  for (const { partId, pieces } of steps) {
    costs.add(partId, pieces)
    found.push(costs.totalMinor)
  }
  for (let at = found.length - 2; at >= 0; at--) found[at] = Math.min(found[at]!, found[at + 1]!)
  return found
}
