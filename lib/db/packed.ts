import { database, type Prisma } from './client.ts'

/**
 * Rows of a query that has one column "packed" with JSON, all in one value: over the driver a row costs more than what is in it.
 * For some thousands of rows at a time, in no order.
 */
export async function packedRead<T>(sql: Prisma.Sql): Promise<T[]> {
  const [row] = await database().$queryRaw<{ all: string }[]>`
    SELECT '[' || COALESCE(group_concat("packed", ','), '') || ']' AS "all" FROM (${sql})`
  return JSON.parse(row!.all) as T[]
}
