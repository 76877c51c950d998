import { database, Prisma, type Tx } from './client.ts'

/** An exchange part that was taken for a job or a machine, and whose old unit nobody kept yet. */
export interface UnitAsked {
  partId: number
  number: string
  description: string
  jobId: number | null
  job: number | null
  machineId: number
  machine: string
  /** Pieces whose old unit is still to be kept. */
  pieces: number
}

interface Row {
  partId: number | bigint
  number: string
  description: string
  jobId: number | bigint | null
  job: number | bigint | null
  machineId: number | bigint
  machine: string
  taken: number | bigint
  kept: number | bigint
}

/**
 * Old units that are asked for: what was taken of exchange parts since the first deposit on them, less what was put back and less
 * the old units that were kept or said not to be there. Job by job; without a job, machine by machine.
 */
export async function unitsAsked(
  of: { partId?: number; jobId?: number } = {},
  reader: Tx | ReturnType<typeof database> = database(),
): Promise<UnitAsked[]> {
  const only = [
    of.partId === undefined ? Prisma.empty : Prisma.sql`AND m."partId" = ${of.partId}`,
    of.jobId === undefined ? Prisma.empty : Prisma.sql`AND m."jobId" = ${of.jobId}`,
  ]
  const rows = await (reader as Tx).$queryRaw<Row[]>(Prisma.sql`
    SELECT t."partId", p."number", p."description", t."jobId", j."number" AS "job", x."id" AS "machineId",
      x."fleetNumber" || ' ' || x."name" AS "machine", t."taken",
      (SELECT COUNT(*) FROM "OldUnit" u WHERE u."partId" = t."partId" AND u."jobId" IS t."jobId"
        AND (t."jobId" IS NOT NULL OR u."machineId" = t."machineId")) AS "kept"
    FROM (
      SELECT m."partId", m."jobId", CASE WHEN m."jobId" IS NULL THEN m."machineId" END AS "machineId", 0 - SUM(m."quantity") AS "taken"
      FROM "Movement" m JOIN (SELECT "partId", MIN("openedAt") AS "since" FROM "Deposit" GROUP BY "partId") d
        ON d."partId" = m."partId" AND m."at" >= d."since"
      WHERE m."kind" IN ('issue', 'return', 'reversal') AND (m."jobId" IS NOT NULL OR m."machineId" IS NOT NULL)
        ${only[0]} ${only[1]}
      GROUP BY 1, 2, 3
    ) t JOIN "Part" p ON p."id" = t."partId" LEFT JOIN "Job" j ON j."id" = t."jobId"
      JOIN "Machine" x ON x."id" = COALESCE(j."machineId", t."machineId")
    WHERE t."taken" > 0 ORDER BY t."jobId", x."id", t."partId"`)
  return rows
    .map((row) => ({
      partId: Number(row.partId),
      number: row.number,
      description: row.description,
      jobId: row.jobId === null ? null : Number(row.jobId),
      job: row.job === null ? null : Number(row.job),
      machineId: Number(row.machineId),
      machine: row.machine,
      pieces: Number(row.taken) - Number(row.kept),
    }))
    .filter((row) => row.pieces > 0)
}
