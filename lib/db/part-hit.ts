import { database } from './client.ts'

/** Why a part answers a question that does not name it: the number of a supplier, or a part that it replaces. */
export type PartReason = { is: 'supplier'; number: string; supplier: string } | { is: 'replaces'; partId: number }

export interface PartHit {
  id: number
  number: string
  maker: string
  description: string
  unit: string
  onHand: number
  /** The number that was asked for, when this part was found by another one. */
  supplierNumber: { number: string; supplier: string } | null
  replaces: string | null
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
  replacedBy: string | null
}

/** What is shown of each found part, in the order they were found, in one statement. */
export async function partHits(found: readonly { id: number; reason: PartReason | null }[]): Promise<PartHit[]> {
  if (found.length === 0) return []
  const old = found.flatMap(({ reason }) => (reason?.is === 'replaces' ? [reason.partId] : []))
  const rows = await database().$queryRaw<Row[]>`
    SELECT p."id", p."number", p."maker", p."description", p."unit",
      COALESCE((SELECT SUM(b."quantity") FROM "Balance" b WHERE b."partId" = p."id"), 0) AS "onHand",
      (SELECT n."number" FROM "Supersession" s JOIN "Part" n ON n."id" = s."newPartId" WHERE s."oldPartId" = p."id" ORDER BY s."id" DESC LIMIT 1) AS "replacedBy"
    FROM json_each(${JSON.stringify([...found.map(({ id }) => id), ...old])}) asked CROSS JOIN "Part" p ON p."id" = asked.value`
  const byId = new Map(rows.map((row) => [Number(row.id), row]))
  return found.flatMap(({ id, reason }) => {
    const row = byId.get(id)
    if (!row) return []
    return [
      {
        ...row,
        id,
        onHand: Number(row.onHand),
        supplierNumber: reason?.is === 'supplier' ? { number: reason.number, supplier: reason.supplier } : null,
        replaces: reason?.is === 'replaces' ? (byId.get(reason.partId)?.number ?? null) : null,
      },
    ]
  })
}
