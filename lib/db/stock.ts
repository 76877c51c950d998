import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { batchesKept } from '../stock/batch.ts'
import { type ForSaid, forIsSaid } from '../stock/for-what.ts'
import { type MovementKind, movementWhyNotReversible } from '../stock/movement.ts'
import type {
  CountInput,
  IssueInput,
  LevelInput,
  ReceiveInput,
  ReturnInput,
  ReverseInput,
  ScrapInput,
  TransferInput,
} from '../stock/schema.ts'
import { allocationsRefresh, reservedCheck } from './allocation.ts'
import { batchOf, batchRules, notKnownBatch } from './batch.ts'
import { lotsMove, lotsOut } from './batch-move.ts'
import type { Tx } from './client.ts'
import { countDirect } from './count-keep.ts'
import { depositsReverse, depositsUnordered } from './deposit-book.ts'
import { invoicesRecheck } from './invoice-check.ts'
import { movementPlace, type Placed, partHead } from './ledger.ts'
import { levelsKeep } from './level-change.ts'
import { type WriteContext, write } from './transaction.ts'

/** A bin that people fill and empty by hand. Refuses with 'stock/unknown-bin', 'stock/on-the-way'. */
export async function binInUse(tx: Tx, binId: number) {
  const bin = await tx.bin.findUnique({ where: { id: binId }, include: { store: true } })
  if (!bin) throw new Refusal('stock/unknown-bin', { bin: binId })
  // A consignment knows what it brought only while nobody else takes from its bin.
  if (bin.kind === 'on-the-way') throw new Refusal('stock/on-the-way', { bin: bin.code })
  return bin
}

/** Books a delivery or a find into a bin. A cost given here becomes the part's last cost. */
export function stockReceive(context: WriteContext, input: ReceiveInput): Promise<Placed> {
  return write(context, 'stock.receive', input, async (tx) => {
    await partHead(tx, input.partId)
    await binInUse(tx, input.binId)
    const { batch, useBy, expiredKept, depositSupplierId: supplierId, depositMinor, ...line } = input
    const place = { partId: input.partId, binId: input.binId, notKnown: true }
    const batchId = await batchOf(tx, context, place, { batch, useBy, expiredKept })
    const placed = await movementPlace(tx, context, 0, { kind: 'receive', ...line, batchId })
    if (supplierId !== undefined && depositMinor !== undefined) {
      const { movementId } = placed
      const charged = { partId: input.partId, supplierId, depositMinor }
      await depositsUnordered(tx, context, charged, { movementId, quantity: input.quantity })
    }
    if (input.costMinor !== undefined)
      await tx.part.update({ where: { id: input.partId }, data: { costMinor: input.costMinor } })
    await allocationsRefresh(tx, context, input.partId)
    return placed
  })
}

/** Parts are taken for something that is known. Refuses with 'input/invalid', 'machine/no-such', 'people/no-such'. */
async function forWhatCheck(tx: Tx, said: ForSaid): Promise<void> {
  if (!forIsSaid(said))
    throw new Refusal(
      'input/invalid',
      { what: 'nobody said what it is for' },
      { fields: { reason: 'say what it is for' } },
    )
  const { machineId, forPersonId } = said
  if (machineId !== undefined && (await tx.machine.count({ where: { id: machineId } })) === 0)
    throw new Refusal('machine/no-such', { machine: machineId })
  if (forPersonId !== undefined && (await tx.person.count({ where: { id: forPersonId } })) === 0)
    throw new Refusal('people/no-such')
}

/** Takes from a bin without a job: for a machine, a cost centre, a person or the yard. Jobs take through lib/db/job-parts.ts. */
export function stockIssue(context: WriteContext, input: IssueInput): Promise<Placed> {
  return write(context, 'stock.issue', input, async (tx) => {
    await forWhatCheck(tx, input)
    await reservedCheck(tx, context, input, 0)
    const { batchId, expiredWhy, ...line } = input
    const out = await lotsOut(tx, context, 0, { kind: 'issue', ...line }, { batchId, expiredWhy, expired: 'stay' })
    return out.last
  })
}

