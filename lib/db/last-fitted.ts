import { type Fitting, type LastFitted, lastFittedOf } from '../job/last-fitted.ts'
import { database, Prisma } from './client.ts'
import type { FigureView } from './figure.ts'
import { supersessionLinks } from './part.ts'

interface Row {
  entryId: number | bigint
  machineId: number | bigint
  fleetNumber: string
  writtenAt: string | Date
  hourTenths: number | bigint | null
  jobNumber: number | bigint | null
  fitted: string
  giverKey: string
  partId: number | bigint
  item: string
  positions: string
  key: string
  linePartId: number | bigint | null
  corrections: string
}

const TARGET_KEY = /^\d+:target:(\d+)$/
const SUGGESTED_KEY = /^\d+:part:.*:(\d+)(?:\+other)?$/

function fittingOf(row: Row): Fitting {
  const { partNumber, description } = JSON.parse(row.fitted) as { partNumber: string; description: string }
  const lineId = TARGET_KEY.exec(row.key)?.[1]
  const suggestedId = SUGGESTED_KEY.exec(row.key)?.[1]
  const number = (value: number | bigint | null) => (value === null ? null : Number(value))
  return {
    entryId: Number(row.entryId),
    machineId: Number(row.machineId),
    fleetNumber: row.fleetNumber,
    writtenAt: new Date(row.writtenAt),
    hourTenths: number(row.hourTenths),
    jobNumber: number(row.jobNumber),
    partNumber,
    description,
    partId: Number(row.partId),
    inKit: row.giverKey.startsWith('kit:'),
    item: row.item,
    positions: JSON.parse(row.positions) as string[],
    lineId: lineId === undefined ? null : Number(lineId),
    listedPartId: number(row.linePartId) ?? (suggestedId === undefined ? null : Number(suggestedId)),
    corrections: JSON.parse(row.corrections) as string[],
  }
}

/**
 * What was last fitted at each line of a figure, by line id: on one machine, or on any machine of the model in hand. The frozen
 * entries say what was fitted; the job behind an entry says at which line, so that all comes in one statement over indexes. A job
 * that fitted something at a figure has a target there (lib/db/job-close.ts).
 */
export async function figureLastFitted(
  figure: Pick<FigureView, 'id' | 'edition' | 'lines' | 'model'>,
  machineId: number | null,
): Promise<Map<number, LastFitted[]>> {
  const prefix = `${figure.id}:`
  const prefixEnd = `${figure.id};`
  const machines = machineId === null ? Prisma.sql`m."modelId" = ${figure.model.id}` : Prisma.sql`m."id" = ${machineId}`
  const rows = await database().$queryRaw<(Row & { fitted: string | null })[]>`
    WITH jobs AS (
      SELECT DISTINCT t."jobId" FROM "PartsListLine" l JOIN "JobTarget" t ON t."lineId" = l."id"
      WHERE l."figureId" = ${figure.id}
    ), given AS (
      SELECT e."id" AS "entryId", e."machineId", m."fleetNumber", e."writtenAt", e."hourTenths",
        p."item", p."positions", p."key", g."key" AS "giverKey", g."item" AS "giverItem", g."partId",
        ROW_NUMBER() OVER (PARTITION BY p."key", p."positions" ORDER BY e."writtenAt" DESC, e."id" DESC) AS "rank"
      FROM jobs
      JOIN "ServiceBookEntry" e ON e."jobId" = jobs."jobId"
      JOIN "Machine" m ON m."id" = e."machineId"
      JOIN "JobNeed" p ON p."jobId" = e."jobId" AND p."key" >= ${prefix} AND p."key" < ${prefixEnd}
      JOIN "JobNeed" g ON g."jobId" = p."jobId" AND g."partId" IS NOT NULL AND g."taken" > 0
        AND (g."id" = p."id"
          OR (p."taken" = 0 AND g."key" LIKE 'by-hand:alternative:' || p."id" || ':%')
          OR (p."state" = 'in-kit' AND g."key" LIKE 'kit:%'
            AND '+' || substr(g."key", instr(substr(g."key", 5), ':') + 5) || '+' LIKE '%+' || p."id" || '+%'))
      WHERE p."kind" = 'part' AND p."item" IS NOT NULL AND ${machines}
    )
    SELECT given.*, g."number", l."partId" AS "linePartId", json_extract(e."content", '$.job.number') AS "jobNumber",
      (SELECT f."value" FROM json_each(e."content", '$.fitted') f
        WHERE f."value" ->> 'partNumber' = g."number" AND f."value" ->> 'item' IS given."giverItem" LIMIT 1) AS "fitted",
      (SELECT json_group_array(c."content" ->> 'correction') FROM "ServiceBookEntry" c
        WHERE c."machineId" = given."machineId" AND c."id" > given."entryId"
          AND c."jobId" IS NULL AND c."correctsId" = given."entryId") AS "corrections"
    FROM given
    JOIN "ServiceBookEntry" e ON e."id" = given."entryId"
    JOIN "Part" g ON g."id" = given."partId"
    LEFT JOIN "PartsListLine" l ON given."key" LIKE '%:target:%'
      AND l."id" = CAST(substr(given."key", instr(given."key", ':target:') + 8) AS INTEGER)
    WHERE given."rank" = 1`
  // The entry decides: what it does not name as fitted was not fitted.
  const fittings = rows.flatMap((row) => (row.fitted === null ? [] : [fittingOf(row)]))
  if (fittings.length === 0) return new Map()
  const links = await supersessionLinks(database(), [
    ...new Set([...fittings.map((one) => one.partId), ...figure.lines.map((line) => line.partId)]),
  ])
  const replacing = [...new Set(links.map((link) => link.newPartId))]
  const parts = await database().part.findMany({
    where: { id: { in: replacing } },
    select: { id: true, number: true },
  })
  const numberOf = new Map(parts.map(({ id, number }) => [id, number]))
  return lastFittedOf(fittings, figure.lines, figure.edition, { links, numberOf })
}
