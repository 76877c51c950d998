import { beforeAll, describe, expect, test } from 'vitest'
import { orderList, orderPlace, orderRead } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import {
  depositBefore,
  depositGiveUp,
  offerDepositSet,
  oldUnitKeep,
  oldUnitMove,
  oldUnitNone,
  oldUnitScrap,
  returnAnswer,
  returnSend,
} from '../../lib/db/deposit.ts'
import { depositsOwed, depositsPressing, oldUnitsInBin, returnNoteRead } from '../../lib/db/deposit-read.ts'
import { unitsAsked } from '../../lib/db/old-unit-asked.ts'
import { partStock } from '../../lib/db/part.ts'
import { binChange, binClose } from '../../lib/db/place.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { stockIssue, stockReceive, stockReverse, stockSetLevel } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { depositsVerify } from '../../lib/db/verify-deposits.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

// Deposits on exchange parts: common practice, no source.
useWorkshop()
let keeper = ''
let shelf = 0
let held = 0
let oldBin = 0
let machine = 0
beforeAll(async () => {
  keeper = await aPerson('Nell Farrow')
  machine = await aMachine('T-7')
  shelf = await aBin('A1-03')
  held = await aBin('Q-1')
  oldBin = await aBin('OLD-1')
  await binChange(asWriter(keeper), { binId: held, code: 'Q-1', kind: 'quarantine', place: 1 })
  await binChange(asWriter(keeper), { binId: oldBin, code: 'OLD-1', kind: 'old-units', place: 2 })
})

let suppliers = 0
const PRICE = 16_800
const DEPOSIT = 6_500

/** An exchange part with a supplier who charges a deposit on it, and an order of some of it. */
async function ordered(quantity: number, returnDays: number | null = 30) {
  const partId = await aPart({ description: 'Starter motor, exchange' })
  suppliers += 1
  const { id: supplierId } = await inTransaction((tx) =>
    tx.supplier.create({
      data: {
        name: `Marlpit ${suppliers}`,
        nameKey: `marlpit ${suppliers}`,
        leadTimeDays: 3,
        offers: { create: { partId, priceMinor: PRICE } },
      },
    }),
  )
  await offerDepositSet(asWriter(keeper), { partId, supplierId, depositMinor: DEPOSIT, returnDays })
  const { orderId } = await orderPlace(asWriter(keeper), { supplierId, lines: [{ partId, quantity }] })
  const [line] = (await orderRead(orderId)).lines
  return { partId, supplierId, orderId, lineId: line!.id }
}

async function received(quantity: number, returnDays: number | null = 30) {
  const order = await ordered(quantity, returnDays)
  const { movements } = await orderReceive(asWriter(keeper), {
    orderId: order.orderId,
    lines: [{ lineId: order.lineId, binId: shelf, quantity }],
  })
  return { ...order, movementId: movements[0]!.movementId }
}

const take = (partId: number, quantity = 1) =>
  stockIssue(asWriter(keeper), { partId, binId: shelf, quantity, machineId: machine })
const keep = (partId: number, more: { machineId?: number; serialNumber?: string } = {}) =>
  oldUnitKeep(asWriter(keeper), { partId, binId: oldBin, serialNumber: '', note: '', ...more })
const owedOn = async (partId: number) => (await depositsOwed('2026-11-02', partId)).owedMinor
const sound = async () => expect(await depositsVerify()).toEqual([])

