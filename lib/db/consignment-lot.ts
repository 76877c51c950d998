import { Refusal } from '../refusal.ts'
import { isExpired, lotOrder } from '../stock/batch.ts'
import { reservedCheck } from './allocation.ts'
import { dayOf, saysOf } from './batch.ts'
import { type BinLot, lotsMove } from './batch-move.ts'
import type { Tx } from './client.ts'
import { partHead } from './ledger.ts'
import type { WriteContext } from './transaction.ts'

interface Line {
  id: number
  partId: number
  fromBinId: number
  quantity: number
}

/** So much more of a line is to be of this batch. Refuses with 'stock/unknown-batch', 'stock/batch-not-there'. */
export async function lotPack(tx: Tx, line: Line, batchId: number, quantity: number): Promise<void> {
  const part = await partHead(tx, line.partId)
  const batch = await tx.batch.findUnique({ where: { id: batchId } })
  if (batch?.partId !== part.id) throw new Refusal('stock/unknown-batch', { part: part.number })
  const lot = await tx.consignmentLot.upsert({
    where: { lineId_batchId: { lineId: line.id, batchId } },
    create: { lineId: line.id, batchId, quantity },
    update: { quantity: { increment: quantity } },
  })
  const there = await tx.batchBalance.findUnique({
    where: { batchId_binId: { batchId, binId: line.fromBinId } },
  })
  if ((there?.quantity ?? 0) < lot.quantity)
    throw new Refusal('stock/batch-not-there', {
      batch: batch.code,
      left: saysOf(part.unit)(there?.quantity ?? 0),
    })
}

/**
 * Moves a line on its way: the batches that were chosen, and of the rest the earliest use-by day that is not past. What went of
 * each batch is kept at the line, so that the same arrives. Answers how many lines of the ledger that took.
 */
export async function lotsSend(
  tx: Tx,
  context: WriteContext,
  firstLine: number,
  { id: lineId, partId, fromBinId, quantity }: Line,
  way: { toBinId: number; isFree: boolean; reason: string },
): Promise<number> {
  const { toBinId, isFree, reason } = way
  const chosen = await tx.consignmentLot.findMany({
    where: { lineId },
    include: { batch: true },
    orderBy: { batchId: 'asc' },
  })
  const spoiled = chosen.filter((lot) => isExpired(lot.batch.expiresOn, dayOf(context.now)))
  const sum = (lots: readonly { quantity: number }[]) => lots.reduce((all, lot) => all + lot.quantity, 0)
  // What has spoiled is promised to nobody.
  const good = quantity - sum(spoiled)
  if (isFree && good > 0) await reservedCheck(tx, context, { partId, quantity: good }, 0)
  const went: BinLot[] = []
  let at = firstLine
  const rest = quantity - sum(chosen)
  const moves = chosen.map((lot) => ({ quantity: lot.quantity, batchId: lot.batchId }))
  for (const part of rest > 0 ? [...moves, { quantity: rest }] : moves) {
    const moved = await lotsMove(tx, context, at, { partId, fromBinId, toBinId, reason, ...part }, 'stay')
    at += moved.lines
    if (!('batchId' in part)) went.push(...moved.lots)
  }
  for (const lot of went)
    if (lot.batchId !== null)
      await tx.consignmentLot.upsert({
        where: { lineId_batchId: { lineId, batchId: lot.batchId } },
        create: { lineId, batchId: lot.batchId, quantity: lot.quantity },
        update: { quantity: { increment: lot.quantity } },
      })
  return at - firstLine
}

/**
 * Which batches of a line come off the way when so much of it arrives or is lost, the earliest use-by day first; they are kept as
 * gone. What was sent without a batch is the last of the answer.
 */
export async function lotsOffWay(
  tx: Tx,
  line: { id: number },
  wayBinId: number,
  quantity: number,
): Promise<{ batchId?: number; quantity: number }[]> {
  const lots = await tx.consignmentLot.findMany({
    where: { lineId: line.id },
    include: { batch: { include: { balances: { where: { binId: wayBinId } } } } },
  })
  lots.sort((a, b) => lotOrder({ ...a.batch, batchId: a.batchId }, { ...b.batch, batchId: b.batchId }))
  const off: { batchId?: number; quantity: number }[] = []
  let left = quantity
  for (const lot of lots) {
    const goes = Math.min(left, lot.quantity - lot.gone, lot.batch.balances[0]?.quantity ?? 0)
    if (goes <= 0) continue
    await tx.consignmentLot.update({
      where: { lineId_batchId: { lineId: line.id, batchId: lot.batchId } },
      data: { gone: { increment: goes } },
    })
    off.push({ batchId: lot.batchId, quantity: goes })
    left -= goes
  }
  return left > 0 ? [...off, { quantity: left }] : off
}
