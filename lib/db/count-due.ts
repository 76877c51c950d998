import { type AbcClass, abcClasses, abcMatrix, type Criticality, type MatrixCell } from '../stock/abc.ts'
import { countDays, countDueAt } from '../stock/count.ts'
import { abcLimits, type CountSettings, timesAYear } from '../stock/count-settings.ts'
import { database, instantText, Prisma } from './client.ts'
import { countSettings } from './count-settings.ts'

const DAY_MS = 86_400_000
const YEAR_MS = 365 * DAY_MS
/** Lines of one sheet from the list: what a person counts in one go. */
export const DUE_SHEET_LINES = 60

export interface CountDueLine {
  partId: number
  number: string
  description: string
  binId: number
  bin: string
  walkOrder: number
  abc: AbcClass
  criticality: Criticality
  /** null: never counted. */
  lastAt: Date | null
  dueAt: Date
}

export interface CountDueStore {
  id: number
  name: string
  /** How many lines are due, of how many. */
  due: number
  all: number
  /** The longest overdue, in walking order: the next sheet. */
  lines: CountDueLine[]
}

export interface CountDue {
  stores: CountDueStore[]
  matrix: Record<Criticality, Record<AbcClass, MatrixCell>>
  settings: CountSettings
}

interface Row {
  partId: number | bigint
  number: string
  description: string
  criticality: string
  binId: number | bigint
  bin: string
  walkOrder: number | bigint
  storeId: number | bigint
  store: string
  lastAt: string | Date | null
  firstAt: string | Date | null
  /** Lines of the store, those of them that are due, and the place of this one among them. */
  all: number | bigint
  due: number | bigint
  nth: number | bigint
}

/**
 * Value of use of every part over the twelve months before `now`: what was taken less what came back, at the cost at which it
 * moved (the moving average of that moment).
 */
export async function partUses(now: Date): Promise<Map<number, number>> {
  const since = instantText(new Date(now.getTime() - YEAR_MS))
  const rows = await database().$queryRaw<{ partId: number | bigint; useMinor: number | bigint | null }[]>`
    SELECT m."partId", -SUM(m."valueMinor") AS "useMinor" FROM "Movement" m NOT INDEXED LEFT JOIN "Movement" r ON r."id" = m."reversesId"
    WHERE m."at" >= ${since} AND (m."kind" IN ('issue', 'return') OR r."kind" IN ('issue', 'return')) GROUP BY m."partId"`
  return new Map(rows.map(({ partId, useMinor }) => [Number(partId), Number(useMinor ?? 0)]))
}

/**
 * Every part that lies or lay in a bin in use, the days between its counts, and when it was last counted there or first came
 * there. `often` has the parts that are counted more often than those of class C, as [part, days] pairs.
 */
const placed = (often: string, daysOfC: number) => Prisma.sql`
  WITH often AS MATERIALIZED (SELECT CAST(value->>0 AS INTEGER) AS "partId", value->>1 AS "days" FROM json_each(${often})),
  seen AS MATERIALIZED (
    SELECT b."partId", b."binId", bin."storeId", bin."walkOrder", COALESCE(o."days", ${daysOfC}) AS "days",
      (SELECT MAX(c."at") FROM "CountLine" c WHERE c."partId" = b."partId" AND c."binId" = b."binId") AS "lastAt",
      (SELECT MIN(m."at") FROM "Movement" m WHERE m."partId" = b."partId" AND m."binId" = b."binId") AS "firstAt"
    FROM "Balance" b JOIN "Bin" bin ON bin."id" = b."binId" LEFT JOIN often o ON o."partId" = b."partId"
    WHERE bin."closedAt" IS NULL AND bin."kind" <> 'on-the-way'),
  placed AS MATERIALIZED (
    SELECT *, julianday(COALESCE("lastAt", "firstAt")) + "days" AS "dueOn" FROM seen)`

/**
 * As many lines of each store as one sheet takes, the longest overdue first to be chosen, in the order of the walk; each with how
 * many its store has and how many of them are due. One pass: a store in which nothing is due has its lines here all the same.
 */
