import type { Suggestion } from '../companion/suggest.ts'
import { orderedLine, orderedQuantity } from '../figure/order-item.ts'
import type { StockUnit } from '../measure/quantity.ts'

export interface OrderableLine {
  lineId: number
  item: string
  partId: number
  description: string
  /** Per assembly, minor units. */
  quantity: number
  unit: StockUnit
  orderItem?: string
  side?: 'LH' | 'RH'
}

export interface TargetOrdered<L> {
  line: L
  quantity: number
  /** Why another line than the one asked for is renewed; null when it is that one. */
  insteadOf: string | null
}

/** What is renewed when a person aims at `asked`: that line, or where it is not sold separately the item the book names. */
export function targetOrdered<L extends OrderableLine>(
  lines: readonly L[],
  asked: L,
  quantity: number,
): TargetOrdered<L> {
  const line = orderedLine(lines, asked) ?? asked
  if (line === asked) return { line, quantity, insteadOf: null }
  return {
    line,
    quantity: orderedQuantity(quantity, asked.quantity, line.quantity),
    insteadOf: `for item ${asked.item} ${asked.description}, not sold separately`,
  }
}

/**
 * Suggestions that can be fetched: a part that is not sold separately becomes the item the book names. Where that item is
 * renewed anyway, or stands in the list already, the suggestion stays as a note that the part comes with it.
 */
export function suggestionsOrdered<L extends OrderableLine>(
  suggestions: readonly Suggestion[],
  lines: readonly L[],
  targets: readonly { item: string }[],
): Suggestion[] {
  const comes = new Set(targets.map((target) => target.item))
  for (const one of suggestions) {
    const line = lines.find((other) => other.partId === one.partId && other.item === one.item)
    if (line && line.orderItem === undefined) comes.add(line.item)
  }
  return suggestions.map((one) => {
    const line = lines.find((other) => other.partId === one.partId && other.item === one.item)
    const ordered = line && orderedLine(lines, line)
    if (!line || !ordered || ordered === line) return one
    const words = `${one.description} (item ${line.item}) is not sold separately: item ${ordered.item} ${ordered.description}`
    if (comes.has(ordered.item))
      return { ...one, kind: 'act', partId: null, quantity: 0, unit: 'each', description: `${words} brings it` }
    comes.add(ordered.item)
    return {
      ...one,
      partId: ordered.partId,
      item: ordered.item,
      description: `${ordered.description}, for item ${line.item} ${one.description}, not sold separately`,
      quantity: orderedQuantity(one.quantity, line.quantity, ordered.quantity),
      unit: ordered.unit,
    }
  })
}
