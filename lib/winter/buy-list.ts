import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { type ChoiceCurve, choiceLines } from './choice.ts'

/** A part that the season may take, as the list to buy shows it. Quantities in minor units. */
export interface BuyPart {
  partId: number
  number: string
  supplierNumber: string | null
  maker: string
  description: string
  unit: StockUnit
  supplierId: number
  /** For one stock unit, in the workshop's money. */
  priceMinor: number
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
}

export interface BuyLine {
  part: BuyPart
  quantity: number
  costMinor: number
  isCertain: boolean
  isByHand: boolean
}

export interface BuyGroup {
  supplier: BuySupplier
  lines: BuyLine[]
  goodsMinor: number
  /** Last day to order so that all of it is there in time. */
  lastDay: PlainDate
}

/** What so many steps of the curve buy, with what was set by hand, by supplier: who has to be asked first comes first. */
export function buyGroups(
  curve: ChoiceCurve,
  count: number,
  parts: readonly BuyPart[],
  suppliers: readonly BuySupplier[],
): BuyGroup[] {
  const chosen = choiceLines(curve, count)
  const groups = new Map<number, BuyGroup>()
  const byId = new Map(suppliers.map((one) => [one.id, one]))
  for (const part of parts) {
    const isByHand = part.byHand !== null
    const quantity = part.byHand ?? chosen.get(part.partId)?.pieces ?? 0
    if (quantity === 0) continue
    const line = {
      part,
      quantity,
      costMinor: moneyOfQuantity(part.priceMinor, quantity, part.unit),
      isCertain: isByHand ? part.certain > part.stock : chosen.get(part.partId)!.isCertain,
      isByHand,
    }
    const group = groups.get(part.supplierId)
    if (!group)
      groups.set(part.supplierId, {
        supplier: byId.get(part.supplierId)!,
        lines: [line],
        goodsMinor: line.costMinor,
        lastDay: part.lastDay,
      })
    else {
      group.lines.push(line)
      group.goodsMinor += line.costMinor
      if (part.lastDay < group.lastDay) group.lastDay = part.lastDay
    }
  }
  return [...groups.values()].sort((a, b) =>
    a.lastDay === b.lastDay ? a.supplier.name.localeCompare(b.supplier.name) : a.lastDay < b.lastDay ? -1 : 1,
  )
}
