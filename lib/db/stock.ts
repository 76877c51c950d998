import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import { allocationShare } from '../stock/allocation.ts'
import { type MovementKind, movementSignFits, movementWhyNotReversible } from '../stock/movement.ts'
import type { CountInput, IssueInput, LevelInput, ReceiveInput, ReverseInput, TransferInput } from '../stock/schema.ts'
import { instantText, statement, type Tx } from './client.ts'
import { type WriteContext, write } from './transaction.ts'

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

async function partHead(tx: Tx, partId: number): Promise<PartHead> {
  const part = await tx.part.findUnique({
    where: { id: partId },
    select: { id: true, number: true, description: true, unit: true, costMinor: true },
  })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  return part
}

/** The part and whether the bin is there, in one statement: this runs for every line of the ledger. */
async function placeHead(partId: number, binId: number): Promise<PartHead> {
  const [row] = await statement<PartHead & { bin: number | null }>(
    `SELECT "id", "number", "description", "unit", "costMinor", (SELECT "id" FROM "Bin" WHERE "id" = ?) AS "bin"
     FROM "Part" WHERE "id" = ?`,
    [binId, partId],
  )
  if (!row) throw new Refusal('stock/unknown-part', { part: partId })
  if (row.bin === null) throw new Refusal('stock/unknown-bin', { bin: binId })
  const { number, description, unit, costMinor } = row
  return { id: partId, number, description, unit, costMinor }
}

/**
 * Writes one movement and the balance it leaves, in the caller's transaction. This and `countsPlace` are the only places that
 * do either.
 * Precedence of refusals: unknown part, unknown bin, wrong quantity, not enough.
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
  const [entered] = await statement<{ id: number }>(
    `INSERT INTO "Movement" ("kind", "partId", "binId", "quantity", "balanceAfter", "at", "personId", "jobId", "needId",
       "orderLineId", "reason", "reversesId", "costMinor", "writeKey", "writeLine")
     VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) RETURNING "id"`,
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
      placing.costMinor ?? part.costMinor,
      context.key,
      writeLine,
    ],
  )
  return { movementId: entered!.id, balanceAfter }
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
      ? `${quantityFormat(due.quantity - due.received - due.cancelled, unit)} on order ${due.order.number}, due ${due.order.dueOn}.`
      : 'None on order.',
  })
}

/** On hand of a part over all bins, minor units. */
async function onHandOf(tx: Tx, partId: number): Promise<number> {
  const sum = await tx.balance.aggregate({ where: { partId }, _sum: { quantity: true } })
  return sum._sum.quantity ?? 0
}

/** Shares the shelf among open jobs again; called after every movement of the part and every decision on a need. */
export async function allocationsRefresh(tx: Tx, partId: number): Promise<void> {
  const needs = await tx.jobNeed.findMany({
    where: { partId, OR: [{ allocated: { gt: 0 } }, { state: 'accepted', job: { state: 'open' } }] },
    select: { id: true, wanted: true, taken: true, allocated: true, state: true, job: { select: { state: true } } },
    orderBy: { jobId: 'asc' },
  })
  if (needs.length === 0) return
  const claims = needs.map((need) => ({
    needId: need.id,
    stillWanted: need.state === 'accepted' && need.job.state === 'open' ? Math.max(0, need.wanted - need.taken) : 0,
    allocated: need.allocated,
  }))
  const shares = allocationShare(await onHandOf(tx, partId), claims)
  for (const [at, claim] of claims.entries()) {
    if (shares[at] !== claim.allocated)
      await tx.jobNeed.update({ where: { id: claim.needId }, data: { allocated: shares[at]! } })
  }
}

/** Refuses to take what is kept for other jobs. `own` is what the taking job has been promised itself. */
export async function reservedCheck(tx: Tx, partId: number, quantity: number, own: number): Promise<void> {
  const kept = await statement<{ allocated: number; job: number }>(
    `SELECT n."allocated", j."number" AS "job" FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId"
     WHERE n."partId" = ? AND n."allocated" > 0 ORDER BY j."number"`,
    [partId],
  )
  const allocated = kept.reduce((sum, need) => sum + need.allocated, 0)
  if (allocated === 0) return
  const onHand = await onHandOf(tx, partId)
  if (onHand < quantity || onHand - (allocated - own) >= quantity) return
  const part = await partHead(tx, partId)
  throw new Refusal('stock/reserved', {
    left: quantityFormat(onHand, part.unit as StockUnit),
    part: `${part.number} ${part.description}`,
    allocated: quantityFormat(allocated - own, part.unit as StockUnit),
    jobs: `job ${[...new Set(kept.map((need) => need.job))].join(', ')}`,
  })
}