describe('receiving an exchange part', () => {
  test('opens a deposit on each piece with supplier, order and day due, and none on a part without one', async () => {
    const { partId, supplierId, orderId } = await received(2)
    const [owes] = (await depositsOwed('2026-11-02', partId)).suppliers
    expect(owes).toMatchObject({ id: supplierId, pieces: 2, owedMinor: 2 * DEPOSIT })
    // Received on 2 November, thirty days.
    expect(owes!.deposits.map(({ order, dueOn, unit }) => [order?.id, dueOn, unit])).toEqual([
      [orderId, '2026-12-02', null],
      [orderId, '2026-12-02', null],
    ])
    await sound()
  })

  test('the stock is worth its price, without the deposit; the order has both, apart', async () => {
    const { partId, orderId } = await received(3)
    expect(await database().partValue.findUniqueOrThrow({ where: { partId } })).toMatchObject({
      quantity: 3,
      valueMinor: 3 * PRICE,
    })
    expect(await database().part.findUniqueOrThrow({ where: { id: partId } })).toMatchObject({ costMinor: PRICE })
    expect((await orderRead(orderId)).lines[0]).toMatchObject({
      priceMinor: PRICE,
      depositMinor: DEPOSIT,
      costMinor: 3 * PRICE,
    })
  })

  test('damaged pieces and those too many are charged as well; a deposit changed since the order does not count for it', async () => {
    const { partId, supplierId, orderId, lineId } = await ordered(2)
    await offerDepositSet(asWriter(keeper), { partId, supplierId, depositMinor: 9_900, returnDays: 10 })
    await orderReceive(asWriter(keeper), {
      orderId,
      lines: [{ lineId, binId: shelf, quantity: 2, damaged: 1, damagedBinId: held, keepOver: true }],
    })
    const { suppliers: owed, owedMinor } = await depositsOwed('2026-11-02', partId)
    expect([owed[0]!.pieces, owedMinor]).toEqual([3, 3 * DEPOSIT])
    await sound()
  })

  test('a receipt put right takes its deposits back, and the same key sent twice does so once', async () => {
    const { partId, movementId } = await received(2)
    const context = asWriter(keeper)
    const input = { movementId, reason: 'booked at the wrong order' }
    await stockReverse(context, input)
    await stockReverse(context, input)
    expect(await owedOn(partId)).toBe(0)
    expect(await database().depositEvent.count({ where: { kind: 'reversed', deposit: { partId } } })).toBe(2)
    await sound()
  })

  test('the order list has the deposit beside the price and in no sum of the goods', async () => {
    const { partId } = await received(1)
    await take(partId)
    await stockSetLevel(asWriter(keeper), { partId, reorderPoint: 1, orderUpTo: 3, reason: 'stands without it' })
    const group = (await orderList()).find(({ lines }) => lines.some((line) => line.partId === partId))!
    expect(group.lines[0]).toMatchObject({ quantity: 3, priceMinor: PRICE, depositMinor: DEPOSIT, returnDays: 30 })
    expect([group.goodsMinor, group.depositsMinor]).toEqual([3 * PRICE, 3 * DEPOSIT])
  })
})

