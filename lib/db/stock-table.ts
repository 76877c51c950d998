import type { StockUnit } from '../measure/quantity.ts'
import { BIN_KINDS, binKindOf } from '../stock/bin-kind.ts'
import type { TableAnchor, TableQuestion, TableRow } from '../stock/table.ts'
import { dayOf } from './batch.ts'
import { database, Prisma } from './client.ts'
import { SET_ASIDE_BALANCE, spoiledByPart } from './free-bins.ts'
import { partStock } from './part.ts'
import { partSearchIds } from './part-search.ts'

/** Rows of one page, and of one window that comes while somebody scrolls. */
export const TABLE_ROWS = 50
/** Parts that words may mean. */
const PARTS_MEANT = 500

/**
 * What the table is sorted by, as a text that sorts as it should: worth is set against the most there can be, so that the dearest
 * stands first in one and the same direction.
 */
const SORT_KEYS = {
  number: Prisma.sql`p."numberKey"`,
  description: Prisma.sql`lower(p."description")`,
  value: Prisma.sql`printf('%018d', 999999999999999999 - COALESCE(v."valueMinor", 0))`,
} as const

/** Rows that answer the question: their key and id. Null when words were asked that no part has. */
async function rowsAsked(question: TableQuestion, today: string): Promise<Prisma.Sql | null> {
  const meant = question.search.trim() === '' ? null : await partSearchIds(question.search, PARTS_MEANT)
  if (meant?.length === 0) return null
  const conditions = [
    question.storeId === null
      ? Prisma.sql`(l."partId" IS NOT NULL OR v."partId" IS NOT NULL)`
      : Prisma.sql`p."id" IN (SELECT b."partId" FROM "Balance" b JOIN "Bin" n ON n."id" = b."binId" WHERE n."storeId" = ${question.storeId})`,
  ]
  if (meant) conditions.push(Prisma.sql`p."id" IN (${Prisma.join(meant)})`)
  const free = Prisma.sql`COALESCE(v."quantity", 0) - COALESCE(a."quantity", 0) - COALESCE(s."quantity", 0) - COALESCE(k."quantity", 0)`
  if (question.state === 'none') conditions.push(Prisma.sql`${free} <= 0`)
  if (question.state === 'low') conditions.push(Prisma.sql`${free} + COALESCE(c."quantity", 0) <= l."reorderPoint"`)
  // What is kept, what has spoiled and what is coming are few; summed once they cost no more than the table itself.
  const joined =
    question.state === 'all'
      ? Prisma.empty
      : Prisma.sql`
      LEFT JOIN (SELECT b."partId", SUM(b."quantity") AS "quantity" FROM "Balance" b
        WHERE ${SET_ASIDE_BALANCE} GROUP BY b."partId") a ON a."partId" = p."id"
      LEFT JOIN ${spoiledByPart(today)} s ON s."partId" = p."id"
      LEFT JOIN (SELECT n."partId", SUM(n."allocated") AS "quantity" FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId"
        WHERE n."state" = 'accepted' AND j."state" = 'open' GROUP BY n."partId") k ON k."partId" = p."id"
      LEFT JOIN (SELECT ol."partId", SUM(ol."quantity" - ol."received" - ol."cancelled") AS "quantity"
        FROM "PurchaseOrderLine" ol JOIN "PurchaseOrder" o ON o."id" = ol."orderId"
        WHERE o."state" = 'ordered' GROUP BY ol."partId") c ON c."partId" = p."id"`
  return Prisma.sql`
    FROM "Part" p LEFT JOIN "StockLevel" l ON l."partId" = p."id" LEFT JOIN "PartValue" v ON v."partId" = p."id" ${joined}
    WHERE ${Prisma.join(conditions, ' AND ')}`
}

export interface TableExtent {
  rows: number
  /** Of every window but the first: the row before it. */
  anchors: TableAnchor[]
}

