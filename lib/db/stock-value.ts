import type { StockUnit } from '../measure/quantity.ts'
import { type MonthValue, monthsTo, monthValues, type ValueCell, type ValueMethod } from '../value/summary.ts'
import { database, instantText, Prisma } from './client.ts'

/** The last instant of a calendar day, as the ledger's own column holds it. */
function dayEnd(day: string): string {
  return instantText(new Date(`${day}T23:59:59.999Z`))
}

/** Whole-number share of a value, rounded down; split this way a product stays within 64 bits. */
const shareDown = (times: string, value: string, of: string) =>
  Prisma.raw(`((${value}) / (${of}) * (${times}) + (${value}) % (${of}) * (${times}) / (${of}))`)
/** The same, half a unit rounded up, for values that are not below zero. */
const shareHalfUp = (times: string, value: string, of: string) =>
  Prisma.raw(`((${value}) / (${of}) * (${times}) + ((${value}) % (${of}) * (${times}) * 2 + (${of})) / (2 * (${of})))`)

/** Pieces and value that each part had in each store; the value of a part as a whole is in `worthOf`. */
const held = (until: string) => Prisma.sql`
  held AS MATERIALIZED (
    SELECT m."partId", b."storeId", SUM(m."pieces") AS "pieces", SUM(m."added") AS "added"
    FROM (SELECT "partId", "binId", SUM("quantity") AS "pieces", SUM(COALESCE("valueMinor", 0)) AS "added"
          FROM "Movement" WHERE "at" <= ${until} GROUP BY "partId", "binId") m
    JOIN "Bin" b ON b."id" = m."binId" GROUP BY m."partId", b."storeId")`

/**
 * What each part was worth. By moving average: the sum of what its movements added. By first in, first out: what is left are
 * the pieces that came last, each delivery at its own cost (lib/value/fifo.ts is the same in plain words). What came in is one
 * line in seven: the ledger is read straight through for it, because going by the parts fetches its pages over and over.
 */
function worthOf(method: ValueMethod, until: string): Prisma.Sql {
  if (method === 'moving-average')
    return Prisma.sql`worth AS (SELECT "partId", SUM("added") AS "worth" FROM held GROUP BY "partId")`
  return Prisma.sql`
  layer AS (
    SELECT m."partId", m."quantity",
      CASE WHEN m."costMinor" IS NULL THEN MAX(0, COALESCE(m."valueMinor", 0)) ELSE
        (m."quantity" * m."costMinor" / p."scale" + (m."quantity" * m."costMinor" % p."scale" * 2 + p."scale") / (2 * p."scale"))
      END AS "value",
      SUM(m."quantity") OVER (PARTITION BY m."partId" ORDER BY m."id" DESC) AS "upTo"
    FROM "Movement" m NOT INDEXED
    CROSS JOIN (SELECT "id", CASE "unit" WHEN 'each' THEN 1 ELSE 1000 END AS "scale" FROM "Part") p
    WHERE p."id" = m."partId" AND m."at" <= ${until} AND m."kind" IN ('receive', 'return', 'count-difference') AND m."quantity" > 0
      AND NOT EXISTS (SELECT 1 FROM "Movement" r WHERE r."reversesId" = m."id" AND r."at" <= ${until})),
  worth AS (
    SELECT l."partId", SUM(CASE WHEN l."upTo" <= h."pieces" THEN l."value" ELSE
      ${shareHalfUp('h."pieces" - l."upTo" + l."quantity"', 'l."value"', 'l."quantity"')} END) AS "worth"
    FROM layer l JOIN (SELECT "partId", SUM("pieces") AS "pieces" FROM held GROUP BY "partId") h ON h."partId" = l."partId"
    WHERE l."upTo" - l."quantity" < h."pieces" GROUP BY l."partId")`
}

/**
 * What each part was worth in each store: its value shared by the pieces that lay there. Shared along a running sum, so that
 * the shares add up to the part's value to the minor unit.
 */
