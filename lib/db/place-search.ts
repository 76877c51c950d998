import { matchAny, matchTerm, type Question } from '../search/question.ts'
import { database, Prisma } from './client.ts'
import { SERIAL_NUMBER_KEY } from './number-key.ts'
import type { SearchFilter } from './search-filter.ts'

export interface FigureHit {
  id: number
  modelId: number
  number: string
  title: string
  model: string
  /** What past jobs with the same symptoms opened on it most; null when it was found by its own words. */
  item: string | null
}

export interface MachineHit {
  id: number
  fleetNumber: string
  name: string
  serialNumber: string | null
  model: string
  /** Marked unsafe, not to be used. */
  unsafe: boolean
}

/** Models that one word may stand for; a word that stands for more tells no model from another. */
const MODELS_MAX = 200
const after = (start: string) => `${start}\uffff`

/** Words of a question that name a model, and what is left of it: "brake T6" is the brake of the T6. */
export interface ModelsNamed {
  models: number[]
  /** What the rest asks an index for; null when every word is of the model. */
  rest: string | null
}

/** Null when no word names a model. */
export async function modelsNamed(question: Question): Promise<ModelsNamed | null> {
  const matches = question.terms.flatMap((_, at) => matchTerm(question, at) ?? [])
  if (matches.length === 0) return null
  const rows = await database().$queryRaw<{ term: number | bigint; rowid: number | bigint }[]>`${Prisma.join(
    matches.map(
      (match, at) =>
        Prisma.sql`SELECT * FROM (SELECT ${at} AS term, rowid FROM model_words WHERE model_words MATCH ${match} LIMIT ${MODELS_MAX})`,
    ),
    ' UNION ALL ',
  )}`
  let models: number[] | null = null
  const rest: string[] = []
  for (const [at, match] of matches.entries()) {
    const named = rows.filter(({ term }) => Number(term) === at).map(({ rowid }) => Number(rowid))
    const both: number[] = models === null ? named : models.filter((id) => named.includes(id))
    if (both.length > 0) models = both
    else rest.push(match)
  }
  return models === null ? null : { models, rest: rest.length === 0 ? null : rest.join(' AND ') }
}

/** One way of finding, in the order of the answers. */
type Way = Prisma.Sql

function ofModel(filter: SearchFilter, column: Prisma.Sql): Prisma.Sql {
  return filter.modelId === null ? Prisma.sql`1` : Prisma.sql`${column} = ${filter.modelId}`
}

const among = (ids: readonly number[]) => Prisma.sql`(SELECT value FROM json_each(${JSON.stringify(ids)}))`
const NUMBER_LETTERS_MIN = 2

/** All ways in one statement: every statement costs more than the few rows it brings. */
function inTurn(ways: readonly Way[]): Prisma.Sql {
  return Prisma.join(
    ways.map((way, at) => Prisma.sql`SELECT * FROM (SELECT ${at} AS way, ${way})`),
    ' UNION ALL ',
  )
}

/** Figures by number, then by the words of their title, then by the words of title and model together. */
export async function figuresFind(
  question: Question,
  named: ModelsNamed | null,
  filter: SearchFilter,
  take: number,
): Promise<FigureHit[]> {
  const { key } = question
  if (key === '') return []
  const model = ofModel(filter, Prisma.sql`o."modelId"`)
  const row = Prisma.sql`f."id", o."modelId", o."number", f."title", m."maker" || ' ' || m."name" AS model
    FROM "FigureOfModel" o CROSS JOIN "Figure" f ON f."id" = o."figureId" JOIN "MachineModel" m ON m."id" = o."modelId" WHERE ${model}`
  const ways = [Prisma.sql`${row} AND o."numberKey" = ${key} LIMIT ${take}`]
  if (/\d/.test(key) && key.length >= NUMBER_LETTERS_MIN)
    ways.push(
      Prisma.sql`${row} AND o."numberKey" > ${key} AND o."numberKey" < ${after(key)} ORDER BY o."numberKey" LIMIT ${take}`,
    )
  const match = matchAny(question)
  if (match !== null)
    ways.push(
      Prisma.sql`f."id", o."modelId", o."number", f."title", m."maker" || ' ' || m."name" AS model
        FROM figure_words w CROSS JOIN "Figure" f ON f."id" = w.rowid CROSS JOIN "FigureOfModel" o ON o."figureId" = f."id"
        JOIN "MachineModel" m ON m."id" = o."modelId" WHERE w.figure_words MATCH ${match} AND ${model} LIMIT ${take}`,
    )
  if (named) {
    const titled = named.rest
      ? Prisma.sql`o."figureId" IN (SELECT rowid FROM figure_words WHERE figure_words MATCH ${named.rest})`
      : Prisma.sql`1`
    ways.push(Prisma.sql`${row} AND o."modelId" IN ${among(named.models)} AND ${titled} LIMIT ${take}`)
  }
  const rows = await database().$queryRaw<(Omit<FigureHit, 'item'> & { way: number })[]>`${inTurn(ways)}`
  const found = new Map<string, FigureHit>()
  for (const { way: _, ...hit } of rows) {
    const key = `${hit.modelId}/${hit.id}`
    if (!found.has(key)) found.set(key, { ...hit, id: Number(hit.id), modelId: Number(hit.modelId), item: null })
  }
  return [...found.values()].slice(0, take)
}

