import type {
  DepositBeforeInput,
  DepositGiveUpInput,
  OfferDepositInput,
  ReturnAnswerInput,
  ReturnSendInput,
  UnitKeepInput,
  UnitMoveInput,
  UnitNoneInput,
  UnitScrapInput,
} from '../deposit/schema.ts'
import { isRefusal, Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { depositDo, depositOpen, lostOf } from './deposit-book.ts'
import { partHead } from './ledger.ts'
import { unitsAsked } from './old-unit-asked.ts'
import { binInUse } from './stock.ts'
import { type WriteContext, write } from './transaction.ts'

/** What one supplier asks as deposit on a part; null makes it no exchange part of theirs. Orders that stand keep theirs. */
export function offerDepositSet(context: WriteContext, input: OfferDepositInput): Promise<null> {
  return write(context, 'deposit.offer', input, async (tx) => {
    const { partId, supplierId, depositMinor, returnDays } = input
    const part = await partHead(tx, partId)
    if (depositMinor !== null && part.unit !== 'each') throw new Refusal('deposit/by-the-piece', { part: part.number })
    const { count } = await tx.offer.updateMany({ where: { supplierId, partId }, data: { depositMinor, returnDays } })
    if (count === 0) throw new Refusal('deposit/no-offer')
    return null
  })
}

/** A deposit that was paid before its order stood here. */
export function depositBefore(context: WriteContext, input: DepositBeforeInput): Promise<{ depositId: number }> {
  return write(context, 'deposit.before', input, async (tx) => {
    const { partId, supplierId, amountMinor, dueOn } = input
    const part = await partHead(tx, partId)
    if (part.unit !== 'each') throw new Refusal('deposit/by-the-piece', { part: part.number })
    if ((await tx.offer.count({ where: { partId, supplierId } })) === 0) throw new Refusal('deposit/no-offer')
    const opening = { partId, supplierId, amountMinor, dueOn: dueOn === '' ? null : dueOn }
    return { depositId: await depositOpen(tx, context, { ...opening, orderLineId: null, movementId: null }) }
  })
}

async function oldUnitBin(tx: Tx, binId: number): Promise<void> {
  const bin = await binInUse(tx, binId)
  if (bin.kind !== 'old-units')
    throw new Refusal('deposit/old-unit-bin', {}, { fields: { binId: 'choose a bin for old units' } })
  if (bin.closedAt !== null) throw new Refusal('stock/bin-closed', { bin: bin.code }, { fields: { binId: 'closed' } })
}

type Off = Pick<UnitKeepInput, 'partId' | 'jobId' | 'machineId'>

/** One that is asked for is kept once; of a job or machine that took none, or whose old ones are all kept, there is none. */
async function askedCheck(tx: Tx, { partId, jobId, machineId }: Off): Promise<number | null> {
  const part = await partHead(tx, partId)
  if (part.unit !== 'each') throw new Refusal('deposit/by-the-piece', { part: part.number })
  if (jobId === undefined && machineId === undefined) return null
  const asked = (await unitsAsked({ partId }, tx)).find((one) =>
    jobId === undefined ? one.jobId === null && one.machineId === machineId : one.jobId === jobId,
  )
  if (!asked) throw new Refusal('deposit/not-taken', { part: part.number })
  return asked.machineId
}

async function unitMake(
  tx: Tx,
  context: WriteContext,
  off: Off,
  more: { binId: number | null; serialNumber: string | null; note: string | null },
): Promise<number> {
  const machineId = await askedCheck(tx, off)
  const { now: at, personId } = context
  const { id } = await tx.oldUnit.create({
    data: { partId: off.partId, jobId: off.jobId ?? null, machineId, ...more, state: 'kept', keptAt: at, personId },
  })
  await tx.depositEvent.create({ data: { unitId: id, kind: 'kept', amountMinor: 0, at, personId } })
  return id
}

/** Puts the old unit that came off into a bin for old units. It is no stock: nothing of it is on hand, free or worth anything. */
export function oldUnitKeep(context: WriteContext, input: UnitKeepInput): Promise<{ unitId: number; bin: string }> {
  return write(context, 'deposit.keep', input, async (tx) => {
    await oldUnitBin(tx, input.binId)
    const { binId, serialNumber, note, ...off } = input
    const bin = await tx.bin.findUniqueOrThrow({ where: { id: binId } })
    const more = { binId, serialNumber: serialNumber || null, note: note || null }
    return { unitId: await unitMake(tx, context, off, more), bin: bin.code }
  })
}

/** There is no old unit: it is asked for no longer, and the deposit is lost unless a spare one can go back. */
export function oldUnitNone(context: WriteContext, input: UnitNoneInput): Promise<{ lostMinor: number }> {
  return write(context, 'deposit.none', input, async (tx) => {
    const { reason, ...off } = input
    // Only where one is asked for can one be missing.
    if (off.jobId === undefined && off.machineId === undefined)
      throw new Refusal('deposit/not-taken', { part: (await partHead(tx, off.partId)).number })
    const unitId = await unitMake(tx, context, off, { binId: null, serialNumber: null, note: reason })
    const step = await depositDo(tx, context, off.partId, { act: 'discard', unitId, state: 'none' }, reason)
    return { lostMinor: lostOf(step) }
  })
}

async function unitOf(tx: Tx, unitId: number) {
  const unit = await tx.oldUnit.findUnique({ where: { id: unitId }, include: { part: true } })
  if (!unit) throw new Refusal('deposit/unit-not-there', { state: 'there' })
  return unit
}

export function oldUnitMove(context: WriteContext, input: UnitMoveInput): Promise<{ bin: string }> {
  return write(context, 'deposit.move', input, async (tx) => {
    const unit = await unitOf(tx, input.unitId)
    if (unit.state !== 'kept') throw new Refusal('deposit/unit-not-there', { state: 'kept' })
    await oldUnitBin(tx, input.binId)
    const bin = await tx.bin.findUniqueOrThrow({ where: { id: input.binId } })
    await tx.oldUnit.update({ where: { id: unit.id }, data: { binId: bin.id } })
    const { now: at, personId } = context
    const words = `to ${bin.code}`
    await tx.depositEvent.create({ data: { unitId: unit.id, kind: 'moved', amountMinor: 0, words, at, personId } })
    return { bin: bin.code }
  })
}

/** The old unit goes back to nobody. The deposit is lost unless a spare one of the same part can go back for it. */
export function oldUnitScrap(context: WriteContext, input: UnitScrapInput): Promise<{ lostMinor: number }> {
  return write(context, 'deposit.scrap', input, async (tx) => {
    const { id: unitId, partId } = await unitOf(tx, input.unitId)
    const step = await depositDo(tx, context, partId, { act: 'discard', unitId, state: 'scrapped' }, input.reason)
    return { lostMinor: lostOf(step) }
  })
}

/** Old units go back to a supplier together, on one note; each for the deposit of its part there that is due first. */
export function returnSend(context: WriteContext, input: ReturnSendInput): Promise<{ noteId: number; number: number }> {
  return write(context, 'deposit.send', input, async (tx) => {
    const { supplierId, unitIds, words } = input
    const last = await tx.returnNote.aggregate({ _max: { number: true } })
    const number = (last._max.number ?? 0) + 1
    const note = await tx.returnNote.create({
      data: { number, supplierId, sentAt: context.now, personId: context.personId, words: words || null },
    })
    for (const unitId of [...new Set(unitIds)]) {
      const { partId, part } = await unitOf(tx, unitId)
      const said = `return note ${number}`
      await depositDo(tx, context, partId, { act: 'send', unitId, supplierId }, said).catch((error: unknown) => {
        if (isRefusal(error) && error.code === 'deposit/none-open')
          throw new Refusal('deposit/none-open', { part: part.number })
        throw error
      })
      await tx.oldUnit.update({ where: { id: unitId }, data: { returnNoteId: note.id } })
    }
    return { noteId: note.id, number }
  })
}

/** What the supplier made of an old unit; what of its deposit is not credited is lost, with the reason. */
export function returnAnswer(context: WriteContext, input: ReturnAnswerInput): Promise<{ lostMinor: number }> {
  return write(context, 'deposit.answer', input, async (tx) => {
    const { unitId, state, creditedMinor, reason } = input
    const { partId } = await unitOf(tx, unitId)
    const act = { act: 'answer' as const, unitId, creditedMinor, state }
    const step = await depositDo(tx, context, partId, act, reason || null)
    const lostMinor = lostOf(step)
    if ((lostMinor > 0 || state !== 'accepted') && reason.length < 3)
      throw new Refusal('deposit/no-reason', {}, { fields: { reason: 'say why' } })
    return { lostMinor }
  })
}

/** No old unit will go back for a deposit: what the supplier credits all the same, the rest is lost. */
export function depositGiveUp(context: WriteContext, input: DepositGiveUpInput): Promise<{ lostMinor: number }> {
  return write(context, 'deposit.give-up', input, async (tx) => {
    const { depositId, creditedMinor, reason } = input
    const deposit = await tx.deposit.findUnique({ where: { id: depositId } })
    if (!deposit) throw new Refusal('deposit/settled')
    const act = { act: 'give-up' as const, depositId, creditedMinor }
    return { lostMinor: lostOf(await depositDo(tx, context, deposit.partId, act, reason)) }
  })
}
