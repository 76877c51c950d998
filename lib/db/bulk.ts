import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { BULK_MAX, type BulkChange, type BulkInput, type BulkPart, type BulkRow, bulkRow } from '../stock/bulk.ts'
import type { TableQuestion } from '../stock/table.ts'
import { database, type Tx } from './client.ts'
import { levelsKeep } from './level-change.ts'
import { stockTableParts } from './stock-table.ts'
import { type WriteContext, write } from './transaction.ts'

/** Values a statement takes. */
const AT_ONCE = 500

async function partsRead(tx: Tx, ids: readonly number[]): Promise<BulkPart[]> {
  const parts: BulkPart[] = []
  for (let at = 0; at < ids.length; at += AT_ONCE) {
    const rows = await tx.part.findMany({
      where: { id: { in: ids.slice(at, at + AT_ONCE) } },
      include: { level: true },
    })
    for (const { id, level, unit, ...part } of rows)
      parts.push({
        ...part,
        partId: id,
        unit: unit as StockUnit,
        reorderPoint: level?.reorderPoint ?? null,
        orderUpTo: level?.orderUpTo ?? null,
      })
  }
  const place = new Map(ids.map((id, at) => [id, at]))
  return parts.sort((a, b) => place.get(a.partId)! - place.get(b.partId)!)
}

/** What a change would make of the parts that answer a question; null where they are more than are changed in one go. */
export async function bulkPreview(question: TableQuestion, change: BulkChange): Promise<BulkRow[] | null> {
  const ids = await stockTableParts(question, BULK_MAX + 1)
  if (ids.length > BULK_MAX) return null
  const parts = await partsRead(database() as unknown as Tx, ids)
  return parts.map((part) => bulkRow(part, change))
}

/**
 * Makes the change on every part that was agreed to, or on none: refused with 'stock/bulk-changed' when a part is no longer what
 * it was when somebody looked, or cannot be changed so.
 */
export function bulkApply(context: WriteContext, input: BulkInput): Promise<{ changed: number }> {
  return write(context, 'stock.bulk', input, async (tx) => {
    const seen = new Map(input.parts.map((part) => [part.partId, part.before]))
    const rows = (await partsRead(tx, [...seen.keys()])).map((part) => bulkRow(part, input.change))
    const other = rows.find((row) => row.before !== seen.get(row.partId) || row.state === 'cannot')
    if (other || rows.length < seen.size)
      throw new Refusal('stock/bulk-changed', { part: other ? other.number : 'one of the parts' })
    const levels = rows.flatMap(({ partId, level }) => (level ? [{ partId, ...level, reason: input.reason }] : []))
    if (input.change.what === 'levels') await levelsKeep(tx, context, levels, { kind: 'many' })
    for (const { partId } of rows) {
      if (input.change.what === 'criticality')
        await tx.part.update({ where: { id: partId }, data: { criticality: input.change.to } })
      else if (input.change.what === 'class')
        await tx.part.update({ where: { id: partId }, data: { partClass: input.change.to } })
    }
    return { changed: rows.filter((row) => row.state === 'change').length }
  })
}
