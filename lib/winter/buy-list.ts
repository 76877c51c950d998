import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { type PriceOn, quantityPrice } from '../price/offer-price.ts'
import { rateTurn } from '../price/rate.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { type ChoiceCurve, choiceLines } from './choice.ts'
import { type OrderCosts, orderCosts, partAmount, type SupplierTerms } from './money.ts'

/** A part that the season may take, as the list to buy shows it. Quantities in minor units. */
export interface BuyPart {
  partId: number
  number: string
  supplierNumber: string | null
  maker: string
  description: string
  /** Others who sell it too, by name. */
  others: string[]
  unit: StockUnit
  supplierId: number
  /** What the supplier asks by quantity, in its money. */
  on: PriceOn
  pack: number
  minimum: number
  /** Needed in any case; expected in all with failures; enough with 95 of 100. */
  certain: number
  mean: number
  enough: number
  /** Free, on order and in drafts. */
  stock: number
  /** What of it stands in drafts that are not sent. */
  drafts: { draftId: number; quantity: number }[]
  neededOn: PlainDate
  lastDay: PlainDate
  /** Why it is taken where no list of a service names it. */
  goesWith: string[]
  /** Set by hand; null: as proposed. */
  byHand: number | null
  /** On order and in drafts by its own number when the list was made. */
  seen: number
}

export interface BuySupplier {
  id: number
  name: string
  /** When an order of today is there. */
  arrives: PlainDate
  /** The first day from today on which it takes an order. */
  nextOrderOn: PlainDate
  terms: SupplierTerms
}

export interface BuyLine {
  part: BuyPart
  quantity: number
  /** For one stock unit and for the line, in the workshop's money; the lines of an order add up to its goods. */
  priceMinor: number
  costMinor: number
  isCertain: boolean
  isByHand: boolean
}

export interface BuyGroup extends OrderCosts {
  supplier: BuySupplier
  lines: BuyLine[]
  /** Last day to order so that all of it is there in time. */
  lastDay: PlainDate
}

type Bought = Pick<BuyLine, 'part' | 'quantity' | 'isCertain' | 'isByHand'>

/** One order of a supplier. */
export function buyGroup(supplier: BuySupplier, bought: readonly Bought[]): BuyGroup {
  const { rateMicro } = supplier.terms
  let goods = 0
  const lines = bought.map(({ part, quantity, isCertain, isByHand }): BuyLine => {
    const before = rateTurn(goods, rateMicro)
    goods += partAmount(part, quantity)
    const { unitMinor } = quantityPrice(part.on, quantity, quantityScale(part.unit))
    // By the sum so far, so that rounding into the workshop's money leaves no penny between lines and sum.
    const costMinor = rateTurn(goods, rateMicro) - before
    return { part, quantity, priceMinor: rateTurn(unitMinor, rateMicro), costMinor, isCertain, isByHand }
  })
  const lastDay = bought.map(({ part }) => part.lastDay).sort()[0]!
  return { supplier, lines, ...orderCosts(goods, supplier.terms), lastDay }
}

/** What so many steps of the curve buy, with what was set by hand, by supplier: who has to be asked first comes first. */
export function buyGroups(
  curve: ChoiceCurve,
  count: number,
  parts: readonly BuyPart[],
  suppliers: readonly BuySupplier[],
): BuyGroup[] {
  const chosen = choiceLines(curve, count)
  const bySupplier = new Map<number, Bought[]>()
  for (const part of parts) {
    const quantity = part.byHand ?? chosen.get(part.partId)?.pieces ?? 0
    if (quantity === 0) continue
    const isByHand = part.byHand !== null
    const isCertain = isByHand ? part.certain > part.stock : chosen.get(part.partId)!.isCertain
    const line = { part, quantity, isCertain, isByHand }
    bySupplier.set(part.supplierId, [...(bySupplier.get(part.supplierId) ?? []), line])
  }
  const groups = suppliers.flatMap((supplier) => {
    const bought = bySupplier.get(supplier.id)
    return bought ? [buyGroup(supplier, bought)] : []
  })
  return groups.sort((a, b) =>
    a.lastDay === b.lastDay ? a.supplier.name.localeCompare(b.supplier.name) : a.lastDay < b.lastDay ? -1 : 1,
  )
}

/** The budget with which an order is no longer below the least of its supplier; null where the list never gets there. */
export function buyReaches(
  curve: ChoiceCurve,
  count: number,
  { supplier, lines }: Pick<BuyGroup, 'supplier' | 'lines'>,
  parts: readonly BuyPart[],
): number | null {
  const own = new Map(parts.filter(({ supplierId }) => supplierId === supplier.id).map((part) => [part.partId, part]))
  const quantities = new Map(lines.map(({ part, quantity }) => [part.partId, quantity]))
  let goods = lines.reduce((sum, { part, quantity }) => sum + partAmount(part, quantity), 0)
  for (const [at, { partId, pieces, costMinor }] of curve.steps.entries()) {
    if (at < count) continue
    const part = own.get(partId)
    if (part) {
      const before = quantities.get(partId) ?? 0
      quantities.set(partId, before + pieces)
      goods += partAmount(part, before + pieces) - partAmount(part, before)
    }
    // Where the next step costs no more, no budget ends here.
    const isEnd = costMinor < (curve.steps[at + 1]?.costMinor ?? Number.POSITIVE_INFINITY)
    if (isEnd && goods >= supplier.terms.minimumOrderMinor) return costMinor
  }
  return null
}