/** Books a delivery or a find into a bin. A cost given here becomes the part's last cost. */
export function stockReceive(context: WriteContext, input: ReceiveInput): Promise<Placed> {
  return write(context, 'stock.receive', input, async (tx) => {
    const placed = await movementPlace(tx, context, 0, { kind: 'receive', ...input })
    if (input.costMinor !== undefined)
      await tx.part.update({ where: { id: input.partId }, data: { costMinor: input.costMinor } })
    await allocationsRefresh(tx, input.partId)
    return placed
  })
}

/** Takes from a bin without a job (yard use, a neighbour's machine). Jobs take through lib/db/job-parts.ts. */
export function stockIssue(context: WriteContext, input: IssueInput): Promise<Placed> {
  return write(context, 'stock.issue', input, async (tx) => {
    await reservedCheck(tx, input.partId, input.quantity, 0)
    const placed = await movementPlace(tx, context, 0, { kind: 'issue', ...input, quantity: -input.quantity })
    return placed
  })
}

/**
 * Books what was counted. When the shelf moved since the count began, the difference would be wrong, so it is refused and
 * the bin counted again. A count that agrees leaves no movement.
 */
export function stockCount(
  context: WriteContext,
  input: CountInput,
): Promise<Placed | { movementId: null; balanceAfter: number }> {
  return write(context, 'stock.count', input, async (tx) => {
    const { unit } = await partHead(tx, input.partId)
    if (!(await tx.bin.findUnique({ where: { id: input.binId }, select: { id: true } })))
      throw new Refusal('stock/unknown-bin', { bin: input.binId })
    const says = (quantity: number) => quantityFormat(quantity, unit as StockUnit)
    const balance = await tx.balance.findUnique({
      where: { partId_binId: { partId: input.partId, binId: input.binId } },
    })
    const onHand = balance?.quantity ?? 0
    if (onHand !== input.expected)
      throw new Refusal('stock/moved-since', { before: says(input.expected), now: says(onHand) })
    if (onHand === input.counted) return { movementId: null, balanceAfter: onHand }
    if (input.reason.length < 3)
      throw new Refusal('stock/no-reason', {}, { fields: { reason: 'say why the shelf differs' } })
    const placed = await movementPlace(tx, context, 0, {
      kind: 'count-difference',
      partId: input.partId,
      binId: input.binId,
      quantity: input.counted - onHand,
      reason: input.reason,
    })
    await allocationsRefresh(tx, input.partId)
    return placed
  })
}

/** What was counted of one part in one bin, beside what the books say in this transaction; minor units, never equal. */
export interface Counted {
  partId: number
  binId: number
  onHand: number
  counted: number
  reason: string
}

/** Lines of one statement. */
const COUNTS_SLICE = 2000

/**
 * Books many counts at once: a count difference and its balance for each, in the caller's transaction. What was read as on
 * hand must have been read in that transaction. A stock list of a hundred thousand rows would hold every other writer up for
 * minutes if each row went through `movementPlace`.
 */
