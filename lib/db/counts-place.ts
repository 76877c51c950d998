import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { movementValue, type Pool, pooled } from '../value/moving-average.ts'
import { allocationsRefresh } from './allocation.ts'
import { notKnownBatch } from './batch.ts'
import { binLots, lotsOut } from './batch-move.ts'
import { statement, type Tx } from './client.ts'
import { BATCH_ASKED, movementPlace } from './ledger.ts'
import type { WriteContext } from './transaction.ts'

/** What was counted of one part in one bin, beside what the books say in this transaction; minor units, never equal. */
export interface Counted {
  partId: number
  binId: number
  onHand: number
  counted: number
  reason: string
  /** Counted of this batch alone, as `onHand` and `counted` then are; null: of what belongs to none. Left out: of the part. */
  batchId?: number | null
}

/** Lines of one statement. */
const COUNTS_SLICE = 2000

/**
 * Books many counts at once: a count difference and its balance for each, in the caller's transaction. What was read as on
 * hand must have been read in that transaction. A stock list of a hundred thousand rows would hold every other writer up for
 * minutes if each row went through `movementPlace`.
 */
export async function countsPlace(tx: Tx, context: WriteContext, counts: readonly Counted[]): Promise<void> {
  const inBatches = await partsInBatches(counts)
  const plain = counts.filter((one) => one.batchId === undefined && !inBatches.has(one.partId))
  for (let at = 0; at < plain.length; at += COUNTS_SLICE) {
    const slice = plain.slice(at, at + COUNTS_SLICE)
    for (const { partId, counted, onHand } of slice)
      must(
        counted >= 0 && counted !== onHand,
        `a count of part ${partId} moves something and leaves nothing below zero`,
      )
    const values = await countValues(slice)
    const lines = JSON.stringify(
      slice.map((one, n) => [one.partId, one.binId, one.onHand, one.counted, one.reason, values[n]]),
    )
    // The condition stands in the statement: a balance that is not what the count was held against is left alone, and where
    // the books know none, there must be none.
    const changed = await tx.$executeRaw`
      UPDATE "Balance" SET "quantity" = j.value->>3 FROM json_each(${lines}) j
      WHERE "Balance"."partId" = j.value->>0 AND "Balance"."binId" = j.value->>1 AND "Balance"."quantity" = j.value->>2`
    const made = await tx.$executeRaw`
      INSERT INTO "Balance" ("partId", "binId", "quantity")
      SELECT value->>0, value->>1, value->>3 FROM json_each(${lines}) WHERE value->>2 = 0
      ON CONFLICT ("partId", "binId") DO NOTHING`
    must(changed + made === slice.length, 'every count was held against the balance of this transaction')
    await tx.$executeRaw`
      INSERT INTO "Movement" ("kind", "partId", "binId", "quantity", "balanceAfter", "at", "personId", "reason", "costMinor",
        "valueMinor", "writeKey", "writeLine")
      SELECT 'count-difference', p."id", j.value->>1, j.value->>3 - j.value->>2, j.value->>3, ${context.now},
        ${context.personId}, j.value->>4, p."costMinor", j.value->>5, ${context.key}, ${at} + j.key
      FROM json_each(${lines}) j JOIN "Part" p ON p."id" = j.value->>0`
  }
  let line = plain.length
  for (const one of counts)
    if (one.batchId !== undefined) line = await lotCountPlace(tx, context, line, one, one.batchId)
    else if (inBatches.has(one.partId)) line = await batchCountPlace(tx, context, line, one, inBatches.get(one.partId)!)
  const moved = new Set(counts.map((one) => one.partId))
  const wanted = await tx.jobNeed.findMany({
    where: { OR: [{ allocated: { gt: 0 } }, { state: 'accepted', job: { state: 'open' } }] },
    select: { partId: true },
  })
  for (const partId of new Set(wanted.map((need) => need.partId)))
    if (partId !== null && moved.has(partId)) await allocationsRefresh(tx, context, partId)
}

