import { beforeAll, expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { draftMerge, orderRepeat } from '../../lib/db/order-again.ts'
import { draftChange, draftDiscard, draftKeep } from '../../lib/db/order-draft.ts'
import { draftRead, draftsList, inDrafts } from '../../lib/db/order-draft-read.ts'
import { orderRecord } from '../../lib/db/order-event.ts'
import { draftSplit, orderSplit } from '../../lib/db/order-split.ts'
import { partStock } from '../../lib/db/part.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { winterSpent } from '../../lib/db/winter-order.ts'
import { dateOf } from '../../lib/service/plain-date.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const NOW = new Date('2026-11-02T10:00:00Z')
let buyer = ''
beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
})

const aSupplier = (name: string) =>
  inTransaction(
    async (tx) => (await tx.supplier.create({ data: { name, nameKey: nameKey(name), leadTimeDays: 3 } })).id,
  )
async function offered(supplierId: number, priceMinor = 900) {
  const partId = await aPart()
  await inTransaction((tx) => tx.offer.create({ data: { supplierId, partId, priceMinor } }))
  return partId
}
const linesOf = async (draftId: number) =>
  (await draftRead(draftId, NOW)).lines.map((line) => [line.partId, line.quantity, line.costMinor])

test('an old order comes again as a draft in the packs and at the prices of today, without what is no longer made', async () => {
  const supplierId = await aSupplier('Marlpit Farm Factors')
  const [belt, gone] = [await offered(supplierId), await offered(supplierId)]
  const lines = [belt, gone].map((partId) => ({ partId, quantity: 4 }))
  const { orderId, number } = await orderPlace(asWriter(buyer), { supplierId, lines })
  await inTransaction(async (tx) => {
    const where = { supplierId_partId: { supplierId, partId: belt } }
    await tx.offer.update({ where, data: { pack: 5, minimum: 5, priceMinor: 950 } })
    await tx.part.update({
      where: { id: gone },
      data: { discontinuedOn: '2026-11-01', discontinuedNote: 'maker closed' },
    })
  })
  const writer = asWriter(buyer)
  const { draftId } = await orderRepeat(writer, { orderId })
  expect(await orderRepeat(writer, { orderId })).toEqual({ draftId })
  expect(await linesOf(draftId)).toEqual([[belt, 5, 4750]])
  expect((await orderRecord({ draftId }))[0]?.words).toMatch(`order ${number} again, without`)
})

test('two drafts of one supplier become one: quantities of a part add up, and the other is past', async () => {
  const supplierId = await aSupplier('Saxholme Fluid Power')
  const [seal, hose] = [await offered(supplierId, 100), await offered(supplierId, 2000)]
  const keep = async (...lines: [number, number][]) =>
    (
      await draftKeep(asWriter(buyer), {
        supplierId,
        lines: lines.map(([partId, quantity]) => ({ partId, quantity })),
      })
    ).draftId
  const [one, two] = [await keep([seal, 3]), await keep([seal, 2], [hose, 1])]
  const asked = { draftId: one, version: 1, fromId: two, fromVersion: 1 }
  await draftMerge(asWriter(buyer), asked)
  expect(await linesOf(one)).toEqual([
    [seal, 5, 500],
    [hose, 1, 2000],
  ])
  expect((await draftsList('open', NOW)).map((draft) => draft.id)).not.toContain(two)
  expect((await draftRead(two, NOW)).state).toBe('merged')
  await expect(draftMerge(asWriter(buyer), { ...asked, version: 2, fromVersion: 2 })).rejects.toMatchObject({
    code: 'buying/draft-state',
  })
  const elsewhere = await aSupplier('Pendrell Machinery Imports')
  const { draftId } = await draftKeep(asWriter(buyer), {
    supplierId: elsewhere,
    lines: [{ partId: await offered(elsewhere), quantity: 1 }],
  })
  await expect(
    draftMerge(asWriter(buyer), { draftId: one, version: 2, fromId: draftId, fromVersion: 1 }),
  ).rejects.toMatchObject({ code: 'buying/not-merged' })
  await draftDiscard(asWriter(buyer), { draftId, version: 1 })
})

/** What of a part is on order, and what of it stands in drafts that are not sent. */
async function wantedOf(partId: number) {
  const { onOrder } = (await partStock(database(), [partId])).get(partId)!
  const drafts = (await inDrafts([partId])).get(partId) ?? []
  return [onOrder, ...drafts.map((draft) => [draft.supplier, draft.quantity])]
}

