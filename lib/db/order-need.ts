import { database, type Tx } from './client.ts'
import { slices } from './exchange-rows.ts'
import { FREE_BALANCE, spoiledByPart } from './free-bins.ts'

/** Parts whose position asks for an order: below their reorder point, or wanted by jobs beyond what is there and coming. */
export async function partsInQuestion(today: string, reader?: Tx): Promise<number[]> {
  const db = reader ?? (database() as unknown as Tx)
  // One statement over levels and balances: the list must not read the whole parts file to find forty lines.
  const low = await db.$queryRaw<{ partId: number | bigint }[]>`
    SELECT l."partId" AS "partId" FROM "StockLevel" l LEFT JOIN ${spoiledByPart(today)} s ON s."partId" = l."partId"
    WHERE l."reorderPoint" >=
      COALESCE((SELECT SUM(b."quantity") FROM "Balance" b WHERE b."partId" = l."partId" AND ${FREE_BALANCE}), 0)
      - COALESCE(s."quantity", 0)
      + COALESCE((SELECT SUM(ol."quantity" - ol."received" - ol."cancelled") FROM "PurchaseOrderLine" ol
          JOIN "PurchaseOrder" o ON o."id" = ol."orderId" WHERE ol."partId" = l."partId" AND o."state" = 'ordered'), 0)
      - COALESCE((SELECT SUM(MAX(n."wanted" - n."taken", 0)) FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId"
          WHERE n."partId" = l."partId" AND n."state" = 'accepted' AND j."state" = 'open'), 0)`
  const waiting = await db.jobNeed.findMany({
    where: { state: 'accepted', partId: { not: null }, job: { state: 'open' } },
    select: { partId: true, wanted: true, taken: true },
  })
  const wanted = waiting.filter((need) => need.wanted > need.taken).map((need) => need.partId!)
  return [...new Set([...low.map((row) => Number(row.partId)), ...wanted])]
}

/** The job that took each part last, for "2 left after job 214". */
export async function lastIssueJobs(partIds: readonly number[]): Promise<Map<number, number>> {
  const db = database()
  const jobs = new Map<number, number>()
  // A statement takes a limited number of values.
  for (const slice of slices(partIds, 500)) {
    const last = await db.movement.groupBy({
      by: ['partId'],
      where: { partId: { in: slice }, kind: 'issue' },
      _max: { id: true },
    })
    const rows = await db.movement.findMany({
      where: { id: { in: last.map((row) => row._max.id!) }, jobId: { not: null } },
      select: { partId: true, job: { select: { number: true } } },
    })
    for (const row of rows) jobs.set(row.partId, row.job!.number)
  }
  return jobs
}
