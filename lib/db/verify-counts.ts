import { type CountRow, countFaults } from '../verify/counts.ts'
import { database } from './client.ts'

interface Row {
  id: number | bigint
  partId: number | bigint
  binId: number | bigint
  state: string
  books: number | bigint
  counted: number | bigint
  ledger: number | bigint
  movementId: number | bigint | null
  mid: number | bigint | null
  kind: string | null
  mPart: number | bigint | null
  mBin: number | bigint | null
  quantity: number | bigint | null
  decidedById: string | null
}

/** Holds every kept count against the ledger, by sums of its own. */
export async function countsVerify(): Promise<string[]> {
  const rows = await database().$queryRaw<Row[]>`
    SELECT c."id", c."partId", c."binId", c."state", c."books", c."counted", c."movementId", c."decidedById",
      m."id" AS "mid", m."kind", m."partId" AS "mPart", m."binId" AS "mBin",
      -- A count of a part in batches is a line of the ledger for each batch.
      (SELECT SUM(o."quantity") FROM "Movement" o WHERE o."writeKey" = m."writeKey" AND o."kind" = m."kind"
         AND o."partId" = m."partId" AND o."binId" = m."binId") AS "quantity",
      (SELECT COALESCE(SUM(l."quantity"), 0) FROM "Movement" l LEFT JOIN "Movement" r ON r."id" = l."reversesId"
       WHERE l."partId" = c."partId" AND l."binId" = c."binId" AND l."id" <= CASE
         WHEN l."kind" = 'count-difference' OR r."kind" = 'count-difference' THEN c."ledgerId" ELSE c."cutId" END) AS "ledger"
    FROM "CountLine" c LEFT JOIN "Movement" m ON m."id" = c."movementId" ORDER BY c."id"`
  return countFaults(
    rows.map(
      (row): CountRow => ({
        id: Number(row.id),
        partId: Number(row.partId),
        binId: Number(row.binId),
        state: row.state,
        books: Number(row.books),
        counted: Number(row.counted),
        ledger: Number(row.ledger),
        movementId: row.movementId === null ? null : Number(row.movementId),
        movement:
          row.mid === null
            ? null
            : {
                id: Number(row.mid),
                kind: row.kind!,
                partId: Number(row.mPart),
                binId: Number(row.mBin),
                quantity: Number(row.quantity),
              },
        decided: row.decidedById !== null,
      }),
    ),
  )
}
