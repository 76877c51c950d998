import { orderDayFrom, orderDayUpTo, planDay } from './plan-day.ts'
import type { FactOffer, FactSupplier } from './plan-facts.ts'
import { segmentsOf } from './plan-price.ts'
import type { PlanPrice, PlanSold } from './plan-problem.ts'

export interface PlanFault {
  /** Which item, as the file counts them. */
  at: string
  why: string
  next: string
}

export interface ReadNames {
  parts: Map<string, number>
  suppliers: Map<string, number>
  currency: string
  today: number
  scaleOf: (part: number) => number
}

export interface SoldItem {
  at: string
  id: string
  item: PlanSold
  holds: { part: string; quantity: number }[]
  isKit: boolean
}

/** An offer as the plan reckons with it; null, with a fault, where it says nothing that can be ordered by. */
export function offerRead(
  { at, id, item, holds, isKit }: SoldItem,
  names: ReadNames,
  suppliers: readonly FactSupplier[],
  faults: PlanFault[],
): FactOffer | null {
  const wrong = (why: string, next: string): null => {
    faults.push({ at, why, next: `${next} It was left out.` })
    return null
  }
  const place = names.suppliers.get(item.supplier)
  if (place === undefined)
    return wrong(`its supplier ${item.supplier} is not in the file, or was left out`, 'Add or correct the supplier.')
  if (item.currency !== undefined && item.currency !== names.currency)
    return wrong(
      `its price is in ${item.currency}, the plan is in ${names.currency}`,
      'Turn the price into the currency of the plan.',
    )
  const held: FactOffer['holds'] = []
  for (const { part, quantity } of holds) {
    const found = names.parts.get(part)
    if (found === undefined) return wrong(`${part} is no part of the list`, 'Add the part or correct the number.')
    held.push({ part: found, quantity: quantity * item.pack })
  }
  if (new Set(held.map(({ part }) => part)).size < held.length)
    return wrong('it holds a part twice', 'Say each part once, with its whole quantity.')
  const prices = [...item.prices].sort((a, b) => a.from - b.from)
  const fault = pricesFault(prices)
  if (fault !== null) return wrong(fault, 'Correct the price list.')
  const supplier = suppliers[place]!
  // A set is bought by the piece, whatever its parts are measured in.
  const scale = isKit ? 1 : names.scaleOf(held[0]!.part)
  const segments = segmentsOf({ ...item, prices }, scale)
  const last = prices.at(-1)?.to
  if (last !== undefined) {
    const most = Math.floor(last / item.pack)
    for (const one of segments) one.hi = Math.min(one.hi, most)
  }
  const sellable = segments.filter(({ lo, hi }) => lo <= hi)
  if (sellable.length === 0)
    return wrong('no whole pack from its minimum on has a price', 'Correct pack, minimum or price list.')
  const { validFrom, validUntil } = item
  const from = validFrom === undefined ? names.today : Math.max(names.today, planDay(validFrom))
  const until = validUntil === undefined ? null : planDay(validUntil)
  const first = orderDayFrom(from, supplier.orderDays)
  if (until !== null && (until < first || orderDayUpTo(until, supplier.orderDays) < first))
    return wrong('it is not valid on any day of ordering from today on', 'Ask for a new offer.')
  return {
    id,
    supplier: place,
    isKit,
    preferred: item.preferred,
    pack: item.pack,
    holds: held,
    segments: sellable,
    days: [first],
    validUntil: until,
    fixedPacks: null,
  }
}

/** What is wrong with a price list in order of its quantities; null where each quantity has one price. `show` says a quantity. */
export function pricesFault(prices: readonly PlanPrice[], show: (quantity: number) => string = String): string | null {
  for (const [at, { from, to }] of prices.entries()) {
    const next = prices[at + 1]
    if (to !== undefined && to < from) return `its price from ${show(from)} ends at ${show(to)}`
    if (!next) continue
    if (next.from === from) return `it has two prices from ${show(from)}`
    if (to === undefined) continue
    if (next.from <= to) return `its prices from ${show(from)} to ${show(to)} and from ${show(next.from)} overlap`
    const [first, last] = [to + 1, next.from - 1]
    if (first === last) return `it has no price for ${show(first)}`
    if (first < last) return `it has no price from ${show(first)} to ${show(last)}`
  }
  return null
}
