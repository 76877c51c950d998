import { beforeAll, describe, expect, test } from 'vitest'
import type { OrderReceiveInput } from '../../lib/buying/schema.ts'
import { orderRead } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { partStock } from '../../lib/db/part.ts'
import { partPackOff, partPackSet, partPacks } from '../../lib/db/part-pack.ts'
import { binChange, partBinSet } from '../../lib/db/place.ts'
import { putAwayOf } from '../../lib/db/put-away.ts'
import { deliveriesOf, orderReceive } from '../../lib/db/receiving.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let keeper = ''
let shelf = 0
let held = 0
beforeAll(async () => {
  keeper = await aPerson('Nell Farrow')
  shelf = await aBin('A1-03', 'Long barn')
  held = await aBin('Q-1', 'Long barn')
  await binChange(asWriter(keeper), { binId: held, code: 'Q-1', kind: 'quarantine', place: 1 })
})

let orders = 1000
/** An order of `quantity` of one fresh part. */
async function ordered(quantity: number) {
  orders += 1
  const part = `TR-${orders}`
  const partId = await aPart({ number: part, costMinor: 900 })
  return inTransaction(async (tx) => {
    const supplier = await tx.supplier.create({
      data: { name: `Marlpit ${orders}`, nameKey: `marlpit ${orders}`, leadTimeDays: 3 },
    })
    const order = await tx.purchaseOrder.create({
      data: {
        number: orders,
        supplierId: supplier.id,
        orderedAt: new Date('2026-10-28T09:00:00Z'),
        dueOn: '2026-10-31',
        personId: keeper,
        lines: { create: { partId, quantity, priceMinor: 1250, reason: '' } },
      },
      include: { lines: true },
    })
    return { part, partId, orderId: order.id, lineId: order.lines[0]!.id, supplierId: supplier.id }
  })
}
type Line = Omit<OrderReceiveInput['lines'][number], 'lineId' | 'binId'>
const receive = (order: { orderId: number; lineId: number }, line: Line) =>
  orderReceive(asWriter(keeper), {
    orderId: order.orderId,
    lines: [{ lineId: order.lineId, binId: shelf, ...line }],
  })
const kinds = async (orderId: number) =>
  (await deliveriesOf(orderId)).map(({ kind, quantity }) => `${kind} ${quantity}`)

