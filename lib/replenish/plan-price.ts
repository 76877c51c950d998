import { must } from '../must.ts'
import { carriageOn } from './order-list.ts'
import type { FactSupplier, Segment } from './plan-facts.ts'
import type { PlanSold } from './plan-problem.ts'

/** Price of a whole stock unit after discount, half a minor unit up. Example: priceAfter(333, 10) is 300. */
export function priceAfter(priceMinor: number, discountPercent: number): number {
  // Per cent with decimals: thousandths are whole, so that 12.5 % of 8 is exactly 1.
  const keep = 100_000 - Math.round(discountPercent * 1000)
  return Number((BigInt(priceMinor) * BigInt(keep) * 2n + 100_000n) / 200_000n)
}

/**
 * An offer as runs of packs on which the line is a fixed amount and a price a pack, both whole minor units: a pack is what is
 * paid for, so it is rounded once and the line is exact. Breaks hold at their own quantity; incremental ones price the pieces
 * beyond it (orderPrice of quantity.ts). Runs that no whole pack reaches are left out.
 */
export function segmentsOf(sold: PlanSold, scale: number): Segment[] {
  const breaks = sold.prices.map(({ from, priceMinor }) => ({
    from,
    price: priceAfter(priceMinor, sold.discountPercent),
  }))
  const isIncremental = sold.breaks === 'incremental'
  const segments: Segment[] = []
  let paidBefore = 0
  for (const [at, { from, price }] of breaks.entries()) {
    const upTo = breaks[at + 1]?.from
    const start = at === 0 ? 0 : from
    const lo = Math.max(1, Math.ceil(Math.max(sold.minimum, from) / sold.pack))
    const hi = upTo === undefined ? Infinity : Math.ceil(upTo / sold.pack) - 1
    const perPack = Math.round((price * sold.pack) / scale)
    const fixed = isIncremental ? Math.round((paidBefore - start * price) / scale) : 0
    if (hi >= lo) segments.push({ lo, hi, fixed, perPack })
    if (upTo !== undefined) paidBefore += (upTo - start) * price
  }
  return segments
}

/** What so many packs cost; they must be as many as the offer sells. */
export function packsPrice(packs: number, segments: readonly Segment[]): number {
  const segment = segments.find(({ lo, hi }) => packs >= lo && packs <= hi)
  must(segment, 'packs are only bought in numbers that the offer sells')
  return segment.fixed + segment.perPack * packs
}

/** Fewest packs, at least `packs`, that the offer sells; null where there are none. */
export function packsSold(packs: number, segments: readonly Segment[]): number | null {
  for (const { lo, hi } of segments) if (packs <= hi) return Math.max(lo, packs)
  return null
}

export function supplierCarriage(goods: number, { carriage, paidFrom }: FactSupplier): number {
  return carriageOn(goods, { carriageMinor: carriage, carriagePaidFromMinor: paidFrom })
}