function placed(method: ValueMethod, day: string): Prisma.Sql {
  const until = dayEnd(day)
  return Prisma.sql`WITH ${held(until)}, ${worthOf(method, until)},
  run AS (
    SELECT h."partId", h."storeId", h."pieces", COALESCE(w."worth", 0) AS "worth",
      SUM(h."pieces") OVER (PARTITION BY h."partId" ORDER BY h."storeId") AS "upTo",
      SUM(h."pieces") OVER (PARTITION BY h."partId") AS "all",
      ROW_NUMBER() OVER (PARTITION BY h."partId" ORDER BY h."storeId") AS "nth"
    FROM held h LEFT JOIN worth w ON w."partId" = h."partId"),
  placed AS (
    SELECT "partId", "storeId", "pieces", CASE WHEN "all" <= 0 THEN CASE "nth" WHEN 1 THEN "worth" ELSE 0 END ELSE
      ${shareDown('"upTo"', '"worth"', '"all"')} - ${shareDown('"upTo" - "pieces"', '"worth"', '"all"')} END AS "value"
    FROM run)`
}

/** What the stock was worth at the end of a day, by store and class. */
export async function stockValueOn(day: string, method: ValueMethod): Promise<ValueCell[]> {
  const rows = await database().$queryRaw<{ store: string; partClass: string; value: number | bigint }[]>`
    ${placed(method, day)}
    SELECT s."name" AS "store", p."partClass", SUM(l."value") AS "value" FROM placed l
    JOIN "Part" p ON p."id" = l."partId" JOIN "Store" s ON s."id" = l."storeId"
    GROUP BY s."id", p."partClass" ORDER BY s."name", p."partClass"`
  return rows.map(({ store, partClass, value }) => ({ store, partClass, valueMinor: Number(value) }))
}

export interface PartWorth {
  partId: number
  number: string
  maker: string
  description: string
  partClass: string
  unit: StockUnit
  store: string
  quantity: number
  valueMinor: number
}

/** The same part by part and store by store, for the file that is kept with the books. */
export async function partsWorthOn(day: string, method: ValueMethod): Promise<PartWorth[]> {
  const rows = await database().$queryRaw<(PartWorth & { pieces: number | bigint; value: number | bigint })[]>`
    ${placed(method, day)}
    SELECT p."id" AS "partId", p."number", p."maker", p."description", p."partClass", p."unit", s."name" AS "store",
      l."pieces", l."value"
    FROM placed l JOIN "Part" p ON p."id" = l."partId" JOIN "Store" s ON s."id" = l."storeId"
    WHERE l."pieces" <> 0 OR l."value" <> 0 ORDER BY p."numberKey", p."id", s."name"`
  return rows.map(({ pieces, value, ...row }) => ({
    ...row,
    partId: Number(row.partId),
    quantity: Number(pieces),
    valueMinor: Number(value),
  }))
}

/** What came and went in the months up to a day, by moving average cost: the last one ends with that day. */
export async function stockMonths(day: string, count: number): Promise<MonthValue[]> {
  const months = monthsTo(day, count)
  const from = `${months[0]}-01`
  const [opening] = await database().$queryRaw<{ value: number | bigint }[]>`
    SELECT COALESCE(SUM("valueMinor"), 0) AS "value" FROM "Movement" WHERE "at" < ${from}`
  const sums = await database().$queryRaw<{ month: string; kind: string; value: number | bigint }[]>`
    SELECT substr(m."at", 1, 7) AS "month", COALESCE(o."kind", m."kind") AS "kind", SUM(COALESCE(m."valueMinor", 0)) AS "value"
    FROM "Movement" m LEFT JOIN "Movement" o ON o."id" = m."reversesId"
    WHERE m."at" >= ${from} AND m."at" <= ${dayEnd(day)} GROUP BY 1, 2`
  return monthValues(
    Number(opening?.value ?? 0),
    months,
    sums.map(({ month, kind, value }) => ({ month, kind, valueMinor: Number(value) })),
  )
}
