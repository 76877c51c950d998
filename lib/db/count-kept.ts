import type { StockUnit } from '../measure/quantity.ts'
import { COUNT_OPEN, type CountState } from '../stock/count.ts'
import { countAccuracy, type MonthAccuracy } from '../stock/count-accuracy.ts'
import { type CountReason, countReasonSays } from '../stock/count-reasons.ts'
import { database, instantText } from './client.ts'
import { personNames } from './count-approve.ts'

export interface CountKept {
  id: number
  partId: number
  number: string
  description: string
  unit: StockUnit
  binId: number
  bin: string
  store: string
  counted: number
  /** null while the count is still asked for again: who counts next must not know. */
  books: number | null
  round: number
  state: CountState
  reason: string
  person: string
  at: Date
  decidedBy: string | null
  decidedWords: string
}

const PAGE_ROWS = 50
const OPEN = { followedById: null, state: { in: [...COUNT_OPEN] } }

function rowsRead(where: object, order: 'asc' | 'desc', take: number) {
  return database().countLine.findMany({
    where,
    include: {
      part: { select: { number: true, description: true, unit: true } },
      bin: { select: { code: true, store: { select: { name: true } } } },
    },
    orderBy: { id: order },
    take,
  })
}

async function shown(rows: Awaited<ReturnType<typeof rowsRead>>): Promise<CountKept[]> {
  const names = await personNames(rows.flatMap(({ personId, decidedById }) => [personId, decidedById ?? personId]))
  const open = await database().countLine.findMany({ where: OPEN, select: { id: true, firstId: true } })
  const chains = new Set(open.map(({ id, firstId }) => firstId ?? id))
  return rows.map(({ part, bin, reasonCode, words, personId, decidedById, decidedWords, ...row }) => ({
    id: row.id,
    partId: row.partId,
    number: part.number,
    description: part.description,
    unit: part.unit as StockUnit,
    binId: row.binId,
    bin: bin.code,
    store: bin.store.name,
    counted: row.counted,
    books: chains.has(row.firstId ?? row.id) ? null : row.books,
    round: row.round,
    state: row.state as CountState,
    reason: reasonCode === null ? '' : countReasonSays(reasonCode as CountReason, words ?? ''),
    person: names.get(personId) ?? 'somebody',
    at: row.at,
    decidedBy: decidedById === null ? null : (names.get(decidedById) ?? 'somebody'),
    decidedWords: decidedWords ?? '',
  }))
}

/** What is asked for again, longest open first. */
export async function countsOpen(): Promise<CountKept[]> {
  return shown(await rowsRead(OPEN, 'asc', 200))
}

export function countsOpenCount(): Promise<number> {
  return database().countLine.count({ where: OPEN })
}

/** The counts, newest first, from the one before `beforeId` on. */
export async function countsKept(beforeId: number | null): Promise<{ rows: CountKept[]; more: boolean }> {
  const rows = await rowsRead(beforeId === null ? {} : { id: { lt: beforeId } }, 'desc', PAGE_ROWS + 1)
  return { rows: await shown(rows.slice(0, PAGE_ROWS)), more: rows.length > PAGE_ROWS }
}

const MONTHS = 12

/** How often the books were right at the first count, over the last twelve months. */
export async function countsAccuracy(now: Date): Promise<MonthAccuracy[]> {
  const from = new Date(Date.UTC(now.getUTCFullYear(), now.getUTCMonth() - MONTHS + 1, 1))
  const rows = await database().$queryRaw<{ month: string; binId: number | bigint; state: CountState }[]>`
    SELECT substr("at", 1, 7) AS "month", "binId", "state" FROM "CountLine" WHERE "round" = 1 AND "at" >= ${instantText(from)}`
  return countAccuracy(rows.map(({ month, binId, state }) => ({ month, binId: Number(binId), state })))
}
