import { orderedLine } from '../figure/order-item.ts'
import { itemKey, stripOrderCheckLines } from '../figure/strip-order.ts'
import { isRefusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import type { List } from './exchange-line.ts'
import { asked, type Reader, type Refused } from './exchange-rows.ts'

interface Listed {
  list: List
  known: { id: number } | undefined
}

/** What is not sold separately leads to an item of the same list that is. */
export function orderingCheck(list: List, refused: Refused): void {
  const rows = list.lines.filter((line) => line.ordering !== undefined)
  if (rows.length === 0) return
  const hand = (side: string | null): 'LH' | 'RH' | undefined => (side === 'LH' || side === 'RH' ? side : undefined)
  const lines = list.lines.map(({ item, orderItem, side }) => ({
    item,
    orderItem: orderItem ?? undefined,
    side: hand(side),
  }))
  const items = new Set(list.lines.map((line) => itemKey(line.item)))
  for (const [at, { item, orderItem, ordering }] of list.lines.entries()) {
    if (ordering === undefined || orderItem === null) continue
    if (!items.has(itemKey(orderItem)))
      refused.at(ordering, 'order_item', `the list of the figure has no item ${orderItem}`)
    else if (itemKey(orderItem) === itemKey(item))
      refused.at(ordering, 'order_item', 'an item is not ordered as itself')
    else if (orderedLine(lines, lines[at]!) === null)
      refused.at(ordering, 'order_item', 'it leads back to itself, so nothing on its way can be ordered')
  }
}

/** Attaching parts hold an item of the same list, and do not hold each other in a circle. */
export async function attachingCheck(reader: Reader, groups: readonly Listed[], refused: Refused): Promise<void> {
  const holding = groups.filter((group) => group.list.attaching !== null)
  const ids = holding.flatMap((group) => group.known?.id ?? [])
  const edges = await asked(
    ids,
    (json) => (reader as Tx).$queryRaw<{ figureId: number | bigint; first: string; then: string }[]>`
      SELECT e."figureId", e."firstItem" AS "first", e."thenItem" AS "then"
      FROM json_each(${json}) k JOIN "StripEdge" e ON e."figureId" = k.value`,
  )
  const edgesOf = new Map<number, typeof edges>()
  for (const edge of edges) {
    const figureId = Number(edge.figureId)
    const same = edgesOf.get(figureId)
    if (same) same.push(edge)
    else edgesOf.set(figureId, [edge])
  }
  for (const { list, known } of holding) {
    const row = list.attaching!
    const items = new Set(list.lines.map((line) => itemKey(line.item)))
    const lost = list.lines.find((line) => line.attaches !== null && !items.has(itemKey(line.attaches)))
    const self = list.lines.find((line) => line.attaches !== null && itemKey(line.attaches) === itemKey(line.item))
    if (lost) refused.at(row, 'attaches', `the list of the figure has no item ${lost.attaches}`)
    if (self) refused.at(row, 'attaches', `item ${self.item} cannot hold itself`)
    if (lost || self) continue
    const lines = list.lines.map(({ item, attaches }) => (attaches === null ? { item } : { item, attaches }))
    try {
      stripOrderCheckLines((known && edgesOf.get(known.id)) ?? [], lines)
    } catch (error) {
      if (!isRefusal(error)) throw error
      refused.at(row, 'attaches', error.happened)
    }
  }
}