/** Figures on which the jobs opened something, those opened most often first, with the item that was opened most. */
export async function figuresOpened(
  jobs: readonly { id: number }[],
  filter: SearchFilter,
  take: number,
): Promise<FigureHit[]> {
  if (jobs.length === 0) return []
  const rows = await database().$queryRaw<(FigureHit & { opened: number | bigint })[]>`
    SELECT f."id", o."modelId", o."number", f."title", m."maker" || ' ' || m."name" AS model, t."item", COUNT(*) AS opened
    FROM json_each(${JSON.stringify(jobs.map(({ id }) => id))}) asked CROSS JOIN "JobTarget" t ON t."jobId" = asked.value
      JOIN "Job" j ON j."id" = t."jobId" JOIN "Machine" a ON a."id" = j."machineId" JOIN "Figure" f ON f."id" = t."figureId"
      JOIN "FigureOfModel" o ON o."figureId" = t."figureId" AND o."modelId" = a."modelId"
      JOIN "MachineModel" m ON m."id" = o."modelId"
    WHERE ${ofModel(filter, Prisma.sql`o."modelId"`)}
    GROUP BY t."figureId", o."modelId", t."item" ORDER BY opened DESC, MIN(asked.key), t."item"`
  const found = new Map<string, FigureHit & { opened: number }>()
  for (const row of rows) {
    const key = `${row.modelId}/${row.id}`
    const before = found.get(key)
    if (before) before.opened += Number(row.opened)
    else found.set(key, { ...row, id: Number(row.id), modelId: Number(row.modelId), opened: Number(row.opened) })
  }
  return [...found.values()]
    .sort((a, b) => b.opened - a.opened)
    .slice(0, take)
    .map(({ opened: _, ...hit }) => hit)
}

/** Machines by fleet number and serial number, then by the words of their name and model. */
export async function machinesFind(
  question: Question,
  named: ModelsNamed | null,
  filter: SearchFilter,
  take: number,
): Promise<MachineHit[]> {
  const { key } = question
  if (key === '') return []
  const columns = Prisma.sql`a."id", a."fleetNumber", a."name", a."serialNumber", m."maker" || ' ' || m."name" AS model, a."state" = 'unsafe' AS unsafe`
  const model = ofModel(filter, Prisma.sql`a."modelId"`)
  const row = Prisma.sql`${columns} FROM "Machine" a JOIN "MachineModel" m ON m."id" = a."modelId" WHERE ${model}`
  const ways = [
    Prisma.sql`${row} AND a."fleetKey" = ${key}`,
    Prisma.sql`${row} AND ${SERIAL_NUMBER_KEY} = ${key} LIMIT ${take}`,
    Prisma.sql`${row} AND a."fleetKey" > ${key} AND a."fleetKey" < ${after(key)} ORDER BY a."fleetKey" LIMIT ${take}`,
  ]
  if (key.length > NUMBER_LETTERS_MIN)
    ways.push(
      Prisma.sql`${row} AND ${SERIAL_NUMBER_KEY} > ${key} AND ${SERIAL_NUMBER_KEY} < ${after(key)} LIMIT ${take}`,
    )
  const match = matchAny(question)
  if (match !== null)
    ways.push(
      Prisma.sql`${columns} FROM machine_words w CROSS JOIN "Machine" a ON a."id" = w.rowid JOIN "MachineModel" m ON m."id" = a."modelId"
        WHERE w.machine_words MATCH ${match} AND ${model} LIMIT ${take}`,
    )
  if (named) {
    const called = named.rest
      ? Prisma.sql`a."id" IN (SELECT rowid FROM machine_words WHERE machine_words MATCH ${named.rest})`
      : Prisma.sql`1`
    ways.push(Prisma.sql`${row} AND a."modelId" IN ${among(named.models)} AND ${called} LIMIT ${take}`)
  }
  const rows = await database().$queryRaw<(MachineHit & { way: number })[]>`${inTurn(ways)}`
  const found = new Map<number, MachineHit>()
  for (const { way: _, ...hit } of rows)
    if (!found.has(Number(hit.id)))
      found.set(Number(hit.id), { ...hit, id: Number(hit.id), unsafe: Number(hit.unsafe) === 1 })
  return [...found.values()].slice(0, take)
}
