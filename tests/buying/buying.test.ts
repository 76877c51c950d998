import { beforeAll, describe, expect, test } from 'vitest'
import { ORDER_COLUMNS, orderCsv, orderListCsv } from '../../lib/buying/order-text.ts'
import { OrderPlaceForm, OrderReceiveForm } from '../../lib/buying/schema.ts'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import {
  type OrderListLine,
  orderCancelRest,
  orderList,
  orderPlace,
  orderRead,
  orderReasons,
  ordersList,
} from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { partCard, partStock, supersessionEnter } from '../../lib/db/part.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { stockIssue, stockReceive, stockReverse, stockSetLevel } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { workshopName } from '../../lib/db/workshop.ts'
import type { StockUnit } from '../../lib/measure/quantity.ts'
import { aBin, aMachine, aPart, aPerson, type PartWish } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { formAsRead } from './form-as-read.ts'

useWorkshop()

let buyer: string
let bin: number
let otherBin: number
let factors: number

beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
  bin = await aBin('C-1')
  otherBin = await aBin('C-2')
  factors = await aSupplier('Marlpit Farm Factors')
})

function aSupplier(name: string, more: { minimumOrderMinor?: number } = {}): Promise<number> {
  return inTransaction(async (tx) => {
    const supplier = await tx.supplier.create({
      data: {
        name,
        nameKey: nameKey(name),
        leadTimeDays: 3,
        carriageMinor: 850,
        carriagePaidFromMinor: 15_000,
        ...more,
      },
    })
    return supplier.id
  })
}

interface Stocked extends PartWish {
  onHand?: number
  level?: { reorderPoint: number; orderUpTo: number }
  offer?: { priceMinor: number; pack?: number; minimum?: number; supplierNumber?: string; supplierId?: number } | null
}

/** A part with what lies in bin C-1, its level, and its offer by the factors. */
async function aStockedPart({ onHand = 0, level, offer = { priceMinor: 250 }, ...wish }: Stocked): Promise<number> {
  const partId = await aPart(wish)
  if (onHand > 0) await stockReceive(asWriter(buyer), { partId, binId: bin, quantity: onHand })
  if (level) await stockSetLevel(asWriter(buyer), { partId, ...level, reason: 'set for the test' })
  if (offer) await inTransaction((tx) => tx.offer.create({ data: { supplierId: factors, partId, ...offer } }))
  return partId
}

async function listed(partId: number): Promise<(OrderListLine & { supplier: string | null }) | undefined> {
  const groups = await orderList()
  return groups
    .flatMap((group) => group.lines.map((line) => ({ ...line, supplier: group.supplier?.name ?? null })))
    .find((line) => line.partId === partId)
}

const stockOf = async (partId: number) => (await partStock(database(), [partId])).get(partId)!

async function anOrder(partId: number, quantity: number): Promise<{ orderId: number; lineId: number }> {
  const { orderId } = await orderPlace(asWriter(buyer), { supplierId: factors, lines: [{ partId, quantity }] })
  return { orderId, lineId: (await orderRead(orderId)).lines[0]!.id }
}

