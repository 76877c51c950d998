import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { orderRound } from '../replenish/order-list.ts'

/** What stands on a draft, or is still due on an order; minor units of quantity. */
export interface SplitLine {
  partId: number
  number: string
  unit: StockUnit
  quantity: number
}

export interface Split {
  /** As before the split, less what moves; a line that moves whole is left out. */
  stays: SplitLine[]
  moves: SplitLine[]
}

/**
 * Takes quantities off lines: what stays and what moves add up to what stood, part by part. Refuses with 'buying/nothing-chosen', and
 * with 'buying/split-more' what is not there. Example: 3 of a line of 8 leave 5.
 */
export function linesSplit(lines: readonly SplitLine[], taken: readonly { partId: number; quantity: number }[]): Split {
  const take = new Map<number, number>()
  for (const { partId, quantity } of taken) take.set(partId, (take.get(partId) ?? 0) + quantity)
  const [stays, moves]: [SplitLine[], SplitLine[]] = [[], []]
  for (const line of lines) {
    const quantity = take.get(line.partId) ?? 0
    take.delete(line.partId)
    if (quantity > line.quantity) throw tooMuch(line, quantity)
    if (quantity > 0) moves.push({ ...line, quantity })
    if (quantity < line.quantity) stays.push({ ...line, quantity: line.quantity - quantity })
  }
  for (const [partId, quantity] of take)
    if (quantity > 0) throw tooMuch({ partId, number: String(partId), unit: 'each', quantity: 0 }, quantity)
  if (moves.length === 0) throw new Refusal('buying/nothing-chosen')
  return { stays, moves }
}

function tooMuch({ partId, number, unit, quantity: left }: SplitLine, quantity: number): Refusal {
  const [most, asked] = [quantityFormat(left, unit), quantityFormat(quantity, unit)]
  return new Refusal(
    'buying/split-more',
    { part: number, left: most, quantity: asked },
    { fields: { [`quantity.${partId}.${unit}`]: `at most ${most}` } },
  )
}

/**
 * What is asked of a supplier for lines that move to it: in its packs, never less than moves. `says` names what is more for that, such
 * as "TP-4410 8 for 6". A part without an offer keeps its quantity, and is refused where it is ordered.
 */
export function movesInPacks(
  moves: readonly SplitLine[],
  offers: ReadonlyMap<number, { pack: number; minimum: number }>,
): { lines: { partId: number; quantity: number }[]; says: string[] } {
  const says: string[] = []
  const lines = moves.map(({ partId, number, unit, quantity }) => {
    const offer = offers.get(partId)
    const packed = offer ? orderRound(quantity, offer) : quantity
    if (packed > quantity)
      says.push(`${number} ${quantityFormat(packed, unit)} for ${quantityFormat(quantity, unit)}, as it is packed`)
    return { partId, quantity: packed }
  })
  return { lines, says }
}

/** "3 of TP-4410, 1.5 l of OIL-5" */
export function splitSays(lines: readonly SplitLine[]): string {
  return lines.map(({ number, unit, quantity }) => `${quantityFormat(quantity, unit)} of ${number}`).join(', ')
}
