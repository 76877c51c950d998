import { type Direction, directionWords } from '../search/position.ts'
import { matchAnyOf, matchSymptoms, type Question } from '../search/question.ts'
import { database, Prisma } from './client.ts'
import type { SearchFilter } from './search-filter.ts'

/** A callout that was opened on a past job. */
export interface RenewedCallout {
  figureId: number
  modelId: number
  figure: string
  item: string
  description: string
}

export interface JobHit {
  id: number
  number: number
  state: 'open' | 'closed'
  complaint: string
  cause: string
  correction: string
  openedAt: Date
  machineId: number
  fleetNumber: string
  machine: string
  modelId: number
  model: string
  callouts: RenewedCallout[]
  /** Parts taken for it and not put back, minor units of their stock unit. */
  renewed: { partId: number; number: string; description: string; quantity: number; unit: string }[]
}

/** Jobs that have some of the symptoms, newest first, among which the ones with most of them are looked for. */
const SOME_MAX = 200

export type JobHead = Omit<JobHit, 'callouts' | 'renewed'>

export interface SymptomsFound {
  jobs: JobHead[]
  /** They tell of everything that was asked for, not of most of it. */
  isWhole: boolean
}

/**
 * Past jobs whose complaint, cause or correction tell of the symptoms: all of them first, those that name the position before
 * the others, newest before older; then those with most of them.
 */
export async function symptomsFind(
  question: Question,
  directions: readonly Direction[],
  filter: SearchFilter,
  take: number,
): Promise<SymptomsFound> {
  const { ids, isWhole } = await jobIds(question, directions, filter, take)
  return { jobs: await jobHeads(ids), isWhole }
}

async function jobHeads(ids: readonly number[]): Promise<JobHead[]> {
  if (ids.length === 0) return []
  const rows = await database().$queryRaw<JobHead[]>`
    SELECT j."id", j."number", j."state", j."complaint", j."cause", j."correction", j."openedAt", a."id" AS "machineId",
      a."fleetNumber", a."name" AS machine, m."id" AS "modelId", m."maker" || ' ' || m."name" AS model
    FROM json_each(${JSON.stringify(ids)}) asked CROSS JOIN "Job" j ON j."id" = asked.value
      JOIN "Machine" a ON a."id" = j."machineId" JOIN "MachineModel" m ON m."id" = a."modelId" ORDER BY asked.key`
  return rows.map((job) => ({
    ...job,
    id: Number(job.id),
    number: Number(job.number),
    openedAt: new Date(job.openedAt),
    machineId: Number(job.machineId),
    modelId: Number(job.modelId),
  }))
}

/** The jobs with what was opened on them and what was renewed. */
export async function jobsRenewed(jobs: readonly JobHead[]): Promise<JobHit[]> {
  if (jobs.length === 0) return []
  const asked = JSON.stringify(jobs.map(({ id }) => id))
  const [callouts, renewed] = await Promise.all([
    database().$queryRaw<(RenewedCallout & { jobId: number | bigint })[]>`
      SELECT t."jobId", t."figureId", a."modelId", COALESCE(o."number" || ' ', '') || f."title" AS figure, t."item", l."description"
      FROM json_each(${asked}) asked CROSS JOIN "JobTarget" t ON t."jobId" = asked.value
        JOIN "PartsListLine" l ON l."id" = t."lineId" JOIN "Figure" f ON f."id" = t."figureId"
        JOIN "Job" j ON j."id" = t."jobId" JOIN "Machine" a ON a."id" = j."machineId"
        LEFT JOIN "FigureOfModel" o ON o."figureId" = t."figureId" AND o."modelId" = a."modelId" ORDER BY t."id"`,
    database().$queryRaw<(JobHit['renewed'][number] & { jobId: number | bigint })[]>`
      SELECT n."jobId", p."id" AS "partId", p."number", p."description", p."unit", SUM(n."taken") AS quantity
      FROM json_each(${asked}) asked CROSS JOIN "JobNeed" n ON n."jobId" = asked.value JOIN "Part" p ON p."id" = n."partId"
      WHERE n."taken" > 0 GROUP BY n."jobId", p."id" ORDER BY MIN(n."sort"), p."id"`,
  ])
  return jobs.map((job) => {
    const ofThis = (row: { jobId: number | bigint }) => Number(row.jobId) === job.id
    return {
      ...job,
      callouts: callouts
        .filter(ofThis)
        .map(({ jobId: _, ...one }) => ({ ...one, figureId: Number(one.figureId), modelId: Number(one.modelId) })),
      renewed: renewed
        .filter(ofThis)
        .map(({ jobId: _, ...one }) => ({ ...one, partId: Number(one.partId), quantity: Number(one.quantity) })),
    }
  })
}

async function jobIds(
  question: Question,
  directions: readonly Direction[],
  filter: SearchFilter,
  take: number,
): Promise<{ ids: number[]; isWhole: boolean }> {
  const matches = matchSymptoms(question)
  const narrow =
    filter.machineId !== null
      ? Prisma.sql`j."machineId" = ${filter.machineId}`
      : filter.modelId !== null
        ? Prisma.sql`j."machineId" IN (SELECT "id" FROM "Machine" WHERE "modelId" = ${filter.modelId})`
        : Prisma.sql`1`
  const ask = async (match: string, most: number) => {
    const rows = await database().$queryRaw<{ id: number | bigint }[]>`
      SELECT j."id" FROM job_words f CROSS JOIN "Job" j ON j."id" = f.rowid
      WHERE f.job_words MATCH ${match} AND ${narrow} ORDER BY f.rowid DESC LIMIT ${most}`
    return rows.map(({ id }) => Number(id))
  }
  // A job is also called by its number.
  const numbered = /^(job)?\d{1,9}$/.test(question.key)
    ? await database().$queryRaw<{ id: number | bigint }[]>`
        SELECT j."id" FROM "Job" j WHERE j."number" = ${Number(question.key.replace('job', ''))} AND ${narrow}`
    : []
  const ids = new Set(numbered.map(({ id }) => Number(id)))
  const there = matchAnyOf(directionWords(directions))
  if (matches.length > 0 && there !== null)
    for (const id of await ask([...matches, there].join(' AND '), take)) ids.add(id)
  if (matches.length > 0 && ids.size < take) for (const id of await ask(matches.join(' AND '), take)) ids.add(id)
  const isWhole = ids.size > 0
  if (ids.size === 0 && matches.length > 1) {
    const told = new Map<number, number>()
    for (const match of matches) for (const id of await ask(match, SOME_MAX)) told.set(id, (told.get(id) ?? 0) + 1)
    const most = [...told].sort(([a, ofA], [b, ofB]) => ofB - ofA || b - a)
    for (const [id] of most.slice(0, take)) ids.add(id)
  }
  return { ids: [...ids].slice(0, take), isWhole }
}
