import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { BIN_KINDS, binKindOf } from '../stock/bin-kind.ts'
import { stillOnTheWay } from '../stock/consignment.ts'
import type {
  ConsignmentArriveInput,
  ConsignmentInput,
  ConsignmentLineInput,
  ConsignmentLineOffInput,
  ConsignmentLostInput,
  ConsignmentPackInput,
} from '../stock/consignment-schema.ts'
import { allocationsRefresh } from './allocation.ts'
import { lotsMove, lotsOut } from './batch-move.ts'
import type { Tx } from './client.ts'
import { lotPack, lotsOffWay, lotsSend } from './consignment-lot.ts'
import { type Placed, partHead } from './ledger.ts'
import { binInUse } from './stock.ts'
import { type WriteContext, write } from './transaction.ts'

/** Begins to pack goods of one store for another. Nothing moves before they are sent. */
export function consignmentPack(
  context: WriteContext,
  input: ConsignmentPackInput,
): Promise<{ consignmentId: number; number: number }> {
  return write(context, 'consignment.pack', input, async (tx) => {
    const stores = await tx.store.count({ where: { id: { in: [input.fromStoreId, input.toStoreId] } } })
    if (stores !== 2) throw new Refusal('stock/unknown-store')
    const last = await tx.consignment.aggregate({ _max: { number: true } })
    const number = (last._max.number ?? 0) + 1
    const made = await tx.consignment.create({
      data: { ...input, number, packedAt: context.now, packedById: context.personId },
    })
    return { consignmentId: made.id, number }
  })
}

async function consignmentOf(tx: Tx, consignmentId: number, state: 'packing' | 'sent') {
  const consignment = await tx.consignment.findUnique({
    where: { id: consignmentId },
    include: { lines: { include: { part: true }, orderBy: { id: 'asc' } }, fromStore: true, toStore: true },
  })
  if (!consignment) throw new Refusal('consignment/unknown')
  if ((consignment.sentAt !== null) !== (state === 'sent'))
    throw new Refusal(consignment.sentAt ? 'consignment/sent' : 'consignment/not-sent', { number: consignment.number })
  return consignment
}

/** Puts a part from a bin into the box; more of the same from the same bin is added. */
export function consignmentLine(context: WriteContext, input: ConsignmentLineInput): Promise<{ quantity: number }> {
  return write(context, 'consignment.line', input, async (tx) => {
    const consignment = await consignmentOf(tx, input.consignmentId, 'packing')
    await partHead(tx, input.partId)
    const bin = await binInUse(tx, input.fromBinId)
    if (bin.storeId !== consignment.fromStoreId)
      throw new Refusal('consignment/other-store', { bin: bin.code, store: consignment.fromStore.name })
    const { consignmentId, partId, fromBinId, quantity, batchId } = input
    const line = await tx.consignmentLine.upsert({
      where: { consignmentId_partId_fromBinId: { consignmentId, partId, fromBinId } },
      create: { consignmentId, partId, fromBinId, quantity },
      update: { quantity: { increment: quantity } },
    })
    if (batchId !== undefined) await lotPack(tx, line, batchId, quantity)
    return { quantity: line.quantity }
  })
}

export function consignmentLineOff(context: WriteContext, input: ConsignmentLineOffInput): Promise<null> {
  return write(context, 'consignment.line-off', input, async (tx) => {
    const line = await tx.consignmentLine.findUnique({ where: { id: input.lineId } })
    if (!line) return null
    await consignmentOf(tx, line.consignmentId, 'packing')
    await tx.consignmentLot.deleteMany({ where: { lineId: line.id } })
    await tx.consignmentLine.delete({ where: { id: line.id } })
    return null
  })
}

/** Gives up packing: nothing had moved. */
export function consignmentDrop(context: WriteContext, input: ConsignmentInput): Promise<null> {
  return write(context, 'consignment.drop', input, async (tx) => {
    const { id } = await consignmentOf(tx, input.consignmentId, 'packing')
    await tx.consignmentLot.deleteMany({ where: { line: { consignmentId: id } } })
    await tx.consignmentLine.deleteMany({ where: { consignmentId: id } })
    await tx.consignment.delete({ where: { id } })
    return null
  })
}

/** The bin of a store for goods that are on their way to it; made when the first are sent. */
async function wayBin(tx: Tx, storeId: number): Promise<number> {
  const there = await tx.bin.findFirst({ where: { storeId, kind: 'on-the-way' } })
  if (there) return there.id
  for (let at = 1; ; at++) {
    const code = at === 1 ? 'On the way' : `On the way ${at}`
    const codeKey = at === 1 ? 'ontheway' : `ontheway${at}`
    // A list may have brought a bin of that name which is something else.
    if (await tx.bin.findUnique({ where: { storeId_codeKey: { storeId, codeKey } } })) continue
    const made = await tx.bin.create({ data: { storeId, code, codeKey, kind: 'on-the-way' } })
    return made.id
  }
}