describe('receiving an order', () => {
  test('damaged pieces count as come, lie in quarantine, are free for nobody, and the supplier is remembered', async () => {
    const order = await ordered(6)
    await expect(receive(order, { quantity: 4, damaged: 2 })).rejects.toMatchObject({ code: 'buying/damaged-where' })
    await expect(receive(order, { quantity: 4, damaged: 2, damagedBinId: shelf })).rejects.toMatchObject({
      code: 'buying/damaged-where',
    })
    const { done } = await receive(order, { quantity: 4, damaged: 2, damagedBinId: held, damage: 'threads crushed' })
    expect(done).toBe(true)
    expect((await partStock(database(), [order.partId])).get(order.partId)).toMatchObject({ onHand: 4, onOrder: 0 })
    const row = await database().deliveryRecord.findFirstOrThrow({ where: { orderLineId: order.lineId } })
    expect(row).toMatchObject({
      kind: 'damaged',
      quantity: 2,
      note: 'threads crushed',
      supplierId: order.supplierId,
      personId: keeper,
    })
    const movement = await database().movement.findUniqueOrThrow({ where: { id: row.movementId! } })
    expect(movement).toMatchObject({ binId: held, quantity: 2, costMinor: 1250, orderLineId: order.lineId })
  })

  test('what came beyond the order is refused until somebody keeps it; the line never receives more than was ordered', async () => {
    const order = await ordered(5)
    await expect(receive(order, { quantity: 7 })).rejects.toMatchObject({ code: 'buying/over-receipt' })
    await receive(order, { quantity: 7, keepOver: true })
    expect((await orderRead(order.orderId)).lines[0]).toMatchObject({ received: 5, due: 0 })
    expect((await partStock(database(), [order.partId])).get(order.partId)!.onHand).toBe(7)
    expect(await kinds(order.orderId)).toEqual(['over 2'])
  })

  test('a part delivery leaves the rest due; once the rest is given up, the order is through', async () => {
    const order = await ordered(8)
    expect(await receive(order, { quantity: 3 })).toMatchObject({ done: false })
    expect((await orderRead(order.orderId)).lines[0]!.due).toBe(5)
    expect(await receive(order, { quantity: 1, restGivenUp: true })).toMatchObject({ done: true })
    expect((await orderRead(order.orderId)).lines[0]).toMatchObject({ received: 4, cancelled: 4, due: 0 })
    expect(await kinds(order.orderId)).toEqual(['part 3', 'short 4'])
  })

  test('at another price than agreed is said and kept with the order; stock is worth the agreed one', async () => {
    const order = await ordered(6)
    const { notAsOrdered } = await receive(order, { quantity: 3, damaged: 1, damagedBinId: held, notePriceMinor: 1300 })
    const price = '£13.00 each on the delivery note, £12.50 agreed: £0.50 more each, £2.00 more for 4'
    expect(notAsOrdered).toEqual([
      `Part delivery, 4 of ${order.part}`,
      `Damaged on arrival, 1 of ${order.part}`,
      `Price otherwise, 4 of ${order.part}: ${price}`,
    ])
    const rows = await deliveriesOf(order.orderId)
    expect(rows.map(({ kind, said }) => [kind, said])).toEqual([
      ...[
        ['part', null],
        ['damaged', null],
        ['price', price],
      ],
    ])
    expect((await receive(order, { quantity: 2, notePriceMinor: 1250 })).notAsOrdered).toEqual([])
    expect(await database().partValue.findUnique({ where: { partId: order.partId } })).toMatchObject({
      ...{ quantity: 6, valueMinor: 6 * 1250 },
    })
    expect(await database().part.findUnique({ where: { id: order.partId } })).toMatchObject({ costMinor: 1250 })
  })

  test('a wrong part is remembered with what it was, and nothing is booked', async () => {
    const order = await ordered(2)
    expect(await receive(order, { quantity: 0, wrong: 'left-hand shoes' })).toEqual({
      ...{ movements: [], done: false, notAsOrdered: [`Wrong part, in place of ${order.part}: left-hand shoes`] },
    })
    expect((await orderRead(order.orderId)).lines[0]!.due).toBe(2)
    expect((await deliveriesOf(order.orderId))[0]).toMatchObject({ kind: 'wrong-part', said: 'left-hand shoes' })
  })
})

describe('a bin is proposed for what came', () => {
  test('where it lies, else where it lay last, else its overflow; its fixed bin before all; quarantine never', async () => {
    const [first, second, far] = [await aBin(), await aBin(), await aBin('V-9', 'Field van')]
    const partId = await aPart()
    const said = async (storeId: number | null = null) =>
      (await putAwayOf([partId], storeId)).get(partId)!.map(({ binId, why }) => [binId, why])
    expect(await said()).toEqual([])
    await stockReceive(asWriter(keeper), { partId, binId: held, quantity: 1 })
    expect(await said()).toEqual([])
    await stockReceive(asWriter(keeper), { partId, binId: first, quantity: 2 })
    expect(await said()).toEqual([[first, 'now']])
    await stockIssue(asWriter(keeper), { partId, binId: first, quantity: 2, reason: 'yard gate' })
    expect(await said()).toEqual([[first, 'last']])
    await partBinSet(asWriter(keeper), { partId, binId: far, kind: 'overflow' })
    await partBinSet(asWriter(keeper), { partId, binId: second, kind: 'fixed' })
    expect(await said()).toEqual([
      [second, 'fixed'],
      [first, 'last'],
      [far, 'overflow'],
    ])
    const van = await database().bin.findUniqueOrThrow({ where: { id: far } })
    expect(await said(van.storeId)).toEqual([[far, 'overflow']])
  })
})

test('a part comes in packs, the largest first; a name said again gets the new quantity', async () => {
  const partId = await aPart({ unit: 'kilogram' })
  const set = (name: string, quantity: number) => partPackSet(asWriter(keeper), { partId, name, quantity })
  await set('cartridge', 380)
  await set('pail', 18_000)
  await set(' Cartridge', 400)
  const packs = (await partPacks([partId])).get(partId)!
  expect(packs.map(({ name, quantity }) => [name.trim(), quantity])).toEqual([
    ['pail', 18_000],
    ['Cartridge', 400],
  ])
  await partPackOff(asWriter(keeper), { packId: packs[0]!.id })
  expect((await partPacks([partId])).get(partId)).toHaveLength(1)
  await expect(partPackOff(asWriter(keeper), { packId: packs[0]!.id })).rejects.toMatchObject({
    code: 'stock/unknown-pack',
  })
})
