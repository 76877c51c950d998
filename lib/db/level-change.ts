import { database, type Tx } from './client.ts'
import type { WriteContext } from './transaction.ts'

/** How a level came to be changed: typed on its card, many at once, from a file, or by saying yes to a reckoning. */
export type LevelChangeKind = 'hand' | 'many' | 'file' | 'run'

export interface LevelKept {
  partId: number
  reorderPoint: number
  orderUpTo: number
  reason: string
}

/** Rows that one statement takes as JSON. */
const AT_ONCE = 5_000

/** Keeps levels and writes down what they were before, by whom and why; a level that stays as it was leaves no line. */
export async function levelsKeep(
  tx: Tx,
  { personId, now }: Pick<WriteContext, 'personId' | 'now'>,
  levels: readonly LevelKept[],
  { kind, runId = null }: { kind: LevelChangeKind; runId?: number | null },
): Promise<void> {
  for (let at = 0; at < levels.length; at += AT_ONCE) {
    const json = JSON.stringify(
      levels
        .slice(at, at + AT_ONCE)
        .map(({ partId, reorderPoint, orderUpTo, reason }) => [partId, reorderPoint, orderUpTo, reason]),
    )
    await tx.$executeRaw`
      INSERT INTO "LevelChange" ("partId", "at", "personId", "kind", "runId", "fromReorderPoint", "fromOrderUpTo",
        "toReorderPoint", "toOrderUpTo", "reason")
      SELECT j.value->>0, ${now}, ${personId}, ${kind}, ${runId}, l."reorderPoint", l."orderUpTo", j.value->>1, j.value->>2,
        j.value->>3
      FROM json_each(${json}) j LEFT JOIN "StockLevel" l ON l."partId" = j.value->>0
      WHERE l."partId" IS NULL OR l."reorderPoint" <> j.value->>1 OR l."orderUpTo" <> j.value->>2`
    await tx.$executeRaw`
      INSERT INTO "StockLevel" ("partId", "reorderPoint", "orderUpTo", "reason", "setAt")
      SELECT j.value->>0, j.value->>1, j.value->>2, j.value->>3, ${now} FROM json_each(${json}) j WHERE true
      ON CONFLICT ("partId") DO UPDATE SET "reorderPoint" = excluded."reorderPoint", "orderUpTo" = excluded."orderUpTo",
        "reason" = excluded."reason", "setAt" = excluded."setAt"`
  }
}

export interface LevelChangeLine {
  id: number
  at: string
  by: string
  kind: LevelChangeKind
  from: { reorderPoint: number; orderUpTo: number } | null
  to: { reorderPoint: number; orderUpTo: number }
  reason: string
}

/** The newest changes of a part's level. */
export async function levelChanges(partId: number, most: number): Promise<LevelChangeLine[]> {
  const db = database()
  const rows = await db.levelChange.findMany({ where: { partId }, orderBy: { id: 'desc' }, take: most })
  const people = await db.person.findMany({ where: { id: { in: [...new Set(rows.map((row) => row.personId))] } } })
  const names = new Map(people.map((person) => [person.id, person.name]))
  return rows.map((row) => ({
    id: row.id,
    at: row.at.toISOString(),
    by: names.get(row.personId) ?? 'the workshop',
    kind: row.kind as LevelChangeKind,
    from:
      row.fromReorderPoint === null || row.fromOrderUpTo === null
        ? null
        : { reorderPoint: row.fromReorderPoint, orderUpTo: row.fromOrderUpTo },
    to: { reorderPoint: row.toReorderPoint, orderUpTo: row.toOrderUpTo },
    reason: row.reason,
  }))
}
