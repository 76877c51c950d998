import { lineDueOn } from '../buying/due-day.ts'
import { quantityFormat, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import { BIN_KINDS, type BinKind, binKindOf } from '../stock/bin-kind.ts'
import { type MovementKind, movementSignFits } from '../stock/movement.ts'
import { movementValue, type Pool, pooled } from '../value/moving-average.ts'
import { instantText, statement, type Tx } from './client.ts'
import type { WriteContext } from './transaction.ts'

/** One line about to enter the ledger; quantity is signed minor units. */
export interface Placing {
  kind: MovementKind
  partId: number
  binId: number
  quantity: number
  jobId?: number
  needId?: number
  orderLineId?: number
  reason?: string
  reversesId?: number
  costMinor?: number | null
  batchId?: number
  /** What it is for, where it is no job. */
  machineId?: number
  costCentre?: string
  forPersonId?: string
}

export interface Placed {
  movementId: number
  balanceAfter: number
}

interface PartHead {
  id: number
  number: string
  description: string
  unit: string
  costMinor: number | null
}

export async function partHead(tx: Tx, partId: number): Promise<PartHead> {
  const part = await tx.part.findUnique({
    where: { id: partId },
    select: { id: true, number: true, description: true, unit: true, costMinor: true },
  })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  return part
}

/** Whether pieces of part `p` are told apart, by its own word or that of its class `c` (lib/stock/batch.ts). */
export const BATCH_ASKED = `(COALESCE(p."asksBatch", c."asksBatch", 0) OR COALESCE(p."asksUseBy", c."asksUseBy", 0))`

/** What the bin is for, and whether it is still in use. */
interface BinHead {
  code: string
  kind: BinKind
  closed: boolean
}

/** Whether pieces of the part are told apart. */
interface BatchHead {
  /** Everything of it belongs to a batch. */
  asked: boolean
  /** Some of it may. */
  some: boolean
}

/** The part, what it is worth, its bin and batches, in one statement: this runs for every line of the ledger. */
async function placeHead(
  partId: number,
  binId: number,
): Promise<PartHead & { pool: Pool; bin: BinHead; batches: BatchHead }> {
  const [row] = await statement<
    PartHead & {
      bin: string | null
      binKind: string
      closedAt: string | null
      onHand: number | null
      valueMinor: number | null
      batchAsked: number
      batchSome: number
    }
  >(
    `SELECT p."id", p."number", p."description", p."unit", p."costMinor", v."quantity" AS "onHand", v."valueMinor",
       b."code" AS "bin", b."kind" AS "binKind", b."closedAt",
       ${BATCH_ASKED} AS "batchAsked", EXISTS (SELECT 1 FROM "Batch" x WHERE x."partId" = p."id") AS "batchSome"
     FROM "Part" p LEFT JOIN "PartValue" v ON v."partId" = p."id" LEFT JOIN "Bin" b ON b."id" = ?
       LEFT JOIN "PartClassRule" c ON c."partClass" = p."partClass" WHERE p."id" = ?`,
    [binId, partId],
  )
  if (!row) throw new Refusal('stock/unknown-part', { part: partId })
  if (row.bin === null) throw new Refusal('stock/unknown-bin', { bin: binId })
  const { number, description, unit, costMinor } = row
  const pool = { quantity: row.onHand ?? 0, valueMinor: row.valueMinor ?? 0 }
  const bin = { code: row.bin, kind: binKindOf(row.binKind), closed: row.closedAt !== null }
  const batches = { asked: Number(row.batchAsked) === 1, some: Number(row.batchSome) === 1 }
  return { id: partId, number, description, unit, costMinor, pool, bin, batches }
}

/**
 * Writes one movement and the balance it leaves, in the caller's transaction. This and `countsPlace` are the only places that
 * do either.
 * Precedence of refusals: unknown part, unknown bin, wrong quantity, bin closed, not for use, batch not said, not enough.
 */
export async function movementPlace(
  tx: Tx,
  context: WriteContext,
  writeLine: number,
  placing: Placing,
): Promise<Placed> {
  const part = await placeHead(placing.partId, placing.binId)
  if (!Number.isSafeInteger(placing.quantity) || !movementSignFits(placing.kind, placing.quantity))
    throw new Refusal('stock/wrong-quantity', { quantity: placing.quantity, unit: part.unit })
  const { partId, binId, quantity } = placing
  if (quantity > 0 && part.bin.closed) throw new Refusal('stock/bin-closed', { bin: part.bin.code })
  if (placing.kind === 'issue' && !BIN_KINDS[part.bin.kind].free)
    throw new Refusal('stock/not-for-use', {
      part: part.number,
      bin: part.bin.code,
      lies: BIN_KINDS[part.bin.kind].lies,
    })
  if (placing.batchId === undefined && part.batches.asked && quantity > 0)
    throw new Refusal('stock/batch-needed', { part: part.number })
  const rows =
    quantity > 0
      ? await statement<{ quantity: number }>(
          `INSERT INTO "Balance" ("partId", "binId", "quantity") VALUES (?, ?, ?)
           ON CONFLICT ("partId", "binId") DO UPDATE SET "quantity" = "Balance"."quantity" + excluded."quantity"
           RETURNING "quantity"`,
          [partId, binId, quantity],
        )
      : // The condition stands in the same statement as the change: two people taking the last one cannot both pass it.
        await statement<{ quantity: number }>(
          `UPDATE "Balance" SET "quantity" = "quantity" + ?1
           WHERE "partId" = ?2 AND "binId" = ?3 AND "quantity" >= -?1
           RETURNING "quantity"`,
          [quantity, partId, binId],
        )
  const row = rows[0]
  if (!row) throw await notEnough(tx, part, binId, -quantity)
  const balanceAfter = row.quantity
  must(balanceAfter >= 0, `part ${partId} in bin ${binId} is never below zero`)
  const costMinor = placing.costMinor ?? part.costMinor
  const reversedMinor = placing.reversesId === undefined ? null : await valueAdded(placing.reversesId)
  const scale = quantityScale(part.unit as StockUnit)
  const valueMinor = movementValue(part.pool, { kind: placing.kind, quantity, costMinor, reversedMinor }, scale)
  if (placing.batchId !== undefined) await batchMove(part, placing.batchId, binId, quantity)
  else if (part.batches.some && quantity < 0) await looseCheck(part, binId, balanceAfter)
  const [entered] = await statement<{ id: number }>(
    `INSERT INTO "Movement" ("kind", "partId", "binId", "quantity", "balanceAfter", "at", "personId", "jobId", "needId",
       "orderLineId", "reason", "reversesId", "costMinor", "valueMinor", "batchId", "machineId", "costCentre", "forPersonId",
       "writeKey", "writeLine")
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING "id"`,
    [
      placing.kind,
      partId,
      binId,
      quantity,
      balanceAfter,
      instantText(context.now),
      context.personId,
      placing.jobId ?? null,
      placing.needId ?? null,
      placing.orderLineId ?? null,
      placing.reason ?? null,
      placing.reversesId ?? null,
      costMinor,
      valueMinor,
      placing.batchId ?? null,
      placing.machineId ?? null,
      placing.costCentre ?? null,
      placing.forPersonId ?? null,
      context.key,
      writeLine,
    ],
  )
  const pool = pooled(part.pool, placing.kind, quantity, valueMinor)
  // A transfer leaves the part what it was; half of one would show an empty shelf that is worth something.
  if (pool !== part.pool) await poolKeep(partId, pool)
  return { movementId: entered!.id, balanceAfter }
}

async function valueAdded(movementId: number): Promise<number | null> {
  const [row] = await statement<{ valueMinor: number | null }>('SELECT "valueMinor" FROM "Movement" WHERE "id" = ?', [
    movementId,
  ])
  return row?.valueMinor ?? null
}

async function poolKeep(partId: number, { quantity, valueMinor }: Pool): Promise<void> {
  await statement(
    `INSERT INTO "PartValue" ("partId", "quantity", "valueMinor") VALUES (?, ?, ?)
     ON CONFLICT ("partId") DO UPDATE SET "quantity" = excluded."quantity", "valueMinor" = excluded."valueMinor"`,
    [partId, quantity, valueMinor],
  )
}

/** Moves so much of a batch into a bin, or out of it; what is not there of it cannot be taken. */
async function batchMove(part: PartHead, batchId: number, binId: number, quantity: number): Promise<void> {
  const [batch] = await statement<{ code: string; left: number | null }>(
    `SELECT b."code", (SELECT "quantity" FROM "BatchBalance" WHERE "batchId" = b."id" AND "binId" = ?) AS "left"
     FROM "Batch" b WHERE b."id" = ? AND b."partId" = ?`,
    [binId, batchId, part.id],
  )
  if (!batch) throw new Refusal('stock/unknown-batch', { part: part.number })
  const left = (batch.left ?? 0) + quantity
  if (left < 0)
    throw new Refusal('stock/batch-not-there', {
      batch: batch.code,
      left: quantityFormat(batch.left ?? 0, part.unit as StockUnit),
    })
  await statement(
    `INSERT INTO "BatchBalance" ("batchId", "binId", "quantity") VALUES (?, ?, ?)
     ON CONFLICT ("batchId", "binId") DO UPDATE SET "quantity" = excluded."quantity"`,
    [batchId, binId, left],
  )
}

/** What belongs to no batch may go without one; nobody takes a batch without saying so. Callers take through lib/db/batch-move.ts. */
async function looseCheck(part: PartHead, binId: number, balanceAfter: number): Promise<void> {
  const [row] = await statement<{ kept: number | null }>(
    `SELECT SUM(l."quantity") AS "kept" FROM "Batch" b JOIN "BatchBalance" l ON l."batchId" = b."id" AND l."binId" = ?
     WHERE b."partId" = ?`,
    [binId, part.id],
  )
  if ((row?.kept ?? 0) > balanceAfter) throw new Refusal('stock/batch-needed', { part: part.number })
}

/** Says who took the last ones and what is on order, so that the person can act at once. */
async function notEnough(tx: Tx, part: PartHead, binId: number, wanted: number): Promise<Refusal> {
  const unit = part.unit as StockUnit
  const [balance, last, bin, onOrder] = await Promise.all([
    tx.balance.findUnique({ where: { partId_binId: { partId: part.id, binId } } }),
    tx.movement.findFirst({
      where: { partId: part.id, binId, kind: 'issue' },
      orderBy: { id: 'desc' },
      include: { job: { select: { number: true } } },
    }),
    tx.bin.findUnique({ where: { id: binId } }),
    tx.purchaseOrderLine.findMany({
      where: { partId: part.id, order: { state: 'ordered' } },
      include: { order: { select: { number: true, dueOn: true } } },
    }),
  ])
  const person = last ? await tx.person.findUnique({ where: { id: last.personId }, select: { name: true } }) : null
  const due = onOrder.find((line) => line.quantity > line.received + line.cancelled)
  return new Refusal('stock/not-enough', {
    part: `${part.number} ${part.description}`,
    bin: bin?.code ?? binId,
    left: quantityFormat(balance?.quantity ?? 0, unit),
    wanted: quantityFormat(wanted, unit),
    taken: last
      ? `Last taken by ${person?.name ?? 'somebody'}${last.job ? ` for job ${last.job.number}` : ''}, ${quantityFormat(-last.quantity, unit)}. `
      : '',
    onOrder: due
      ? `${quantityFormat(due.quantity - due.received - due.cancelled, unit)} on order ${due.order.number}, due ${lineDueOn(due, due.order.dueOn)}.`
      : 'None on order.',
  })
}
