import {
  type DepositAct,
  type DepositBook,
  type DepositStep,
  dayAfter,
  depositAct,
  type UnitState,
} from '../deposit/deposit.ts'
import { must } from '../must.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import type { WriteContext } from './transaction.ts'

interface Opening {
  partId: number
  supplierId: number
  orderLineId: number | null
  movementId: number | null
  amountMinor: number
  dueOn: string | null
}

/** Opens one deposit: from now on it is owed. */
export async function depositOpen(tx: Tx, context: WriteContext, opening: Opening): Promise<number> {
  const { now: at, personId } = context
  const amountMinor = opening.amountMinor
  const { id } = await tx.deposit.create({ data: { ...opening, owedMinor: amountMinor, openedAt: at } })
  await tx.depositEvent.create({ data: { depositId: id, kind: 'owed', amountMinor, at, personId } })
  return id
}

/** What came of an exchange part: from now on the supplier owes the deposit on each piece, in the receipt's own transaction. */
export async function depositsOpen(
  tx: Tx,
  context: WriteContext,
  line: {
    id: number | null
    partId: number
    supplierId: number
    depositMinor: number | null
    returnDays: number | null
  },
  came: { movementId: number; quantity: number },
): Promise<void> {
  const { depositMinor: amountMinor, returnDays } = line
  if (amountMinor === null || amountMinor === 0) return
  const dueOn = returnDays === null ? null : dayAfter(context.now.toISOString().slice(0, 10), returnDays)
  const { partId, supplierId, id: orderLineId } = line
  for (let piece = 0; piece < came.quantity; piece++)
    await depositOpen(tx, context, {
      partId,
      supplierId,
      orderLineId,
      movementId: came.movementId,
      amountMinor,
      dueOn,
    })
}

/**
 * The same for what came without an order: the deposit as it was charged, within the days that the supplier's offer gives.
 * Refuses with 'deposit/by-the-piece' and 'deposit/no-offer'.
 */
export async function depositsUnordered(
  tx: Tx,
  context: WriteContext,
  charged: { partId: number; supplierId: number; depositMinor: number },
  came: { movementId: number; quantity: number },
): Promise<void> {
  const { partId, supplierId } = charged
  const offer = await tx.offer.findFirst({ where: { partId, supplierId }, include: { part: true } })
  if (!offer) throw new Refusal('deposit/no-offer', {}, { fields: { depositSupplierId: 'does not sell this part' } })
  if (offer.part.unit !== 'each') throw new Refusal('deposit/by-the-piece', { part: offer.part.number })
  await depositsOpen(tx, context, { id: null, ...charged, returnDays: offer.returnDays }, came)
}

/** The deposits and old units of a part that are not through yet, and what still stands between them. */
async function bookOf(tx: Tx, partId: number): Promise<DepositBook> {
  const deposits = await tx.deposit.findMany({
    where: { partId, owedMinor: { gt: 0 } },
    include: { oldUnit: { select: { id: true } } },
  })
  const units = await tx.oldUnit.findMany({ where: { partId, state: { in: ['kept', 'sent'] } } })
  return {
    deposits: deposits.map(({ oldUnit, ...deposit }) => ({ ...deposit, unitId: oldUnit?.id ?? null })),
    units: units.map(({ id, state, depositId }) => ({ id, partId, state: state as UnitState, depositId })),
  }
}

/** Does an act on the books of its part and keeps what it changed, with the lines that say so. */
export async function depositDo(
  tx: Tx,
  context: WriteContext,
  partId: number,
  act: DepositAct,
  words: string | null,
): Promise<DepositStep> {
  const { now: at, personId } = context
  const step = depositAct(await bookOf(tx, partId), act)
  for (const { id, state, depositId } of step.units) {
    // A unit that is no longer here is in no bin.
    await tx.oldUnit.update({ where: { id }, data: { state, depositId, binId: null } })
    await tx.depositEvent.create({ data: { unitId: id, kind: state, amountMinor: 0, words, at, personId } })
  }
  for (const { id, owedMinor } of step.deposits) {
    must(owedMinor >= 0, `deposit ${id} is never owed less than nothing`)
    await tx.deposit.update({ where: { id }, data: { owedMinor } })
  }
  for (const line of step.lines) await tx.depositEvent.create({ data: { ...line, words, at, personId } })
  return step
}

/** What a step lost, money minor units. */
export const lostOf = (step: DepositStep) =>
  0 - step.lines.filter((line) => line.kind === 'lost').reduce((sum, line) => sum + line.amountMinor, 0)

/** The receipt was put right: its deposits are no longer owed. Refuses where an old unit went back for one of them. */
export async function depositsReverse(tx: Tx, context: WriteContext, movementId: number): Promise<void> {
  const deposits = await tx.deposit.findMany({ where: { movementId }, orderBy: { id: 'asc' } })
  for (const { id, partId } of deposits)
    await depositDo(tx, context, partId, { act: 'reverse', depositId: id }, 'receipt reversed')
}
