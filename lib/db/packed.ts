import { database, type Prisma, type Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'

/**
 * Rows of a query that has one column "packed" with JSON, all in one value: over the driver a row costs more than what is in it.
 * For some thousands of rows at a time, in no order.
 */
export async function packedRead<T>(sql: Prisma.Sql, reader: Reader = database()): Promise<T[]> {
  const [row] = await (reader as Tx).$queryRaw<{ all: string }[]>`
    SELECT '[' || COALESCE(group_concat("packed", ','), '') || ']' AS "all" FROM (${sql})`
  return JSON.parse(row!.all) as T[]
}
