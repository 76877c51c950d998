import type { StockUnit } from '../measure/quantity.ts'
import { LEVEL_PAGE, type LevelQuestion } from '../replenish/decide.ts'
import { database, Prisma } from './client.ts'

type Whole = number | bigint

export interface LevelRow {
  partId: number
  number: string
  description: string
  unit: StockUnit
  before: { reorderPoint: number; orderUpTo: number } | null
  after: { reorderPoint: number; orderUpTo: number }
  moneyMinor: number
  reason: string
  /** The level was changed since it was reckoned. */
  isStale: boolean
}

export interface LevelList {
  rows: LevelRow[]
  /** The reckoning that they are of. */
  runId: number
  count: number
  /** What all of them together would bind and free. */
  bindsMinor: number
  freesMinor: number
}

/** Which of the proposals (as `c`, their part as `p`) a question asks for. */
export function proposalsAsked({ way, partClass }: LevelQuestion): Prisma.Sql {
  const ways = {
    all: Prisma.empty,
    new: Prisma.sql`AND c."oldReorderPoint" IS NULL`,
    rise: Prisma.sql`AND c."reorderPoint" + c."orderUpTo" > c."oldReorderPoint" + c."oldOrderUpTo"`,
    fall: Prisma.sql`AND c."reorderPoint" + c."orderUpTo" <= c."oldReorderPoint" + c."oldOrderUpTo"`,
  }
  const ofClass =
    partClass === null
      ? Prisma.empty
      : Prisma.sql`AND (SELECT p."partClass" FROM "Part" p WHERE p."id" = c."partId") = ${partClass}`
  return Prisma.sql`c."state" = 'change' ${ways[way]} ${ofClass}`
}

/** True where a level is no longer what it was when it was reckoned; `c` the proposal, `l` the level of now. */
export const STALE = Prisma.sql`(c."oldReorderPoint" IS NOT l."reorderPoint" OR c."oldOrderUpTo" IS NOT l."orderUpTo")`

interface Read {
  partId: Whole
  number: string
  description: string
  unit: string
  oldReorderPoint: Whole | null
  oldOrderUpTo: Whole | null
  reorderPoint: Whole
  orderUpTo: Whole
  moneyMinor: Whole
  reason: string
  stale: Whole
}

/** One page of the changes that wait for a yes, those first that bind or free the most money. Pages count from 1. */
export async function levelList(question: LevelQuestion, page: number): Promise<LevelList> {
  const asked = proposalsAsked(question)
  const [rows, sums, newest] = await Promise.all([
    database().$queryRaw<Read[]>`
      SELECT c."partId", p."number", p."description", p."unit", c."oldReorderPoint", c."oldOrderUpTo", c."reorderPoint",
        c."orderUpTo", c."moneyMinor", c."reason", ${STALE} AS "stale"
      FROM "LevelProposal" c JOIN "Part" p ON p."id" = c."partId" LEFT JOIN "StockLevel" l ON l."partId" = c."partId"
      WHERE ${asked} ORDER BY c."weightMinor" DESC, c."partId" DESC LIMIT ${LEVEL_PAGE} OFFSET ${(page - 1) * LEVEL_PAGE}`,
    database().$queryRaw<{ n: Whole; binds: Whole | null; frees: Whole | null }[]>`
      SELECT COUNT(*) AS "n", SUM(MAX(0, c."moneyMinor")) AS "binds", SUM(MAX(0, -c."moneyMinor")) AS "frees"
      FROM "LevelProposal" c WHERE ${asked}`,
    database().levelProposal.aggregate({ _max: { runId: true } }),
  ])
  return {
    rows: rows.map((row) => ({
      partId: Number(row.partId),
      number: row.number,
      description: row.description,
      unit: row.unit as StockUnit,
      before:
        row.oldReorderPoint === null
          ? null
          : { reorderPoint: Number(row.oldReorderPoint), orderUpTo: Number(row.oldOrderUpTo) },
      after: { reorderPoint: Number(row.reorderPoint), orderUpTo: Number(row.orderUpTo) },
      moneyMinor: Number(row.moneyMinor),
      reason: row.reason,
      isStale: Number(row.stale) === 1,
    })),
    runId: newest._max.runId ?? 0,
    count: Number(sums[0]?.n ?? 0),
    bindsMinor: Number(sums[0]?.binds ?? 0),
    freesMinor: Number(sums[0]?.frees ?? 0),
  }
}

/** Classes that have changes waiting, as the filter offers them. */
export async function levelClasses(): Promise<string[]> {
  const rows = await database().$queryRaw<{ partClass: string }[]>`
    SELECT DISTINCT p."partClass" FROM "LevelProposal" c JOIN "Part" p ON p."id" = c."partId" WHERE c."state" = 'change'
    ORDER BY p."partClass"`
  return rows.map((row) => row.partClass)
}

export interface PartLevelStanding {
  /** What the last reckoning says of the part; null where it said nothing. */
  proposal: {
    state: string
    before: { reorderPoint: number; orderUpTo: number } | null
    after: { reorderPoint: number; orderUpTo: number }
    free: { reorderPoint: number; orderUpTo: number }
    moneyMinor: number
    reason: string
    isStale: boolean
    reckonedAt: string
    refused: { by: string; at: string; words: string } | null
  } | null
  hold: { reason: string; untilOn: string; by: string } | null
}

async function nameOf(personId: string | null): Promise<string> {
  const person = personId === null ? null : await database().person.findUnique({ where: { id: personId } })
  return person?.name ?? 'the workshop'
}

/** Proposal and hold of one part. A hold whose last day is over no longer counts. */
export async function partLevelStanding(partId: number, today: string): Promise<PartLevelStanding> {
  const db = database()
  const [row, level, hold] = await Promise.all([
    db.levelProposal.findUnique({ where: { partId } }),
    db.stockLevel.findUnique({ where: { partId } }),
    db.levelHold.findUnique({ where: { partId } }),
  ])
  const run = row ? await db.levelRun.findUnique({ where: { id: row.runId } }) : null
  const isHeld = hold !== null && hold.untilOn >= today
  return {
    hold: isHeld ? { reason: hold.reason, untilOn: hold.untilOn, by: await nameOf(hold.personId) } : null,
    proposal: row && {
      state: row.state,
      before:
        row.oldReorderPoint === null || row.oldOrderUpTo === null
          ? null
          : { reorderPoint: row.oldReorderPoint, orderUpTo: row.oldOrderUpTo },
      after: { reorderPoint: row.reorderPoint, orderUpTo: row.orderUpTo },
      free: { reorderPoint: row.freeReorderPoint, orderUpTo: row.freeOrderUpTo },
      moneyMinor: row.moneyMinor,
      reason: row.reason,
      isStale: row.oldReorderPoint !== (level?.reorderPoint ?? null) || row.oldOrderUpTo !== (level?.orderUpTo ?? null),
      reckonedAt: (run?.startedAt ?? new Date(0)).toISOString(),
      refused:
        row.state === 'refused'
          ? {
              by: await nameOf(row.decidedById),
              at: (row.decidedAt ?? new Date(0)).toISOString(),
              words: row.decidedWords ?? '',
            }
          : null,
    },
  }
}