describe('the old unit', () => {
  test('is asked for when the part is taken, and no longer once it is kept; the second keeping is refused', async () => {
    const { partId } = await received(2)
    expect(await unitsAsked({ partId })).toEqual([])
    await take(partId)
    expect(await unitsAsked({ partId })).toMatchObject([{ machineId: machine, jobId: null, pieces: 1 }])
    await keep(partId, { machineId: machine, serialNumber: '88-204' })
    expect(await unitsAsked({ partId })).toEqual([])
    await expect(keep(partId, { machineId: machine })).rejects.toMatchObject({ code: 'deposit/not-taken' })
    await sound()
  })

  test('is no stock: not on hand, free for nobody, worth nothing, and only in a bin for old units', async () => {
    const { partId } = await received(1)
    await take(partId)
    await keep(partId, { machineId: machine })
    expect((await partStock(database(), [partId])).get(partId)).toMatchObject({ onHand: 0, available: 0 })
    expect(await database().partValue.findUniqueOrThrow({ where: { partId } })).toMatchObject({ valueMinor: 0 })
    await expect(
      oldUnitKeep(asWriter(keeper), { partId, binId: shelf, serialNumber: '', note: '' }),
    ).rejects.toMatchObject({ code: 'deposit/old-unit-bin' })
    await expect(stockIssue(asWriter(keeper), { partId, binId: oldBin, quantity: 1, reason: 'try' })).rejects.toThrow()
  })

  test('holds its bin open and in its use until it is put elsewhere', async () => {
    const other = await aBin('OLD-9')
    await binChange(asWriter(keeper), { binId: other, code: 'OLD-9', kind: 'old-units', place: 3 })
    const { partId } = await received(1)
    const { unitId } = await keep(partId)
    await oldUnitMove(asWriter(keeper), { unitId, binId: other })
    expect((await oldUnitsInBin(other)).map(({ id }) => id)).toEqual([unitId])
    await expect(binClose(asWriter(keeper), { binId: other })).rejects.toMatchObject({ code: 'stock/bin-not-empty' })
    await expect(
      binChange(asWriter(keeper), { binId: other, code: 'OLD-9', kind: 'shelf', place: 3 }),
    ).rejects.toMatchObject({ code: 'deposit/bin-in-use' })
    await oldUnitMove(asWriter(keeper), { unitId, binId: oldBin })
    await binClose(asWriter(keeper), { binId: other })
    await sound()
  })

  test('that is not there is asked for no longer, and its deposit is lost with the reason', async () => {
    const { partId } = await received(1)
    await take(partId)
    const input = { partId, machineId: machine, reason: 'first fitted, there was none' }
    await expect(oldUnitNone(asWriter(keeper), { partId, reason: 'of no machine' })).rejects.toMatchObject({
      code: 'deposit/not-taken',
    })
    expect(await oldUnitNone(asWriter(keeper), input)).toEqual({ lostMinor: DEPOSIT })
    expect(await unitsAsked({ partId })).toEqual([])
    expect(await owedOn(partId)).toBe(0)
    await sound()
  })

  test('that is scrapped loses its deposit, once, whatever the network does', async () => {
    const { partId } = await received(1)
    const { unitId } = await keep(partId)
    const context = asWriter(keeper)
    const input = { unitId, reason: 'housing burst' }
    expect(await oldUnitScrap(context, input)).toEqual({ lostMinor: DEPOSIT })
    expect(await oldUnitScrap(context, input)).toEqual({ lostMinor: DEPOSIT })
    await expect(oldUnitScrap(asWriter(keeper), input)).rejects.toMatchObject({ code: 'deposit/unit-not-there' })
    expect(await database().depositEvent.count({ where: { kind: 'lost', deposit: { partId } } })).toBe(1)
    await sound()
  })
})

describe('sending back', () => {
  test('a note takes old units back for the deposits due first; credited in part, the rest is lost with the reason', async () => {
    const { partId, supplierId } = await received(2)
    const [one, two] = [await keep(partId, { serialNumber: 'A-1' }), await keep(partId, { serialNumber: 'A-2' })]
    const { noteId, number } = await returnSend(asWriter(keeper), {
      supplierId,
      unitIds: [one.unitId, two.unitId],
      words: 'own van',
    })
    const note = await returnNoteRead(noteId)
    expect(note).toMatchObject({ number, words: 'own van' })
    expect(note.units.map((unit) => [unit.serialNumber, unit.depositMinor, unit.state])).toEqual([
      ['A-1', DEPOSIT, 'sent'],
      ['A-2', DEPOSIT, 'sent'],
    ])
    expect((await depositsOwed('2026-11-02', partId)).suppliers[0]).toMatchObject({ sentMinor: 2 * DEPOSIT })
    const answer = { unitId: one.unitId, creditedMinor: 5_000, state: 'accepted' as const }
    await expect(returnAnswer(asWriter(keeper), { ...answer, reason: '' })).rejects.toMatchObject({
      code: 'deposit/no-reason',
    })
    expect(await owedOn(partId)).toBe(2 * DEPOSIT)
    const context = asWriter(keeper)
    await returnAnswer(context, { ...answer, reason: 'flange cracked' })
    await returnAnswer(context, { ...answer, reason: 'flange cracked' })
    expect(await owedOn(partId)).toBe(DEPOSIT)
    await returnAnswer(asWriter(keeper), { unitId: two.unitId, creditedMinor: DEPOSIT, state: 'accepted', reason: '' })
    expect((await returnNoteRead(noteId)).units.map((unit) => [unit.creditedMinor, unit.lostMinor])).toEqual([
      [5_000, 1_500],
      [DEPOSIT, 0],
    ])
    await sound()
  })

  test('notes are numbered without a gap, a refused sending leaves none', async () => {
    const { partId, supplierId } = await received(1)
    const { unitId } = await keep(partId)
    const other = await received(1)
    const send = (to: number) => returnSend(asWriter(keeper), { supplierId: to, unitIds: [unitId], words: '' })
    const before = await database().returnNote.count()
    await expect(send(other.supplierId)).rejects.toMatchObject({ code: 'deposit/none-open' })
    expect(await send(supplierId)).toMatchObject({ number: before + 1 })
    await expect(send(supplierId)).rejects.toMatchObject({ code: 'deposit/unit-not-there' })
    expect(await database().returnNote.count()).toBe(before + 1)
    await sound()
  })

  test('a receipt cannot be reversed once an old unit went back for it', async () => {
    const { partId, supplierId, movementId } = await received(1)
    const { unitId } = await keep(partId)
    await returnSend(asWriter(keeper), { supplierId, unitIds: [unitId], words: '' })
    await expect(stockReverse(asWriter(keeper), { movementId, reason: 'wrong order' })).rejects.toMatchObject({
      code: 'deposit/went-back',
    })
    await sound()
  })

  test('a part that goes back unused has its deposit credited without an old unit', async () => {
    const { partId } = await received(1)
    const { id: depositId } = await database().deposit.findFirstOrThrow({ where: { partId } })
    const input = { depositId, creditedMinor: DEPOSIT, reason: 'sent back unused' }
    expect(await depositGiveUp(asWriter(keeper), input)).toEqual({ lostMinor: 0 })
    await expect(depositGiveUp(asWriter(keeper), input)).rejects.toMatchObject({ code: 'deposit/settled' })
    await sound()
  })
})

