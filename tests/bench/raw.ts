import type { Client, InValue } from '@libsql/client'

const FIGURE_LINES = `SELECT l.*, p.* FROM "PartsListLine" l JOIN "Part" p ON p."id" = l."partId" WHERE l."figureId" = ? ORDER BY l."sort"`

const HEADS = [
  `SELECT f.*, p.* FROM "Figure" f JOIN "Picture" p ON p."id" = f."pictureId" WHERE f."id" = ?`,
  `SELECT o.*, m.* FROM "FigureOfModel" o JOIN "MachineModel" m ON m."id" = o."modelId" WHERE o."figureId" = ? ORDER BY o."modelId"`,
  `SELECT * FROM "Callout" WHERE "figureId" = ? ORDER BY "id"`,
  `SELECT * FROM "StripEdge" WHERE "figureId" = ?`,
]

const OF_PARTS = (list: string) => [
  `SELECT "partId", SUM("quantity") FROM "Balance" WHERE "partId" IN (${list}) GROUP BY "partId"`,
  `SELECT n."partId", n."wanted", n."taken", n."allocated" FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId"
   WHERE n."partId" IN (${list}) AND n."state" = 'accepted' AND j."state" = 'open'`,
  `SELECT l."partId", l."quantity", l."received", l."cancelled" FROM "PurchaseOrderLine" l JOIN "PurchaseOrder" o ON o."id" = l."orderId"
   WHERE l."partId" IN (${list}) AND o."state" = 'ordered'`,
  `SELECT b.*, n.*, s.* FROM "Balance" b JOIN "Bin" n ON n."id" = b."binId" JOIN "Store" s ON s."id" = n."storeId"
   WHERE b."partId" IN (${list}) AND b."quantity" > 0`,
  `SELECT "partId", "reorderPoint" FROM "StockLevel" WHERE "partId" IN (${list})`,
  `SELECT * FROM "Supersession" WHERE "oldPartId" IN (${list}) OR "newPartId" IN (${list})`,
]

/** The rows that the figure page shows, asked for by hand. */
export async function rawFigure(client: Client, figureId: number): Promise<number> {
  let rows = 0
  for (const sql of HEADS) rows += (await client.execute({ sql, args: [figureId] })).rows.length
  const lines = await client.execute({ sql: FIGURE_LINES, args: [figureId] })
  const ids = [...new Set(lines.rows.map((row) => Number(row.partId)))]
  for (const sql of OF_PARTS(ids.map((_, at) => `?${at + 1}`).join(',')))
    rows += (await client.execute({ sql, args: ids })).rows.length
  return rows + lines.rows.length
}

/** What a plain search box would ask the index: the typed text as one term. */
export async function rawSearch(client: Client, typed: string, take: number): Promise<number> {
  const term = `"${typed.replace(/"/g, '""')}"`
  const found = await client.execute({
    sql: `SELECT p."id", p."number", p."maker", p."description" FROM part_fts f JOIN "Part" p ON p."id" = f.rowid
          WHERE part_fts MATCH ? ORDER BY rank LIMIT ?`,
    args: [term, take],
  })
  return found.rows.length
}

export interface RawIssue {
  key: string
  personId: string
  at: string
  partId: number
  binId: number
  quantity: number
}

/** The statements of one durable issue, in the order of the domain code, with nothing in between. */
export async function rawIssue(client: Client, issue: RawIssue): Promise<number> {
  // "write" is BEGIN IMMEDIATE.
  const transaction = await client.transaction('write')
  const ask = (sql: string, args: InValue[]) => transaction.execute({ sql, args })
  try {
    await ask(`SELECT * FROM "Write" WHERE "key" = ?`, [issue.key])
    await ask(
      `SELECT n."allocated", j."number" FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId" WHERE n."partId" = ? AND n."allocated" > 0`,
      [issue.partId],
    )
    const part = await ask(
      `SELECT p."id", p."number", p."description", p."unit", p."costMinor", v."quantity" AS "onHand", v."valueMinor",
         (SELECT "id" FROM "Bin" WHERE "id" = ?) AS "bin"
       FROM "Part" p LEFT JOIN "PartValue" v ON v."partId" = p."id" WHERE p."id" = ?`,
      [issue.binId, issue.partId],
    )
    const left = await ask(
      `UPDATE "Balance" SET "quantity" = "quantity" - ? WHERE "partId" = ? AND "binId" = ? AND "quantity" >= ? RETURNING "quantity"`,
      [issue.quantity, issue.partId, issue.binId, issue.quantity],
    )
    const balanceAfter = Number(left.rows[0]?.quantity ?? -1)
    if (balanceAfter < 0) throw new Error('the raw driver found too little on the shelf: the data set is wrong')
    const [held, worth] = [Number(part.rows[0]?.onHand ?? 0), Number(part.rows[0]?.valueMinor ?? 0)]
    const valueMinor = held === issue.quantity ? -worth : -Math.round((worth * issue.quantity) / held)
    await ask(
      `INSERT INTO "Movement" ("kind","partId","binId","quantity","balanceAfter","at","personId","reason","costMinor","valueMinor","writeKey","writeLine")
       VALUES ('issue',?,?,?,?,?,?,'bench',?,?,?,0) RETURNING "id"`,
      [
        issue.partId,
        issue.binId,
        -issue.quantity,
        balanceAfter,
        issue.at,
        issue.personId,
        part.rows[0]?.costMinor ?? null,
        valueMinor,
        issue.key,
      ],
    )
    await ask(
      `INSERT INTO "PartValue" ("partId","quantity","valueMinor") VALUES (?,?,?)
       ON CONFLICT ("partId") DO UPDATE SET "quantity" = excluded."quantity", "valueMinor" = excluded."valueMinor"`,
      [issue.partId, held - issue.quantity, worth + valueMinor],
    )
    await ask(
      `INSERT INTO "Write" ("key","kind","contentHash","answer","personId","at") VALUES (?,'stock.issue',?,?,?,?)`,
      [issue.key, '0'.repeat(64), `{"balanceAfter":${balanceAfter}}`, issue.personId, issue.at],
    )
    await transaction.commit()
    return balanceAfter
  } finally {
    transaction.close()
  }
}