test('a draft is split: a part of a line to a second draft of its supplier, a whole line in the packs of another one', async () => {
  const [own, other] = [await aSupplier('Thornwick Bearings'), await aSupplier('Steadfold Spares')]
  const [belt, seal] = [await offered(own, 500), await offered(own, 200)]
  await inTransaction(async (tx) => {
    const where = { supplierId_partId: { supplierId: own, partId: belt } }
    await tx.offer.update({ where, data: { pack: 4, minimum: 4 } })
    await tx.offer.create({ data: { supplierId: other, partId: seal, priceMinor: 170, pack: 10, minimum: 10 } })
  })
  const lines = [
    { partId: belt, quantity: 12 },
    { partId: seal, quantity: 7 },
  ]
  const { draftId } = await draftKeep(asWriter(buyer), { supplierId: own, lines }, new Map([[seal, '1 left']]))
  const split = (version: number, supplierId: number, ...moved: [number, number][]) => ({
    ...{ draftId, version, supplierId },
    lines: moved.map(([partId, quantity]) => ({ partId, quantity })),
  })
  await expect(draftSplit(asWriter(buyer), split(1, own, [belt, 3]))).rejects.toMatchObject({
    code: 'buying/split-rest',
  })
  await expect(draftSplit(asWriter(buyer), split(1, own, [belt, 16]))).rejects.toMatchObject({
    code: 'buying/split-more',
  })
  await expect(draftSplit(asWriter(buyer), split(1, own, [belt, 12], [seal, 7]))).rejects.toMatchObject({
    code: 'buying/draft-empty',
  })
  await expect(draftSplit(asWriter(buyer), split(1, other, [belt, 4]))).rejects.toMatchObject({
    code: 'buying/no-offer',
  })
  expect(await linesOf(draftId)).toEqual([
    [belt, 12, 6000],
    [seal, 7, 1400],
  ])

  const writer = asWriter(buyer)
  const second = await draftSplit(writer, split(1, own, [belt, 4]))
  expect(await draftSplit(writer, split(1, own, [belt, 4]))).toEqual(second)
  expect(await linesOf(second.draftId)).toEqual([[belt, 4, 2000]])
  await expect(draftSplit(asWriter(buyer), split(1, own, [belt, 4]))).rejects.toMatchObject({
    code: 'buying/draft-changed',
  })
  const third = await draftSplit(asWriter(buyer), split(2, other, [seal, 7]))
  expect(await linesOf(third.draftId)).toEqual([[seal, 10, 1700]])
  expect((await draftRead(third.draftId, NOW)).lines[0]).toMatchObject({ reason: '1 left' })
  expect(await linesOf(draftId)).toEqual([[belt, 8, 4000]])
  expect(await wantedOf(belt)).toEqual([0, ['Thornwick Bearings', 8], ['Thornwick Bearings', 4]])
  expect((await orderRecord({ draftId })).map(({ kind }) => kind)).toEqual(['drafted', 'split', 'split'])
  expect((await orderRecord(third))[0]?.words).toContain('10 for 7, as it is packed')
})

test('the rest of an order goes to another supplier: taken back with the reason, on a draft, and on order from nobody meanwhile', async () => {
  const [own, other] = [await aSupplier('Withy End Stores'), await aSupplier('Kestrel Factors')]
  const [belt, seal] = [await offered(own, 500), await offered(own, 200)]
  await inTransaction((tx) => tx.offer.create({ data: { supplierId: other, partId: belt, priceMinor: 620 } }))
  const lines = [belt, seal].map((partId) => ({ partId, quantity: 6 }))
  const { orderId, number } = await orderPlace(asWriter(buyer), { supplierId: own, lines })
  await inTransaction((tx) =>
    tx.purchaseOrderLine.updateMany({ where: { orderId, partId: belt }, data: { received: 2 } }),
  )
  const back = (quantity: number, due: number) => ({
    ...{ orderId, supplierId: other, why: 'none before spring' },
    lines: [{ partId: belt, quantity, due }],
  })
  await expect(orderSplit(asWriter(buyer), back(4, 6))).rejects.toMatchObject({ code: 'buying/due-changed' })
  await expect(orderSplit(asWriter(buyer), back(5, 4))).rejects.toMatchObject({ code: 'buying/split-more' })
  expect(await wantedOf(belt)).toEqual([4])
  const writer = asWriter(buyer)
  const { draftId } = await orderSplit(writer, back(4, 4))
  expect(await orderSplit(writer, back(4, 4))).toEqual({ draftId })
  expect(await wantedOf(belt)).toEqual([0, ['Kestrel Factors', 4]])
  expect((await orderRead(orderId)).lines).toMatchObject([
    { received: 2, cancelled: 4, due: 0 },
    { received: 0, cancelled: 0, due: 6 },
  ])
  const [taken] = (await orderRecord({ orderId })).slice(-1)
  expect(taken).toMatchObject({ kind: 'split', person: 'Nell Harrow' })
  expect(taken!.words).toContain(`none before spring; on draft ${draftId}`)
  expect((await orderRecord({ draftId }))[0]?.words).toContain(`taken back from order ${number}`)

  await orderSplit(asWriter(buyer), {
    orderId,
    supplierId: own,
    why: 'later',
    lines: [{ partId: seal, quantity: 6, due: 6 }],
  })
  expect(await orderRead(orderId)).toMatchObject({ state: 'received' })
  await expect(orderSplit(asWriter(buyer), back(1, 1))).rejects.toMatchObject({ code: 'buying/order-done' })
})