test('what falls due within fourteen days presses, what went back does not; a deposit paid before counts as well', async () => {
  const before = await depositsPressing('2026-11-20')
  const { partId, supplierId } = await received(1, 20)
  await depositBefore(asWriter(keeper), { partId, supplierId, amountMinor: 4_200, dueOn: '2026-11-10' })
  const now = await depositsPressing('2026-11-20')
  expect([now.overdue - before.overdue, now.soon - before.soon]).toEqual([1, 1])
  const { unitId } = await keep(partId)
  await returnSend(asWriter(keeper), { supplierId, unitIds: [unitId], words: '' })
  const after = await depositsPressing('2026-11-20')
  expect([after.overdue - before.overdue, after.soon - before.soon]).toEqual([0, 1])
})

test('a deposit belongs to pieces: oil by the litre has none', async () => {
  const partId = await aPart({ unit: 'litre' })
  const { supplierId } = await ordered(1)
  await expect(
    offerDepositSet(asWriter(keeper), { partId, supplierId, depositMinor: 100, returnDays: null }),
  ).rejects.toMatchObject({ code: 'deposit/by-the-piece' })
})

describe('an exchange part received without an order', () => {
  test('opens the deposit that was charged on each piece, due as the offer says, and a reversal takes it back', async () => {
    const { partId, supplierId } = await ordered(1)
    const came = { partId, binId: shelf, quantity: 2, depositSupplierId: supplierId, depositMinor: 7_000 }
    const { movementId } = await stockReceive(asWriter(keeper), came)
    const open = await database().deposit.findMany({ where: { movementId } })
    expect(open.map((one) => [one.amountMinor, one.owedMinor, one.orderLineId, one.dueOn])).toEqual([
      [7_000, 7_000, null, '2026-12-02'],
      [7_000, 7_000, null, '2026-12-02'],
    ])
    expect(await depositsVerify()).toEqual([])
    await stockReverse(asWriter(keeper), { movementId, reason: 'counted twice' })
    expect((await database().deposit.findMany({ where: { movementId } })).map((one) => one.owedMinor)).toEqual([0, 0])
    expect(await depositsVerify()).toEqual([])
  })

  test('opens none where none was charged, and is refused of a supplier who does not sell it', async () => {
    const { partId } = await ordered(1)
    const other = await ordered(1)
    const came = { partId, binId: shelf, quantity: 1 }
    const { movementId } = await stockReceive(asWriter(keeper), came)
    expect(await database().deposit.count({ where: { movementId } })).toBe(0)
    const wrong = { ...came, depositSupplierId: other.supplierId, depositMinor: 7_000 }
    await expect(stockReceive(asWriter(keeper), wrong)).rejects.toMatchObject({ code: 'deposit/no-offer' })
  })
})
