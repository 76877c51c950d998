import { quantityFormat, type StockUnit } from '../measure/quantity.ts'

/** How a supplier sells a part; minor units of quantity. */
interface Sold {
  pack: number
  minimum: number
}

/** So many can be ordered: whole packs, and no fewer than the supplier sends. */
export function isSoldSo({ pack, minimum }: Sold, quantity: number): boolean {
  return quantity >= minimum && quantity % pack === 0
}

/** Why another quantity cannot be ordered: "in packs of 4, at least 8". */
export function soldIn({ pack, minimum }: Sold, unit: StockUnit): string {
  return `in packs of ${quantityFormat(pack, unit)}, at least ${quantityFormat(minimum, unit)}`
}

/** The same in a list, as short as it can be: "any number", "packs of 10", "packs of 10, at least 20". */
export function packSays({ pack, minimum }: Sold, unit: StockUnit): string {
  const packs = pack === 1 ? 'any number' : `packs of ${quantityFormat(pack, unit)}`
  return minimum > pack ? `${packs}, at least ${quantityFormat(minimum, unit)}` : packs
}
