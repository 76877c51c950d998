import { itemKey } from './strip-order.ts'

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
 * A parts list in printed order: an attaching part stands under what it holds, after that part's own parts, whatever place the
 * list had it in. What holds nothing, or something that is not in the list, keeps its place.
 * Source: attaching parts follow the part they hold, as in military and aviation parts lists; common practice, no source.
 */
export function partsListOrder<L extends { item: string; attaches?: string | undefined }>(lines: readonly L[]): L[] {
  const items = new Set(lines.map((line) => itemKey(line.item)))
  const held = (line: L) =>
    line.attaches !== undefined && items.has(itemKey(line.attaches)) ? itemKey(line.attaches) : null
  const under = new Map<string, L[]>()
  for (const line of lines) {
    const key = held(line)
    if (key !== null) under.set(key, [...(under.get(key) ?? []), line])
  }
  const last = new Map(lines.map((line) => [itemKey(line.item), line]))
  const ordered = new Set<L>()
  const put = (line: L) => {
    if (ordered.has(line)) return
    ordered.add(line)
    // Several lines of one item (old and new, left and right): what holds them stands under the last.
    if (last.get(itemKey(line.item)) === line) for (const one of under.get(itemKey(line.item)) ?? []) put(one)
  }
  for (const line of lines) if (held(line) === null) put(line)
  // Parts that hold each other in a circle hang under nothing; they are kept all the same.
  for (const line of lines) put(line)
  return [...ordered]
}