/**
 * No more comes back from a machine, a cost centre or a person than went there: what was never taken is received, or else a
 * mistyped figure would fill the shelf on paper. Free words are no place that could be asked. Refuses with 'stock/more-than-out'.
 */
async function outCheck(tx: Tx, { partId, quantity, machineId, costCentre, forPersonId }: ReturnInput): Promise<void> {
  const where = {
    ...(machineId === undefined ? {} : { machineId }),
    ...((costCentre ?? '') === '' ? {} : { costCentre }),
    ...(forPersonId === undefined ? {} : { forPersonId }),
  }
  if (Object.keys(where).length === 0) return
  const { _sum } = await tx.movement.aggregate({
    where: { partId, kind: { in: ['issue', 'return'] }, reversedBy: null, ...where },
    _sum: { quantity: true },
  })
  const out = Math.max(0, -(_sum.quantity ?? 0))
  if (quantity <= out) return
  const { unit } = await partHead(tx, partId)
  const says = (many: number) => quantityFormat(many, unit as StockUnit)
  throw new Refusal(
    'stock/more-than-out',
    { out: says(out), wanted: says(quantity) },
    { fields: { quantity: says(out) } },
  )
}

/** Puts back what was taken without a job and not used. */
export function stockReturn(context: WriteContext, input: ReturnInput): Promise<Placed> {
  return write(context, 'stock.return', input, async (tx) => {
    await forWhatCheck(tx, input)
    await partHead(tx, input.partId)
    await binInUse(tx, input.binId)
    await outCheck(tx, input)
    const { batch, useBy, expiredKept, ...line } = input
    const place = { partId: input.partId, binId: input.binId, notKnown: true }
    const batchId = await batchOf(tx, context, place, { batch, useBy, expiredKept })
    const placed = await movementPlace(tx, context, 0, { kind: 'return', ...line, batchId })
    await allocationsRefresh(tx, context, input.partId)
    return placed
  })
}

/** Takes what is no longer fit for use off the books, wherever it lies. What jobs were promised of it they are promised no longer. */
export function stockScrap(context: WriteContext, input: ScrapInput): Promise<Placed> {
  return write(context, 'stock.scrap', input, async (tx) => {
    await partHead(tx, input.partId)
    await binInUse(tx, input.binId)
    const { batchId, ...line } = input
    const out = await lotsOut(tx, context, 0, { kind: 'scrap', ...line }, { batchId, expired: 'too' })
    await allocationsRefresh(tx, context, input.partId)
    return out.last
  })
}

/**
 * Books what was counted. When the shelf moved since the count began, the difference would be wrong, so it is refused and
 * the bin counted again. A count that agrees leaves no movement, and is kept all the same. For programs that count in one
 * step: the count sheet asks for a second count, and takes differences that wait for approval.
 */
export function stockCount(
  context: WriteContext,
  input: CountInput,
): Promise<Placed | { movementId: null; balanceAfter: number }> {
  return write(context, 'stock.count', input, async (tx) => {
    const { unit } = await partHead(tx, input.partId)
    await binInUse(tx, input.binId)
    const says = (quantity: number) => quantityFormat(quantity, unit as StockUnit)
    const balance = await tx.balance.findUnique({
      where: { partId_binId: { partId: input.partId, binId: input.binId } },
    })
    const onHand = balance?.quantity ?? 0
    if (onHand !== input.expected)
      throw new Refusal('stock/moved-since', { before: says(input.expected), now: says(onHand) })
    if (onHand !== input.counted && input.reason.length < 3)
      throw new Refusal('stock/no-reason', {}, { fields: { reason: 'say why the shelf differs' } })
    return countDirect(tx, context, input)
  })
}