/**
 * Sends what was packed: from now on it lies in the receiving store's bin for goods on the way, and is free for nobody. What is
 * kept for jobs is not sent away from under them.
 */
export function consignmentSend(context: WriteContext, input: ConsignmentInput): Promise<{ lines: number }> {
  return write(context, 'consignment.send', input, async (tx) => {
    const consignment = await consignmentOf(tx, input.consignmentId, 'packing')
    if (consignment.lines.length === 0) throw new Refusal('consignment/empty', { number: consignment.number })
    const toBinId = await wayBin(tx, consignment.toStoreId)
    let at = 0
    for (const line of consignment.lines) {
      const isFree = BIN_KINDS[binKindOf((await binInUse(tx, line.fromBinId)).kind)].free
      const reason = `consignment ${consignment.number} to ${consignment.toStore.name}`
      at += await lotsSend(tx, context, at, line, { toBinId, isFree, reason })
      await allocationsRefresh(tx, context, line.partId)
    }
    await tx.consignment.update({
      where: { id: consignment.id },
      data: { sentAt: context.now, sentById: context.personId },
    })
    return { lines: consignment.lines.length }
  })
}

function moreThanSent(field: string, open: number, unit: StockUnit, number: string): Refusal {
  const says = quantityFormat(open, unit)
  return new Refusal(
    'consignment/more-than-sent',
    { part: number, open: says },
    { fields: { [field]: `${says} on the way` } },
  )
}

/** What arrived, whole or short, put into bins of the receiving store. What is missing stays on the way. */
export function consignmentArrive(
  context: WriteContext,
  input: ConsignmentArriveInput,
): Promise<{ lines: number; missing: number }> {
  return write(context, 'consignment.arrive', input, async (tx) => {
    const consignment = await consignmentOf(tx, input.consignmentId, 'sent')
    const fromBinId = await wayBin(tx, consignment.toStoreId)
    let at = 0
    for (const { lineId, binId, quantity } of input.lines) {
      const line = consignment.lines.find((one) => one.id === lineId)
      if (!line) throw new Refusal('consignment/unknown')
      const open = stillOnTheWay({ ...line, sent: line.quantity })
      if (quantity > open) throw moreThanSent(`came.${lineId}`, open, line.part.unit as StockUnit, line.part.number)
      const bin = await binInUse(tx, binId)
      if (bin.storeId !== consignment.toStoreId)
        throw new Refusal(
          'consignment/other-store',
          { bin: bin.code, store: consignment.toStore.name },
          { fields: { [`bin.${lineId}`]: `a bin of ${consignment.toStore.name}` } },
        )
      const reason = `consignment ${consignment.number} from ${consignment.fromStore.name}`
      for (const lot of await lotsOffWay(tx, line, fromBinId, quantity)) {
        const move = { partId: line.partId, fromBinId, toBinId: binId, reason, ...lot }
        at += (await lotsMove(tx, context, at, move)).lines
      }
      line.arrived += quantity
      await tx.consignmentLine.update({ where: { id: line.id }, data: { arrived: line.arrived } })
      await allocationsRefresh(tx, context, line.partId)
    }
    const missing = consignment.lines.filter((line) => stillOnTheWay({ ...line, sent: line.quantity }) > 0).length
    return { lines: input.lines.length, missing }
  })
}

/** Says that goods on the way will not arrive any more, and why: they leave the books as scrap. */
export function consignmentLost(context: WriteContext, input: ConsignmentLostInput): Promise<{ movementId: number }> {
  return write(context, 'consignment.lost', input, async (tx) => {
    const found = await tx.consignmentLine.findUnique({ where: { id: input.lineId } })
    if (!found) throw new Refusal('consignment/unknown')
    const consignment = await consignmentOf(tx, found.consignmentId, 'sent')
    const line = consignment.lines.find((one) => one.id === found.id)!
    const open = stillOnTheWay({ ...line, sent: line.quantity })
    if (input.quantity > open) throw moreThanSent('quantity', open, line.part.unit as StockUnit, line.part.number)
    const lost = {
      kind: 'scrap' as const,
      partId: line.partId,
      binId: await wayBin(tx, consignment.toStoreId),
      reason: `lost on the way, consignment ${consignment.number}: ${input.reason}`,
    }
    const movements: Placed[] = []
    for (const { quantity, batchId } of await lotsOffWay(tx, line, lost.binId, input.quantity)) {
      const going = batchId === undefined ? {} : { batchId }
      const out = await lotsOut(tx, context, movements.length, { ...lost, quantity }, { ...going, expired: 'too' })
      movements.push(...out.movements)
    }
    await tx.consignmentLine.update({
      where: { id: line.id },
      data: { lost: { increment: input.quantity }, lostReason: input.reason },
    })
    return { movementId: movements.at(-1)!.movementId }
  })
}