describe('from the order list to the shelf', () => {
  test('what is ordered is on order, comes in part and in whole, and the order is then received', async () => {
    const partId = await aStockedPart({
      number: 'TP-4410',
      onHand: 2,
      level: { reorderPoint: 4, orderUpTo: 11 },
      offer: { priceMinor: 1234, pack: 5, minimum: 10, supplierNumber: 'MFF/882' },
    })
    expect(await listed(partId)).toMatchObject({
      supplier: 'Marlpit Farm Factors',
      need: 9,
      quantity: 10,
      costMinor: 12_340,
      supplierNumber: 'MFF/882',
      reason: '2 left, reorder point 4',
    })

    const place = formAsRead(OrderPlaceForm, [
      ['supplierId', String(factors)],
      ['chosen', String(partId)],
      [`quantity.${partId}.each`, '10'],
    ])
    const { orderId, number } = await orderPlace(asWriter(buyer), place)
    expect(await listed(partId)).toBeUndefined()
    expect(await stockOf(partId)).toMatchObject({ onHand: 2, onOrder: 10 })
    const order = await orderRead(orderId)
    // Ordered on 2 November with three days of lead time.
    expect(order).toMatchObject({ number, state: 'ordered', dueOn: '2026-11-05' })
    expect(order.lines).toMatchObject([{ quantity: 10, due: 10, priceMinor: 1234, binId: bin }])

    const lineId = order.lines[0]!.id
    const part = formAsRead(OrderReceiveForm, [
      ['orderId', String(orderId)],
      [`receive.${lineId}.each`, '4'],
      [`bin.${lineId}`, String(otherBin)],
    ])
    expect((await orderReceive(asWriter(buyer), part)).done).toBe(false)
    expect(await stockOf(partId)).toMatchObject({ onHand: 6, onOrder: 6 })
    expect((await orderRead(orderId)).state).toBe('ordered')
    expect((await ordersList()).find((one) => one.id === orderId)).toMatchObject({ partReceived: true, linesDue: 1 })

    const rest = { orderId, lines: [{ lineId, binId: bin, quantity: 6 }] }
    expect((await orderReceive(asWriter(buyer), rest)).done).toBe(true)
    expect(await stockOf(partId)).toMatchObject({ onHand: 12, onOrder: 0 })
    expect((await orderRead(orderId)).state).toBe('received')
    const card = await partCard(partId)
    expect(card.bins.map(({ bin: code, quantity }) => [code, quantity]).sort()).toEqual([
      ['C-1', 8],
      ['C-2', 4],
    ])
  })

  test('the same form sent twice is one order', async () => {
    const partId = await aStockedPart({ level: { reorderPoint: 1, orderUpTo: 3 } })
    const writer = asWriter(buyer)
    const input = { supplierId: factors, lines: [{ partId, quantity: 3 }] }
    const first = await orderPlace(writer, input)
    expect(await orderPlace(writer, input)).toEqual(first)
    expect((await stockOf(partId)).onOrder).toBe(3)
  })

  test('more than is due on a line is refused, and nothing of the delivery is booked', async () => {
    const partId = await aStockedPart({})
    const second = await aStockedPart({})
    const { orderId } = await orderPlace(asWriter(buyer), {
      supplierId: factors,
      lines: [
        { partId, quantity: 5 },
        { partId: second, quantity: 7 },
      ],
    })
    const [one, two] = (await orderRead(orderId)).lines
    const delivery = (more: number) => ({
      orderId,
      lines: [
        { lineId: one!.id, binId: bin, quantity: 5 },
        { lineId: two!.id, binId: bin, quantity: 7 + more },
      ],
    })
    await expect(orderReceive(asWriter(buyer), delivery(1))).rejects.toMatchObject({
      code: 'buying/over-receipt',
      happened: expect.stringContaining('7 still due on this line, 8 entered'),
    })
    expect(await stockOf(partId)).toMatchObject({ onHand: 0, onOrder: 5 })
    expect((await orderReceive(asWriter(buyer), delivery(0))).done).toBe(true)
  })

  test('a receipt that is put right is due again, even on an order that was done', async () => {
    const partId = await aStockedPart({})
    const { orderId, lineId } = await anOrder(partId, 6)
    const { movements, done } = await orderReceive(asWriter(buyer), {
      orderId,
      lines: [{ lineId, binId: bin, quantity: 6 }],
    })
    expect(done).toBe(true)
    await stockReverse(asWriter(buyer), { movementId: movements[0]!.movementId, reason: 'was the box next to it' })
    expect(await orderRead(orderId)).toMatchObject({ state: 'ordered', lines: [{ received: 0, due: 6 }] })
    expect(await stockOf(partId)).toMatchObject({ onHand: 0, onOrder: 6 })
  })

  test('cancelling the rest keeps what came, and what is still needed comes back onto the list', async () => {
    const partId = await aStockedPart({ level: { reorderPoint: 4, orderUpTo: 9 } })
    const { orderId, lineId } = await anOrder(partId, 9)
    await orderReceive(asWriter(buyer), { orderId, lines: [{ lineId, binId: bin, quantity: 3 }] })
    expect(await listed(partId)).toBeUndefined()
    await orderCancelRest(asWriter(buyer), { orderId })
    expect(await orderRead(orderId)).toMatchObject({
      state: 'received',
      lines: [{ received: 3, cancelled: 6, due: 0 }],
    })
    expect(await listed(partId)).toMatchObject({ need: 6, reason: '3 left, reorder point 4' })
  })

  test('an order of which nothing came is cancelled as a whole', async () => {
    const { orderId } = await anOrder(await aStockedPart({}), 2)
    await orderCancelRest(asWriter(buyer), { orderId })
    expect((await orderRead(orderId)).state).toBe('cancelled')
  })

  test('an open order stays on the list of orders, however many were done since', async () => {
    const partId = await aStockedPart({})
    const open = await anOrder(partId, 1)
    for (let later = 0; later < 3; later++)
      await orderCancelRest(asWriter(buyer), { orderId: (await anOrder(partId, 1)).orderId })
    const orders = await ordersList(2)
    expect(orders.find((one) => one.id === open.orderId)).toMatchObject({ state: 'ordered', duePartIds: [partId] })
    expect(orders.filter((one) => one.state !== 'ordered')).toHaveLength(2)
  })

  test('why a line was ordered is kept with it', async () => {
    const partId = await aStockedPart({
      onHand: 2,
      level: { reorderPoint: 3, orderUpTo: 6 },
      offer: { priceMinor: 99, pack: 4 },
    })
    const { orderId } = await orderPlace(
      asWriter(buyer),
      { supplierId: factors, lines: [{ partId, quantity: 4 }] },
      await orderReasons(),
    )
    expect((await orderRead(orderId)).lines).toMatchObject([{ reason: '2 left, reorder point 3', pack: 4 }])
  })

  test('the line that is wrong is marked', async () => {
    const partId = await aStockedPart({ unit: 'litre', offer: { priceMinor: 412, pack: 5000, minimum: 5000 } })
    const entered = (quantity: number, times = 1) =>
      orderPlace(asWriter(buyer), { supplierId: factors, lines: Array(times).fill({ partId, quantity }) })
    await expect(entered(7500)).rejects.toMatchObject({
      code: 'input/invalid',
      fields: { [`quantity.${partId}.litre`]: 'sold in packs of 5 l, at least 5 l' },
    })
    await expect(entered(5000, 2)).rejects.toMatchObject({ code: 'input/invalid' })
    const { orderId, lineId } = await anOrder(partId, 10_000)
    await expect(
      orderReceive(asWriter(buyer), { orderId, lines: [{ lineId, binId: bin, quantity: 10_001 }] }),
    ).rejects.toMatchObject({ code: 'buying/over-receipt', fields: { [`receive.${lineId}.litre`]: '10 l due' } })
  })

  test('a broken pack, a stranger’s part and an empty order are refused', async () => {
    const packed = await aStockedPart({ number: 'TP-77', offer: { priceMinor: 90, pack: 4, minimum: 8 } })
    const place = (partId: number, quantity: number) =>
      orderPlace(asWriter(buyer), { supplierId: factors, lines: [{ partId, quantity }] })
    await expect(place(packed, 9)).rejects.toMatchObject({
      code: 'input/invalid',
      happened: expect.stringContaining('TP-77 is sold in packs of 4, at least 8; 9 entered'),
    })
    await expect(place(packed, 4)).rejects.toMatchObject({ code: 'input/invalid' })
    await expect(place(await aStockedPart({ offer: null }), 1)).rejects.toMatchObject({ code: 'buying/no-offer' })
    await expect(place(packed, 0)).rejects.toMatchObject({ code: 'buying/nothing-chosen' })
    await expect(orderRead(999_999)).rejects.toMatchObject({ code: 'buying/no-such-order', status: 404 })
  })
})