function linesRead(from: Prisma.Sql, now: string): PromiseLike<Row[]> {
  return database().$queryRaw<Row[]>`${from},
    nth AS (
      SELECT *, COUNT(*) OVER store AS "all", COALESCE(SUM("dueOn" <= julianday(${now})) OVER store, 0) AS "due",
        ROW_NUMBER() OVER (PARTITION BY "storeId" ORDER BY "dueOn" IS NULL, "dueOn", "walkOrder", "binId", "partId") AS "nth"
      FROM placed WINDOW store AS (PARTITION BY "storeId"))
    SELECT l."partId", p."number", p."description", p."criticality", l."binId", bin."code" AS "bin", l."walkOrder", l."storeId",
      s."name" AS "store", l."lastAt", l."firstAt", l."all", l."due", l."nth"
    FROM nth l JOIN "Part" p ON p."id" = l."partId" JOIN "Bin" bin ON bin."id" = l."binId" JOIN "Store" s ON s."id" = l."storeId"
    WHERE l."nth" <= ${DUE_SHEET_LINES} ORDER BY s."name", s."id", l."walkOrder", l."binId", p."numberKey"`
}

/** Parts that have a place, by criticality; of those that were used, which they are. */
async function heldParts(uses: ReadonlyMap<number, number>): Promise<{
  used: { partId: number; useMinor: number; criticality: Criticality }[]
  all: Map<Criticality, number>
}> {
  const held = Prisma.sql`SELECT DISTINCT b."partId" FROM "Balance" b JOIN "Bin" bin ON bin."id" = b."binId"
    WHERE bin."closedAt" IS NULL AND bin."kind" <> 'on-the-way'`
  const [all, used] = await Promise.all([
    database().$queryRaw<{ criticality: Criticality; parts: number | bigint }[]>`
      SELECT p."criticality", COUNT(*) AS "parts" FROM (${held}) h JOIN "Part" p ON p."id" = h."partId" GROUP BY p."criticality"`,
    database().$queryRaw<{ id: number | bigint; criticality: Criticality }[]>`
      SELECT p."id", p."criticality" FROM "Part" p
      WHERE p."id" IN (SELECT value FROM json_each(${JSON.stringify([...uses.keys()])})) AND p."id" IN (${held})`,
  ])
  return {
    all: new Map(all.map(({ criticality, parts }) => [criticality, Number(parts)])),
    used: used.map(({ id, criticality }) => ({ partId: Number(id), useMinor: uses.get(Number(id)) ?? 0, criticality })),
  }
}

const instant = (at: string | Date | null) => (at === null ? null : new Date(at))

/**
 * What is to be counted, by store; the longest overdue lines of each make its next sheet. Classes are given to the parts that
 * were used, the rest is C: of a store of 200,000 lines only those few and the lines of the sheets leave the database.
 */
export async function countDue(now: Date): Promise<CountDue> {
  const settings = await countSettings()
  const { used, all } = await heldParts(await partUses(now))
  const classes = abcClasses(used, abcLimits(settings))
  const often = [...classes].flatMap(([partId, abc]) =>
    abc === 'C' ? [] : [[partId, countDays(timesAYear(settings, abc))]],
  )
  const from = placed(JSON.stringify(often), countDays(timesAYear(settings, 'C')))
  const stores = new Map<number, CountDueStore>()
  for (const row of await linesRead(from, instantText(now))) {
    const id = Number(row.storeId)
    const store = stores.get(id) ?? { id, name: row.store, due: Number(row.due), all: Number(row.all), lines: [] }
    stores.set(id, store)
    if (Number(row.nth) <= store.due) store.lines.push(lineOf(row, now, settings, classes))
  }
  const matrix = abcMatrix(used, classes)
  for (const { criticality } of used) all.set(criticality, (all.get(criticality) ?? 0) - 1)
  for (const [criticality, parts] of all) matrix[criticality].C.parts += parts
  return { stores: [...stores.values()], matrix, settings }
}

function lineOf(row: Row, now: Date, settings: CountSettings, classes: ReadonlyMap<number, AbcClass>): CountDueLine {
  const { number, description, bin } = row
  const partId = Number(row.partId)
  const abc = classes.get(partId) ?? 'C'
  const lastAt = instant(row.lastAt)
  const dueAt = countDueAt(lastAt ?? instant(row.firstAt) ?? now, timesAYear(settings, abc))
  const place = { partId, number, description, binId: Number(row.binId), bin, walkOrder: Number(row.walkOrder) }
  return { ...place, abc, criticality: row.criticality as Criticality, lastAt, dueAt }
}