/** Moves parts from one bin to another: two lines of the ledger, for each batch, in one write. */
export function stockTransfer(context: WriteContext, input: TransferInput): Promise<{ out: Placed; in: Placed }> {
  return write(context, 'stock.transfer', input, async (tx) => {
    if (input.fromBinId === input.toBinId)
      throw new Refusal(
        'input/invalid',
        { what: 'both bins are the same' },
        { fields: { toBinId: 'choose another bin' } },
      )
    await partHead(tx, input.partId)
    await binInUse(tx, input.fromBinId)
    await binInUse(tx, input.toBinId)
    const { out, in: into } = await lotsMove(tx, context, 0, input)
    // In quarantine it is promised to nobody; back on a shelf it is.
    await allocationsRefresh(tx, context, input.partId)
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
    const bin = await tx.bin.findUnique({ where: { id: original.binId } })
    if (bin?.kind === 'on-the-way') throw new Refusal('stock/on-the-way', { bin: bin.code })
    const why = movementWhyNotReversible({ kind: original.kind as MovementKind })
    if (why) throw new Refusal('stock/not-reversible', { movement: original.id, why })
    if (original.jobId !== null) {
      const job = await tx.job.findUnique({ where: { id: original.jobId } })
      if (job?.state === 'closed') throw new Refusal('job/closed', { job: job.number })
    }
    if (original.needId !== null) await needUndoCheck(tx, original.id, original.needId, original.quantity)
    const batchId = original.batchId ?? (await looseNow(tx, original.partId))
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
      ...(batchId === null ? {} : { batchId }),
      ...(original.machineId === null ? {} : { machineId: original.machineId }),
      ...(original.costCentre === null ? {} : { costCentre: original.costCentre }),
      ...(original.forPersonId === null ? {} : { forPersonId: original.forPersonId }),
      costMinor: original.costMinor,
    })
    if (original.needId !== null)
      await tx.jobNeed.update({ where: { id: original.needId }, data: { taken: { increment: original.quantity } } })
    if (original.orderLineId !== null) await orderLineUndo(tx, original.orderLineId, original.quantity)
    if (original.kind === 'receive') await depositsReverse(tx, context, original.id)
    await allocationsRefresh(tx, context, original.partId)
    return placed
  })
}

/** Where pieces without a batch stand now: under "not known" since their batches are kept. */
async function looseNow(tx: Tx, partId: number): Promise<number | null> {
  const rule = (await batchRules(tx, [partId])).get(partId)!
  return batchesKept(rule) ? notKnownBatch(tx, partId) : null
}

/** Parts that went back on the shelf, or a line that has left the job, leave nothing of the taking to undo. */
async function needUndoCheck(tx: Tx, movement: number, needId: number, quantity: number): Promise<void> {
  const need = await tx.jobNeed.findUnique({ where: { id: needId }, select: { taken: true } })
  if (!need) throw new Refusal('stock/not-reversible', { movement, why: 'its line is no longer on the job' })
  if (need.taken + quantity < 0)
    throw new Refusal('stock/not-reversible', { movement, why: 'some of it was put back since' })
}

/** A reversed receipt is due again, and what is invoiced of it did not come. */
async function orderLineUndo(tx: Tx, orderLineId: number, quantity: number): Promise<void> {
  const line = await tx.purchaseOrderLine.update({
    where: { id: orderLineId },
    data: { received: { decrement: quantity } },
  })
  await tx.purchaseOrder.update({ where: { id: line.orderId }, data: { state: 'ordered' } })
  await invoicesRecheck(tx, line.orderId)
}

export function stockSetLevel(context: WriteContext, input: LevelInput): Promise<null> {
  return write(context, 'stock.level', input, async (tx) => {
    await partHead(tx, input.partId)
    await levelsKeep(tx, context, [input], { kind: 'hand' })
    return null
  })
}