test('what is split off an order of a plan stays with the plan: ordered, it counts against the budget of the winter', async () => {
  const [own, elsewhere] = [await aSupplier('Wickfield Spares'), await aSupplier('Holt Bearings')]
  const belt = await offered(own)
  await inTransaction(async (tx) => {
    await tx.offer.create({ data: { supplierId: elsewhere, partId: belt, priceMinor: 1000 } })
    await tx.supplier.update({ where: { id: elsewhere }, data: { carriageMinor: 700 } })
  })
  const lines = [{ partId: belt, quantity: 6 }]
  const { orderId } = await orderPlace(asWriter(buyer), { supplierId: own, lines })
  const planId = await inTransaction(async (tx) => {
    const { id } = await tx.winterPlan.create({
      data: {
        ...{ name: 'Winter', fromOn: '2026-11-01', untilOn: '2027-02-28', machinesAWeek: 2, workdays: '1,2,3,4,5' },
        ...{ createdAt: NOW, createdById: buyer },
      },
    })
    await tx.winterOrder.create({ data: { planId: id, orderId, carriageMinor: 0 } })
    return id
  })
  const runId = await inTransaction(async (tx) => {
    const run = { state: 'done', startedAt: NOW, beatAt: NOW, orderedAt: NOW, personId: buyer, seconds: 5, step: '' }
    return (await tx.orderPlanRun.create({ data: { ...run, orderIds: JSON.stringify([orderId]) } })).id
  })
  const { draftId } = await orderSplit(asWriter(buyer), {
    ...{ orderId, supplierId: own, why: 'none before spring' },
    lines: [{ partId: belt, quantity: 4, due: 6 }],
  })
  const { draftId: last } = await draftSplit(asWriter(buyer), {
    ...{ draftId, version: 1, supplierId: elsewhere },
    lines: [{ partId: belt, quantity: 3 }],
  })
  const { draftId: stranger } = await draftKeep(asWriter(buyer), { supplierId: elsewhere, lines })
  await expect(
    draftMerge(asWriter(buyer), { draftId: last, version: 1, fromId: stranger, fromVersion: 1 }),
  ).rejects.toMatchObject({ code: 'buying/merge-plans' })
  expect((await draftRead(last, NOW)).winterPlan).toEqual({ id: planId, name: 'Winter' })
  const run = await database().orderPlanRun.findUniqueOrThrow({ where: { id: runId } })
  expect(JSON.parse(run.draftIds ?? '')).toEqual([draftId, last])

  // 6 at 9.00, less 4 taken back, are 18.00; 3 of those at 10.00 and 7.00 carriage.
  expect((await winterSpent(planId, dateOf(NOW))).ordered).toBe(1800)
  await draftChange(asWriter(buyer), {
    ...{ draftId: last, version: 1, note: '', as: 'order' },
    lines: [{ partId: belt, quantity: 3 }],
  })
  expect((await winterSpent(planId, dateOf(NOW))).ordered).toBe(1800 + 3700)
  const from = (await database().orderDraft.findUniqueOrThrow({ where: { id: last } })).orderId!
  const { draftId: again } = await orderSplit(asWriter(buyer), {
    ...{ orderId: from, supplierId: own, why: 'not there either' },
    lines: [{ partId: belt, quantity: 3, due: 3 }],
  })
  expect((await draftRead(again, NOW)).winterPlan).toMatchObject({ id: planId })
  // All of that order is cancelled, so it is not carried.
  expect((await winterSpent(planId, dateOf(NOW))).ordered).toBe(1800)
})