export async function countsPlace(tx: Tx, context: WriteContext, counts: readonly Counted[]): Promise<void> {
  for (let at = 0; at < counts.length; at += COUNTS_SLICE) {
    const slice = counts.slice(at, at + COUNTS_SLICE)
    for (const { partId, counted, onHand } of slice)
      must(
        counted >= 0 && counted !== onHand,
        `a count of part ${partId} moves something and leaves nothing below zero`,
      )
    const lines = JSON.stringify(slice.map((one) => [one.partId, one.binId, one.onHand, one.counted, one.reason]))
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
        "writeKey", "writeLine")
      SELECT 'count-difference', p."id", j.value->>1, j.value->>3 - j.value->>2, j.value->>3, ${context.now},
        ${context.personId}, j.value->>4, p."costMinor", ${context.key}, ${at} + j.key
      FROM json_each(${lines}) j JOIN "Part" p ON p."id" = j.value->>0`
  }
  const moved = new Set(counts.map((one) => one.partId))
  const wanted = await tx.jobNeed.findMany({
    where: { OR: [{ allocated: { gt: 0 } }, { state: 'accepted', job: { state: 'open' } }] },
    select: { partId: true },
  })
  for (const partId of new Set(wanted.map((need) => need.partId)))
    if (partId !== null && moved.has(partId)) await allocationsRefresh(tx, partId)
}

/** Moves parts from one bin to another: two lines of the ledger in one write. */
export function stockTransfer(context: WriteContext, input: TransferInput): Promise<{ out: Placed; in: Placed }> {
  return write(context, 'stock.transfer', input, async (tx) => {
    if (input.fromBinId === input.toBinId)
      throw new Refusal(
        'input/invalid',
        { what: 'both bins are the same' },
        { fields: { toBinId: 'choose another bin' } },
      )
    const out = await movementPlace(tx, context, 0, {
      kind: 'transfer-out',
      partId: input.partId,
      binId: input.fromBinId,
      quantity: -input.quantity,
    })
    const into = await movementPlace(tx, context, 1, {
      kind: 'transfer-in',
      partId: input.partId,
      binId: input.toBinId,
      quantity: input.quantity,
    })
    return { out, in: into }
  })
}

/** Puts a mistake right: a movement of the opposite quantity that names the first one, once. */
export function stockReverse(context: WriteContext, input: ReverseInput): Promise<Placed> {
  return write(context, 'stock.reverse', input, async (tx) => {
    const original = await tx.movement.findUnique({ where: { id: input.movementId }, include: { reversedBy: true } })
    if (!original)
      throw new Refusal('stock/not-reversible', { movement: input.movementId, why: 'there is no such movement' })
    if (original.reversedBy)
      throw new Refusal('stock/already-reversed', { movement: original.id, by: original.reversedBy.id })
    const why = movementWhyNotReversible({ kind: original.kind as MovementKind })
    if (why) throw new Refusal('stock/not-reversible', { movement: original.id, why })
    if (original.jobId !== null) {
      const job = await tx.job.findUnique({ where: { id: original.jobId } })
      if (job?.state === 'closed') throw new Refusal('job/closed', { job: job.number })
    }
    if (original.needId !== null) await needUndoCheck(tx, original.id, original.needId, original.quantity)
    const placed = await movementPlace(tx, context, 0, {
      kind: 'reversal',
      partId: original.partId,
      binId: original.binId,
      quantity: -original.quantity,
      reason: input.reason,
      reversesId: original.id,
      ...(original.jobId === null ? {} : { jobId: original.jobId }),
      ...(original.needId === null ? {} : { needId: original.needId }),
      ...(original.orderLineId === null ? {} : { orderLineId: original.orderLineId }),
      costMinor: original.costMinor,
    })
    if (original.needId !== null)
      await tx.jobNeed.update({ where: { id: original.needId }, data: { taken: { increment: original.quantity } } })
    if (original.orderLineId !== null) await orderLineUndo(tx, original.orderLineId, original.quantity)
    await allocationsRefresh(tx, original.partId)
    return placed
  })
}

/** Parts that went back on the shelf, or a line that has left the job, leave nothing of the taking to undo. */
async function needUndoCheck(tx: Tx, movement: number, needId: number, quantity: number): Promise<void> {
  const need = await tx.jobNeed.findUnique({ where: { id: needId }, select: { taken: true } })
  if (!need) throw new Refusal('stock/not-reversible', { movement, why: 'its line is no longer on the job' })
  if (need.taken + quantity < 0)
    throw new Refusal('stock/not-reversible', { movement, why: 'some of it was put back since' })
}

/** A reversed receipt is due again. */
async function orderLineUndo(tx: Tx, orderLineId: number, quantity: number): Promise<void> {
  const line = await tx.purchaseOrderLine.update({
    where: { id: orderLineId },
    data: { received: { decrement: quantity } },
  })
  await tx.purchaseOrder.update({ where: { id: line.orderId }, data: { state: 'ordered' } })
}

export function stockSetLevel(context: WriteContext, input: LevelInput): Promise<null> {
  return write(context, 'stock.level', input, async (tx) => {
    await partHead(tx, input.partId)
    const { partId, ...level } = input
    await tx.stockLevel.upsert({
      where: { partId },
      create: { partId, ...level, setAt: context.now },
      update: { ...level, setAt: context.now },
    })
    return null
  })
}
