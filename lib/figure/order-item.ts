import { itemCompare, itemKey } from './strip-order.ts'

interface Orderable {
  item: string
  orderItem?: string | undefined
  side?: 'LH' | 'RH' | undefined
}

/**
 * The line to order for a line: the line itself, or where the book says "not sold separately, order item 3" the line of that
 * item, of the same side where it is handed. Null when the way runs in a circle or leads to an item that `lines` do not have.
 */
export function orderedLine<L extends Orderable>(lines: readonly L[], line: L): L | null {
  const seen = new Set<string>()
  for (let at = line; ; ) {
    if (at.orderItem === undefined) return at
    const key = itemKey(at.orderItem)
    if (seen.has(key)) return null
    seen.add(key)
    const of = lines.filter((one) => itemKey(one.item) === key)
    const next =
      of.find((one) => one.side !== undefined && one.side === line.side) ??
      of.find((one) => one.side === undefined) ??
      of[0]
    if (!next) return null
    at = next
  }
}

/**
 * How many of the ordered line replace `wanted` pieces of one that is not sold separately; all three in minor units, the two
 * quantities per assembly. Whole pieces up: half an assembly still takes one. Example: two bushes of the four that come in one
 * arm are one arm, orderedQuantity(2, 4, 1) = 1.
 */
export function orderedQuantity(wanted: number, perAssembly: number, orderedPerAssembly: number): number {
  return Math.max(1, Math.ceil((wanted * orderedPerAssembly) / perAssembly))
}

/**
 * A parts list by item number, 2 before 10 and 12 before 12A, so that a number read off the drawing is found where it is looked
 * for; several lines of one item keep the order of the book. What holds what is said in words (`attachingWords`), because an
 * attaching part that stands under what it holds looks like a line out of its place.
 */
export function partsListByItem<L extends { item: string }>(lines: readonly L[]): L[] {
  return [...lines].sort((a, b) => itemCompare(a.item, b.item))
}

/** "holds item 12" and "held by items 13, 14": attaching parts in words, on both ends. */
export function attachingWords(
  lines: readonly { item: string; attaches?: string | undefined }[],
  line: { item: string; attaches?: string | undefined },
): string[] {
  const holders = lines.filter((one) => one.attaches !== undefined && itemKey(one.attaches) === itemKey(line.item))
  const items = [...new Set(partsListByItem(holders).map((one) => one.item))]
  return [
    ...(line.attaches === undefined ? [] : [`holds item ${line.attaches}`]),
    ...(items.length === 0 ? [] : [`held by item${items.length > 1 ? 's' : ''} ${items.join(', ')}`]),
  ]
}