/** How many rows answer, and behind which row each window of them begins; asked once, so that any place of a long table is near. */
export async function stockTableExtent(question: TableQuestion, today = dayOf(new Date())): Promise<TableExtent> {
  const asked = await rowsAsked(question, today)
  if (asked === null) return { rows: 0, anchors: [] }
  const key = SORT_KEYS[question.sort]
  const rows = await database().$queryRaw<
    { key: string; id: number | bigint; place: number | bigint; rows: number | bigint }[]
  >`
    SELECT "key", "id", "place", "rows" FROM (
      SELECT ${key} AS "key", p."id" AS "id", ROW_NUMBER() OVER (ORDER BY ${key}, p."id") AS "place", COUNT(*) OVER () AS "rows"
      ${asked}) WHERE "place" % ${TABLE_ROWS} = 0 OR "place" = "rows" ORDER BY "place"`
  const last = rows.at(-1)
  if (!last) return { rows: 0, anchors: [] }
  const anchors = rows
    .filter((row) => Number(row.place) % TABLE_ROWS === 0 && Number(row.place) < Number(last.rows))
    .map((row) => ({ key: row.key, id: Number(row.id) }))
  return { rows: Number(last.rows), anchors }
}

/** One window of the table: the rows behind `after`, or the first ones. */
export async function stockTableRows(
  question: TableQuestion,
  after: TableAnchor | null,
  today = dayOf(new Date()),
): Promise<TableRow[]> {
  const asked = await rowsAsked(question, today)
  if (asked === null) return []
  const key = SORT_KEYS[question.sort]
  const behind = after === null ? Prisma.empty : Prisma.sql`AND (${key}, p."id") > (${after.key}, ${after.id})`
  const found = await database().$queryRaw<{ id: number | bigint }[]>`
    SELECT p."id" AS "id" ${asked} ${behind} ORDER BY ${key}, p."id" LIMIT ${TABLE_ROWS}`
  return rowsRead(
    found.map((row) => Number(row.id)),
    today,
  )
}

/** Parts that answer the question, in its order, at most so many. */
export async function stockTableParts(
  question: TableQuestion,
  take: number,
  today = dayOf(new Date()),
): Promise<number[]> {
  const asked = await rowsAsked(question, today)
  if (asked === null) return []
  const found = await database().$queryRaw<{ id: number | bigint }[]>`
    SELECT p."id" AS "id" ${asked} ORDER BY ${SORT_KEYS[question.sort]}, p."id" LIMIT ${take}`
  return found.map((row) => Number(row.id))
}

async function rowsRead(ids: readonly number[], today: string): Promise<TableRow[]> {
  const db = database()
  const [parts, stock, moved] = await Promise.all([
    db.part.findMany({
      where: { id: { in: [...ids] } },
      include: {
        level: true,
        value: true,
        balances: { where: { quantity: { gt: 0 } }, include: { bin: { include: { store: true } } } },
      },
    }),
    partStock(db, ids, today),
    db.movement.findMany({
      where: { id: { in: await lastMovements(ids) } },
      select: { partId: true, at: true },
    }),
  ])
  const movedAt = new Map(moved.map((row) => [row.partId, row.at]))
  const rowOf = new Map(
    parts.map((part): [number, TableRow] => [
      part.id,
      {
        partId: part.id,
        number: part.number,
        maker: part.maker,
        description: part.description,
        partClass: part.partClass,
        criticality: part.criticality,
        unit: part.unit as StockUnit,
        bins: part.balances
          .sort((a, b) => a.bin.walkOrder - b.bin.walkOrder)
          .map((row) => {
            const { free, lies } = BIN_KINDS[binKindOf(row.bin.kind)]
            const store = free ? row.bin.store.name : `${row.bin.store.name}, ${lies}`
            return { binId: row.binId, bin: row.bin.code, store, quantity: row.quantity }
          }),
        stock: stock.get(part.id)!,
        reorderPoint: part.level?.reorderPoint ?? null,
        orderUpTo: part.level?.orderUpTo ?? null,
        costMinor: part.costMinor,
        valueMinor: part.value?.valueMinor ?? 0,
        movedAt: movedAt.get(part.id) ?? null,
      },
    ]),
  )
  return ids.map((id) => rowOf.get(id)!)
}

async function lastMovements(ids: readonly number[]): Promise<number[]> {
  if (ids.length === 0) return []
  const rows = await database().$queryRaw<{ id: number | bigint | null }[]>`
    SELECT (SELECT MAX(m."id") FROM "Movement" m WHERE m."partId" = p."id") AS "id" FROM "Part" p
    WHERE p."id" IN (${Prisma.join([...ids])})`
  return rows.flatMap((row) => (row.id === null ? [] : [Number(row.id)]))
}