describe('what the order list asks for', () => {
  test('a superseded part is ordered as the one that replaces it, two for one', async () => {
    const old = await aStockedPart({
      number: 'OLD-5',
      onHand: 1,
      level: { reorderPoint: 2, orderUpTo: 4 },
      offer: null,
    })
    const successor = await aStockedPart({ number: 'NEW-6', offer: { priceMinor: 400 } })
    await supersessionEnter(asWriter(buyer), { oldPartId: old, newPartId: successor, ratio: 2, interchange: 'one-way' })
    expect(await listed(old)).toBeUndefined()
    // One old on the shelf does the work of two new; wanted up to four old, which is eight new.
    expect(await listed(successor)).toMatchObject({
      need: 6,
      quantity: 6,
      costMinor: 2400,
      reason: '2 left, reorder point 4, replaces OLD-5',
    })
  })

  test('old ones that fit as well as the new are used up before the new one is bought', async () => {
    const old = await aStockedPart({ number: 'OLD-7', onHand: 5, offer: null })
    const successor = await aStockedPart({ number: 'NEW-8', level: { reorderPoint: 4, orderUpTo: 9 } })
    expect(await listed(successor)).toMatchObject({ need: 9, reason: 'none left, reorder point 4' })
    await supersessionEnter(asWriter(buyer), {
      oldPartId: old,
      newPartId: successor,
      ratio: 1,
      interchange: 'both-ways',
    })
    expect(await listed(successor)).toBeUndefined()
    await stockIssue(asWriter(buyer), { partId: old, binId: bin, quantity: 1, reason: 'yard gate' })
    expect(await listed(successor)).toMatchObject({ need: 5, reason: '4 left, reorder point 4, replaces OLD-7' })
  })

  test('old ones that do not fit for the new are left out of the count', async () => {
    const old = await aStockedPart({ number: 'OLD-9', onHand: 5, offer: null })
    const successor = await aStockedPart({ number: 'NEW-10', level: { reorderPoint: 1, orderUpTo: 3 } })
    await supersessionEnter(asWriter(buyer), { oldPartId: old, newPartId: successor, ratio: 1, interchange: 'one-way' })
    expect(await listed(successor)).toMatchObject({ need: 3, reason: 'none left, reorder point 1' })
  })

  test('a part that a job is short of is listed without a level, and names the job', async () => {
    const partId = await aStockedPart({ onHand: 1 })
    const machineId = await aMachine()
    const { jobId, number } = await jobOpen(asWriter(buyer), {
      machineId,
      complaint: 'brake drags on the left',
      kind: 'repair',
      hours: null,
      unsafe: false,
      positions: [],
    })
    expect(await listed(partId)).toBeUndefined()
    await needAdd(asWriter(buyer), { jobId, partId, quantity: 3 })
    expect(await listed(partId)).toMatchObject({ need: 2, reason: `1 left, 3 wanted for job ${number}` })
    await needAdd(asWriter(buyer), { jobId, partId: await aStockedPart({ onHand: 5 }), quantity: 5 })
    expect(
      (await orderList()).flatMap((group) => group.lines).filter((line) => line.reason.includes(`job ${number}`)),
    ).toHaveLength(1)
  })

  test('a part nobody sells is listed without a supplier', async () => {
    const partId = await aStockedPart({ level: { reorderPoint: 0, orderUpTo: 5 }, offer: null })
    expect(await listed(partId)).toMatchObject({ supplier: null, need: 5, quantity: 5 })
  })

  test('a part is listed at its reorder point and not one piece above', async () => {
    const partId = await aStockedPart({ onHand: 5, level: { reorderPoint: 4, orderUpTo: 8 } })
    expect(await listed(partId)).toBeUndefined()
    await stockIssue(asWriter(buyer), { partId, binId: bin, quantity: 1, reason: 'yard gate' })
    expect(await listed(partId)).toMatchObject({ need: 4 })
  })

  test('a supplier’s foot says what is missing to carriage paid and to the minimum order', async () => {
    const supplierId = await aSupplier('Saxholme Fluid Power', { minimumOrderMinor: 12_000 })
    const level = { reorderPoint: 0, orderUpTo: 4 }
    await aStockedPart({ level, offer: { priceMinor: 2795, supplierId } })
    const group = async () => (await orderList()).find((one) => one.supplier?.id === supplierId)!
    expect(await group()).toMatchObject({
      goodsMinor: 11_180,
      carriageMinor: 850,
      toCarriagePaidMinor: 3820,
      toMinimumMinor: 820,
    })
    await aStockedPart({ level, offer: { priceMinor: 955, supplierId } })
    expect(await group()).toMatchObject({
      goodsMinor: 15_000,
      carriageMinor: 0,
      toCarriagePaidMinor: null,
      toMinimumMinor: 0,
    })
  })

  test('the list and an order can be had as CSV', async () => {
    const description = '=HYPERLINK("http://prices.example","Springs, sealed")'
    const partId = await aStockedPart({
      number: 'CSV-1',
      description,
      unit: 'litre' satisfies StockUnit,
      level: { reorderPoint: 1000, orderUpTo: 2500 },
      offer: { priceMinor: 899, pack: 500, minimum: 500 },
    })
    const cell = `"'=HYPERLINK(""http://prices.example"",""Springs, sealed"")"`
    const rows = orderListCsv(await orderList()).split('\r\n')
    expect(rows.find((row) => row.includes('CSV-1'))).toBe(
      `Marlpit Farm Factors,CSV-1,,Thornley & Pike,${cell},2.5,litre,0.5,0.5,8.99,22.48,GBP,,"none left, reorder point 1 l"`,
    )
    const { orderId, lineId } = await anOrder(partId, 2500)
    await orderReceive(asWriter(buyer), { orderId, lines: [{ lineId, binId: bin, quantity: 750 }] })
    const order = await orderRead(orderId)
    expect(orderCsv(order, 'GBP')).toBe(
      `\uFEFF${ORDER_COLUMNS.join(',')}\r\n${order.number},Marlpit Farm Factors,2026-11-02,2026-11-05,1,CSV-1,,Thornley & Pike,${cell},2.5,litre,8.99,22.48,GBP,,0.75,0,1.75\r\n`,
    )
  })
})

test('an order sheet is headed with the name of the workshop once it is set', async () => {
  expect(await workshopName()).toBeNull()
  await inTransaction((tx) => tx.setting.create({ data: { name: 'workshop-name', value: 'Quillbeck Orchards' } }))
  expect(await workshopName()).toBe('Quillbeck Orchards')
})
