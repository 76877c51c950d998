import { type AbcClass, abcClasses, abcMatrix, type Criticality, type MatrixCell } from '../stock/abc.ts'
import { countDueAt } from '../stock/count.ts'
import { abcLimits, type CountSettings, timesAYear } from '../stock/count-settings.ts'
import { database, instantText } from './client.ts'
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
}

/**
 * Value of use of every part over the twelve months before `now`: what was taken less what came back, at the cost at which it
 * moved (the moving average of that moment).
 */
export async function partUses(now: Date): Promise<Map<number, number>> {
  const since = instantText(new Date(now.getTime() - YEAR_MS))
  const rows = await database().$queryRaw<{ partId: number | bigint; useMinor: number | bigint | null }[]>`
    SELECT m."partId", -SUM(m."valueMinor") AS "useMinor" FROM "Movement" m LEFT JOIN "Movement" r ON r."id" = m."reversesId"
    WHERE m."at" >= ${since} AND (m."kind" IN ('issue', 'return') OR r."kind" IN ('issue', 'return')) GROUP BY m."partId"`
  return new Map(rows.map(({ partId, useMinor }) => [Number(partId), Number(useMinor ?? 0)]))
}

/** Every part that lies or lay in a bin in use, and when it was last counted there or first came there. */
function places(): PromiseLike<Row[]> {
  return database().$queryRaw<Row[]>`
    SELECT b."partId", p."number", p."description", p."criticality", b."binId", bin."code" AS "bin", bin."walkOrder",
      s."id" AS "storeId", s."name" AS "store",
      (SELECT MAX(c."at") FROM "CountLine" c WHERE c."partId" = b."partId" AND c."binId" = b."binId") AS "lastAt",
      (SELECT m."at" FROM "Movement" m WHERE m."partId" = b."partId" AND m."binId" = b."binId" ORDER BY m."id" LIMIT 1) AS "firstAt"
    FROM "Balance" b JOIN "Part" p ON p."id" = b."partId" JOIN "Bin" bin ON bin."id" = b."binId"
    JOIN "Store" s ON s."id" = bin."storeId"
    WHERE bin."closedAt" IS NULL AND bin."kind" <> 'on-the-way' ORDER BY s."name", bin."walkOrder", bin."id", p."numberKey"`
}

const instant = (at: string | Date | null) => (at === null ? null : new Date(at))

/** What is to be counted, by store; the longest overdue lines of each make its next sheet. */
export async function countDue(now: Date): Promise<CountDue> {
  const settings = await countSettings()
  const uses = await partUses(now)
  const rows = await places()
  const parts = new Map<number, { partId: number; useMinor: number; criticality: Criticality }>()
  for (const row of rows) {
    const partId = Number(row.partId)
    parts.set(partId, { partId, useMinor: uses.get(partId) ?? 0, criticality: row.criticality as Criticality })
  }
  const classes = abcClasses([...parts.values()], abcLimits(settings))
  const stores = new Map<number, CountDueStore>()
  for (const row of rows) {
    const id = Number(row.storeId)
    const store = stores.get(id) ?? { id, name: row.store, due: 0, all: 0, lines: [] }
    stores.set(id, store)
    store.all += 1
    const partId = Number(row.partId)
    const abc = classes.get(partId) ?? 'C'
    const lastAt = instant(row.lastAt)
    const dueAt = countDueAt(lastAt ?? instant(row.firstAt) ?? now, timesAYear(settings, abc))
    if (dueAt > now) continue
    store.due += 1
    const { number, description, bin } = row
    const criticality = row.criticality as Criticality
    const place = { partId, number, description, binId: Number(row.binId), bin, walkOrder: Number(row.walkOrder) }
    store.lines.push({ ...place, abc, criticality, lastAt, dueAt })
  }
  for (const store of stores.values()) store.lines = longestOverdue(store.lines)
  return { stores: [...stores.values()], matrix: abcMatrix([...parts.values()], classes), settings }
}

/** As many as one sheet takes, the oldest first; then in the order they came in, which is that of the walk. */
function longestOverdue(lines: readonly CountDueLine[]): CountDueLine[] {
  const place = new Map(lines.map((line, at) => [line, at]))
  return [...lines]
    .sort((a, b) => a.dueAt.getTime() - b.dueAt.getTime() || place.get(a)! - place.get(b)!)
    .slice(0, DUE_SHEET_LINES)
    .sort((a, b) => place.get(a)! - place.get(b)!)
}
