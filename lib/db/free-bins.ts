import { BIN_KINDS_FREE } from '../stock/bin-kind.ts'
import { Prisma, type Tx } from './client.ts'

const SET_ASIDE_BINS = Prisma.sql`(SELECT "id" FROM "Bin" WHERE "kind" NOT IN
  (${Prisma.join(BIN_KINDS_FREE.map((kind) => Prisma.raw(`'${kind}'`)))}))`

/**
 * Balances `b` that are free to take: not in quarantine, not waiting to go back, not on the way between two stores. Asked as a
 * short list of the other bins, which is read once a statement.
 */
export const FREE_BALANCE = Prisma.sql`b."binId" NOT IN ${SET_ASIDE_BINS}`

/** The other balances `b`: on hand, and free for nobody. */
export const SET_ASIDE_BALANCE = Prisma.sql`b."binId" IN ${SET_ASIDE_BINS}`

/** The first of them for the client's own questions about balances. */
export const freeBin = { bin: { kind: { in: [...BIN_KINDS_FREE] } } }

/**
 * Of each part so much that is past its use-by day on `today` and lies in bins that people take from, as a table of few rows:
 * read from the batches that have spoiled, never part by part.
 */
export function spoiledByPart(today: string): Prisma.Sql {
  return Prisma.sql`(SELECT x."partId", SUM(b."quantity") AS "quantity" FROM "Batch" x JOIN "BatchBalance" b ON b."batchId" = x."id"
    WHERE x."expiresOn" < ${today} AND b."quantity" > 0 AND ${FREE_BALANCE} GROUP BY x."partId")`
}

/** The same of one part `p` at a time, for a short list of parts. */
export function spoiledOfPart(today: string): Prisma.Sql {
  return Prisma.sql`COALESCE((SELECT SUM(b."quantity") FROM "Batch" x JOIN "BatchBalance" b ON b."batchId" = x."id"
    WHERE x."partId" = p."id" AND x."expiresOn" < ${today} AND b."quantity" > 0 AND ${FREE_BALANCE}), 0)`
}

/** Balances `b` of which something may still be used; those that have spoiled as a whole are read once a statement. */
export function usableBalance(today: string): Prisma.Sql {
  return Prisma.sql`${FREE_BALANCE} AND (b."partId", b."binId") NOT IN (SELECT x."partId", l."binId" FROM "Batch" x
    JOIN "BatchBalance" l ON l."batchId" = x."id" JOIN "Balance" y ON y."partId" = x."partId" AND y."binId" = l."binId"
    WHERE x."expiresOn" < ${today} AND l."quantity" > 0 GROUP BY x."partId", l."binId" HAVING SUM(l."quantity") >= MAX(y."quantity"))`
}

/** What is past its use-by day of each of these parts in bins that people take from, minor units; parts without any are left out. */
export async function spoiledOf(tx: Tx, partIds: readonly number[], today: string): Promise<Map<number, number>> {
  const rows = await tx.$queryRaw<{ partId: number | bigint; quantity: number | bigint }[]>`
    SELECT x."partId" AS "partId", SUM(b."quantity") AS "quantity"
    FROM json_each(${JSON.stringify(partIds)}) asked CROSS JOIN "Batch" x ON x."partId" = asked.value
      JOIN "BatchBalance" b ON b."batchId" = x."id"
    WHERE x."expiresOn" < ${today} AND b."quantity" > 0 AND ${FREE_BALANCE} GROUP BY x."partId"`
  return new Map(rows.map((row) => [Number(row.partId), Number(row.quantity)]))
}
