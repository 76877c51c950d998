import type { KeptFor } from '../stock/stock-words.ts'
import { dayOf } from './batch.ts'
import { database } from './client.ts'
import { FREE_BALANCE, spoiledOfPart } from './free-bins.ts'

/**
 * Why a part answers a question that does not name it: the number of a supplier, a part that it replaces, or a number in which
 * signs look like those that were typed.
 */
export type PartReason =
  | { is: 'supplier'; number: string; supplier: string }
  | { is: 'replaces'; partId: number }
  | { is: 'alike' }

export interface PartHit {
  id: number
  number: string
  maker: string
  description: string
  unit: string
  /** To use; what is past its use-by day is in `spoiled` only. */
  onHand: number
  spoiled: number
  /** On hand, less what is kept for open jobs. */
  available: number
  onOrder: number
  keptFor: KeptFor[]
  reorderPoint: number | null
  /** The number that was asked for, when this part was found by another one. */
  supplierNumber: { number: string; supplier: string } | null
  replaces: string | null
  /** Another number was typed, with signs that look like those of this one. */
  alike: boolean
  /** The part that takes its place, where there is one. */
  replacedBy: string | null
}

interface Row {
  id: number | bigint
  number: string
  maker: string
  description: string
  unit: string
  onHand: number | bigint
  spoiled: number | bigint
  /** JSON, [job id, job number, quantity][] */
  kept: string
  onOrder: number | bigint
  reorderPoint: number | bigint | null
  replacedBy: string | null
}

/** What is shown of each found part, in the order they were found, in one statement. */
export async function partHits(
  found: readonly { id: number; reason: PartReason | null }[],
  today = dayOf(new Date()),
): Promise<PartHit[]> {
  if (found.length === 0) return []
  const old = found.flatMap(({ reason }) => (reason?.is === 'replaces' ? [reason.partId] : []))
  const rows = await database().$queryRaw<Row[]>`
    SELECT p."id", p."number", p."maker", p."description", p."unit",
      COALESCE((SELECT SUM(b."quantity") FROM "Balance" b WHERE b."partId" = p."id" AND ${FREE_BALANCE}), 0) AS "onHand",
      ${spoiledOfPart(today)} AS "spoiled",
      (SELECT json_group_array(json_array(j."id", j."number", n."allocated")) FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId"
        WHERE n."partId" = p."id" AND n."state" = 'accepted' AND n."allocated" > 0 AND j."state" = 'open') AS "kept",
      COALESCE((SELECT SUM(l."quantity" - l."received" - l."cancelled") FROM "PurchaseOrderLine" l
        JOIN "PurchaseOrder" o ON o."id" = l."orderId" WHERE l."partId" = p."id" AND o."state" = 'ordered'), 0) AS "onOrder",
      (SELECT v."reorderPoint" FROM "StockLevel" v WHERE v."partId" = p."id") AS "reorderPoint",
      (SELECT n."number" FROM "Supersession" s JOIN "Part" n ON n."id" = s."newPartId" WHERE s."oldPartId" = p."id" ORDER BY s."id" DESC LIMIT 1) AS "replacedBy"
    FROM json_each(${JSON.stringify([...found.map(({ id }) => id), ...old])}) asked CROSS JOIN "Part" p ON p."id" = asked.value`
  const byId = new Map(rows.map((row) => [Number(row.id), row]))
  return found.flatMap(({ id, reason }) => {
    const row = byId.get(id)
    if (!row) return []
    const keptFor = (JSON.parse(row.kept) as [number, number, number][]).map(([jobId, job, quantity]) => ({
      jobId,
      job,
      quantity,
    }))
    const onHand = Number(row.onHand) - Number(row.spoiled)
    return [
      {
        id,
        number: row.number,
        maker: row.maker,
        description: row.description,
        unit: row.unit,
        onHand,
        spoiled: Number(row.spoiled),
        available: onHand - keptFor.reduce((sum, { quantity }) => sum + quantity, 0),
        keptFor,
        onOrder: Number(row.onOrder),
        reorderPoint: row.reorderPoint === null ? null : Number(row.reorderPoint),
        replacedBy: row.replacedBy,
        alike: reason?.is === 'alike',
        supplierNumber: reason?.is === 'supplier' ? { number: reason.number, supplier: reason.supplier } : null,
        replaces: reason?.is === 'replaces' ? (byId.get(reason.partId)?.number ?? null) : null,
      },
    ]
  })
}
