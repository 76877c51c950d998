import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import { type LevelDecision, type LevelHoldInput, levelsSeen } from '../replenish/decide.ts'
import { dateOf } from '../service/plain-date.ts'
import { Prisma, type Tx } from './client.ts'
import { partHead } from './ledger.ts'
import { levelsKeep } from './level-change.ts'
import { proposalsAsked, STALE } from './level-list.ts'
import { type WriteContext, write } from './transaction.ts'

/** A yes to a hundred thousand levels in one go takes longer than a form does otherwise. */
const ALL_MS = 180_000
/** Part numbers that a refusal names. */
const NAMED = 5

interface Row {
  partId: number | bigint
  number: string
  reorderPoint: number | bigint
  orderUpTo: number | bigint
  reason: string
  stale: number | bigint
}

function rowsRead(tx: Tx, which: Prisma.Sql): Promise<Row[]> {
  return tx.$queryRaw<Row[]>`
    SELECT c."partId", p."number", c."reorderPoint", c."orderUpTo", c."reason", ${STALE} AS "stale"
    FROM "LevelProposal" c JOIN "Part" p ON p."id" = c."partId" LEFT JOIN "StockLevel" l ON l."partId" = c."partId"
    WHERE ${which} ORDER BY c."partId"`
}

/** Those that were ticked, each still as it was seen. Refuses with 'level/stale'. */
async function tickedRead(tx: Tx, parts: LevelDecision['parts']): Promise<Row[]> {
  const ids = JSON.stringify(parts.map((part) => part.partId))
  const rows = await rowsRead(
    tx,
    Prisma.sql`c."state" = 'change' AND c."partId" IN (SELECT value FROM json_each(${ids}))`,
  )
  const found = new Map(rows.map((row) => [Number(row.partId), row]))
  const other = parts.filter(({ partId, seen }) => {
    const row = found.get(partId)
    const now = row && levelsSeen({ reorderPoint: Number(row.reorderPoint), orderUpTo: Number(row.orderUpTo) })
    return !row || Number(row.stale) === 1 || now !== seen
  })
  if (other.length === 0) return rows
  const names = await tx.part.findMany({
    where: { id: { in: other.slice(0, NAMED).map((part) => part.partId) } },
    select: { number: true },
  })
  const more = other.length > NAMED ? ` and ${counted(other.length - NAMED, 'more', 'more')}` : ''
  throw new Refusal('level/stale', { parts: `${names.map((one) => one.number).join(', ')}${more}` })
}

export interface LevelDecided {
  decided: number
  /** Changed by somebody since they were reckoned: left as they are. */
  left: number
}

/**
 * Says yes to proposed levels, which are kept then, or no with a reason. All that were ticked or none: refused with 'level/stale' where
 * one is no longer what was seen; of a whole list those are left out. Refused with 'level/other-run' where another reckoning came.
 */
export function levelDecide(context: WriteContext, input: LevelDecision): Promise<LevelDecided> {
  return write(
    context,
    'level.decide',
    input,
    async (tx) => {
      const newest = await tx.levelProposal.aggregate({ _max: { runId: true } })
      if (newest._max.runId !== input.runId) throw new Refusal('level/other-run')
      const rows = input.all ? await rowsRead(tx, proposalsAsked(input.question)) : await tickedRead(tx, input.parts)
      const fit = rows.filter((row) => Number(row.stale) === 0)
      const kept = fit.map((row) => ({
        partId: Number(row.partId),
        reorderPoint: Number(row.reorderPoint),
        orderUpTo: Number(row.orderUpTo),
        reason: row.reason,
      }))
      if (input.decision === 'confirm') await levelsKeep(tx, context, kept, { kind: 'run', runId: input.runId })
      const ids = JSON.stringify(kept.map((one) => one.partId))
      await tx.$executeRaw`
        UPDATE "LevelProposal" SET "state" = ${input.decision === 'confirm' ? 'confirmed' : 'refused'},
          "decidedById" = ${context.personId}, "decidedAt" = ${context.now}, "decidedWords" = ${input.reason}
        WHERE "partId" IN (SELECT value FROM json_each(${ids}))`
      return { decided: kept.length, left: rows.length - kept.length }
    },
    { timeoutMs: ALL_MS },
  )
}

/** Keeps the level of a part by hand until a day: no reckoning proposes another one. Refuses with 'level/hold-over'. */
export function levelHold(context: WriteContext, input: LevelHoldInput): Promise<null> {
  return write(context, 'level.hold', input, async (tx) => {
    const { partId, ...hold } = input
    await partHead(tx, partId)
    if (hold.untilOn < dateOf(context.now))
      throw new Refusal('level/hold-over', {}, { fields: { untilOn: 'is over already' } })
    const kept = { ...hold, setAt: context.now, personId: context.personId }
    await tx.levelHold.upsert({ where: { partId }, create: { partId, ...kept }, update: kept })
    await tx.levelProposal.updateMany({ where: { partId, state: 'change' }, data: { state: 'held' } })
    return null
  })
}

/** Lets the next reckoning propose again. */
export function levelHoldLift(context: WriteContext, input: { partId: number }): Promise<null> {
  return write(context, 'level.hold-lift', input, async (tx) => {
    await tx.levelHold.deleteMany({ where: { partId: input.partId } })
    await tx.levelProposal.updateMany({ where: { partId: input.partId, state: 'held' }, data: { state: 'change' } })
    return null
  })
}