/** Parts of which some pieces belong to a batch, and whether all of them must. */
async function partsInBatches(counts: readonly Counted[]): Promise<Map<number, boolean>> {
  const rows = await statement<{ id: number; asked: number }>(
    `SELECT p."id", ${BATCH_ASKED} AS "asked" FROM "Part" p LEFT JOIN "PartClassRule" c ON c."partClass" = p."partClass"
     WHERE p."id" IN (SELECT value FROM json_each(?))
       AND (${BATCH_ASKED} OR EXISTS (SELECT 1 FROM "Batch" b WHERE b."partId" = p."id"))`,
    [JSON.stringify([...new Set(counts.map(({ partId }) => partId))])],
  )
  return new Map(rows.map(({ id, asked }) => [id, Number(asked) === 1]))
}

/**
 * A count says how many lie there, not of which batch. What is missing is taken off the earliest use-by day, which whoever forgot to
 * book it most likely took; what is over belongs to the only batch in the bin, else to none that is known. Who looked at the packs
 * says so at the batches of the part. Answers the next free line.
 */
async function batchCountPlace(
  tx: Tx,
  context: WriteContext,
  firstLine: number,
  { partId, binId, onHand, counted, reason }: Counted,
  asked: boolean,
): Promise<number> {
  const lots = await binLots(partId, binId)
  must(
    counted >= 0 && counted !== onHand && lots.reduce((sum, lot) => sum + lot.quantity, 0) === onHand,
    'every count was held against the balance of this transaction',
  )
  const line = { kind: 'count-difference' as const, partId, binId, reason }
  if (counted < onHand) {
    const going = { ...line, quantity: onHand - counted }
    return firstLine + (await lotsOut(tx, context, firstLine, going, { expired: 'too' })).movements.length
  }
  const only = lots.length === 1 ? lots[0]!.batchId : null
  const batchId = only ?? (asked ? await notKnownBatch(tx, partId) : null)
  const coming = { ...line, quantity: counted - onHand }
  await movementPlace(tx, context, firstLine, batchId === null ? coming : { ...coming, batchId })
  return firstLine + 1
}

/** Somebody counted one batch by itself. Answers the next free line. */
async function lotCountPlace(
  tx: Tx,
  context: WriteContext,
  line: number,
  { partId, binId, onHand, counted, reason }: Counted,
  batchId: number | null,
): Promise<number> {
  const placing = { kind: 'count-difference' as const, partId, binId, quantity: counted - onHand, reason }
  await movementPlace(tx, context, line, batchId === null ? placing : { ...placing, batchId })
  return line + 1
}

/** What each count adds to the value of its part, in order; keeps what the parts are worth afterwards. */
async function countValues(counts: readonly Counted[]): Promise<number[]> {
  const ids = [...new Set(counts.map((one) => one.partId))]
  const rows = await statement<{
    id: number
    unit: string
    costMinor: number | null
    q: number | null
    v: number | null
  }>(
    `SELECT p."id", p."unit", p."costMinor", v."quantity" AS "q", v."valueMinor" AS "v"
     FROM "Part" p LEFT JOIN "PartValue" v ON v."partId" = p."id" WHERE p."id" IN (SELECT value FROM json_each(?))`,
    [JSON.stringify(ids)],
  )
  const parts = new Map(rows.map((row) => [row.id, row]))
  const pools = new Map<number, Pool>()
  const values = counts.map(({ partId, counted, onHand }) => {
    const { unit, costMinor, q, v } = parts.get(partId)!
    const pool = pools.get(partId) ?? { quantity: q ?? 0, valueMinor: v ?? 0 }
    const fact = { kind: 'count-difference', quantity: counted - onHand, costMinor, reversedMinor: null }
    const value = movementValue(pool, fact, quantityScale(unit as StockUnit))
    pools.set(partId, pooled(pool, fact.kind, fact.quantity, value))
    return value
  })
  await statement(
    `INSERT INTO "PartValue" ("partId", "quantity", "valueMinor")
     SELECT value->>0, value->>1, value->>2 FROM json_each(?) WHERE true
     ON CONFLICT ("partId") DO UPDATE SET "quantity" = excluded."quantity", "valueMinor" = excluded."valueMinor"`,
    [JSON.stringify([...pools].map(([partId, { quantity, valueMinor }]) => [partId, quantity, valueMinor]))],
  )
  return values
}
