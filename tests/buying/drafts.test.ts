import { beforeAll, describe, expect, test } from 'vitest'
import { OrderConfirmForm } from '../../lib/buying/confirm-schema.ts'
import { DraftChangeForm } from '../../lib/buying/draft-schema.ts'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderCancelRest, orderPlace, orderRead, ordersList } from '../../lib/db/buying.ts'
import { buyingSettingsSave } from '../../lib/db/buying-settings.ts'
import { database } from '../../lib/db/client.ts'
import { orderConfirm } from '../../lib/db/order-confirm.ts'
import {
  draftChange,
  draftDiscard,
  draftKeep,
  draftLineAdd,
  draftOrder,
  draftReopen,
  orderMake,
} from '../../lib/db/order-draft.ts'
import { draftRead, draftsList, inDrafts } from '../../lib/db/order-draft-read.ts'
import { orderRecord } from '../../lib/db/order-event.ts'
import { partCard, partStock } from '../../lib/db/part.ts'
import { supplierRead } from '../../lib/db/supplier.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { formAsRead } from './form-as-read.ts'

useWorkshop()

let buyer: string
let manager: string
let factors: number
const NOW = new Date('2026-11-02T10:00:00Z')

beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
  manager = await aPerson('Sam Wicken')
  await inTransaction((tx) => tx.personRole.create({ data: { personId: manager, role: 'manager' } }))
  factors = await inTransaction(async (tx) => {
    const name = 'Marlpit Farm Factors'
    const { id } = await tx.supplier.create({ data: { name, nameKey: nameKey(name), leadTimeDays: 3 } })
    return id
  })
})

/** A part that the factors sell at 12.50, in any number unless said otherwise. */
async function offered(more: { pack?: number; supplierNumber?: string } = {}) {
  const partId = await aPart()
  await inTransaction((tx) => tx.offer.create({ data: { supplierId: factors, partId, priceMinor: 1250, ...more } }))
  return partId
}
const wanted = (...lines: [partId: number, quantity: number][]) => ({
  supplierId: factors,
  lines: lines.map(([partId, quantity]) => ({ partId, quantity })),
})
const onOrder = async (partId: number) => (await partStock(database(), [partId])).get(partId)!.onOrder
const asked = async (draftId: number) => ({ draftId, version: (await draftRead(draftId, NOW)).version })
/** The draft as it stands, approved or ordered. */
const saved = async (draftId: number, as: 'approve' | 'order', person = buyer) => {
  const { version, note, lines } = await draftRead(draftId, NOW)
  return draftChange(asWriter(person), { draftId, version, note: note ?? '', lines, as })
}
const kinds = async (of: Parameters<typeof orderRecord>[0]) => (await orderRecord(of)).map((row) => row.kind)

describe('a draft', () => {
  test('is on order for nobody but shown as in a draft; sent, it is an order with its number and its record', async () => {
    const partId = await offered()
    const { draftId } = await draftKeep(asWriter(buyer), wanted([partId, 4]), new Map([[partId, '1 left']]))
    expect(await onOrder(partId)).toBe(0)
    expect((await partCard(partId)).onOrder).toEqual([])
    expect((await inDrafts([partId])).get(partId)).toEqual([{ draftId, supplier: 'Marlpit Farm Factors', quantity: 4 }])
    expect((await draftsList('open', NOW)).map((draft) => [draft.id, draft.goodsMinor])).toContainEqual([draftId, 5000])
    await expect(draftOrder(asWriter(buyer), await asked(draftId))).rejects.toMatchObject({
      code: 'buying/draft-state',
    })
    await expect(draftDiscard(asWriter(buyer), { draftId, version: 9 })).rejects.toMatchObject({
      code: 'buying/draft-changed',
    })

    await saved(draftId, 'approve', manager)
    expect(await onOrder(partId)).toBe(0)
    const { orderId, number } = await draftOrder(asWriter(buyer), await asked(draftId))
    expect(await onOrder(partId)).toBe(4)
    expect((await inDrafts([partId])).size).toBe(0)
    expect(await orderRead(orderId)).toMatchObject({ number, state: 'ordered', dueOn: '2026-11-05' })
    expect((await orderRead(orderId)).lines).toMatchObject([{ quantity: 4, priceMinor: 1250, reason: '1 left' }])
    expect((await orderRecord({ orderId })).map((row) => [row.kind, row.person])).toEqual([
      ['drafted', 'Nell Harrow'],
      ['approved', 'Sam Wicken'],
      ['sent', 'Nell Harrow'],
    ])
    await expect(draftOrder(asWriter(buyer), await asked(draftId))).rejects.toMatchObject({
      code: 'buying/draft-state',
    })
  })

  test('is changed, a line taken off, another added by the supplier’s number, and saved at the prices of the day', async () => {
    const [one, two] = [await offered(), await offered()]
    const added = await offered({ pack: 5, supplierNumber: 'MFF/77' })
    const { draftId } = await draftKeep(asWriter(buyer), wanted([one, 4], [two, 1]))
    await inTransaction((tx) =>
      tx.offer.update({
        where: { supplierId_partId: { supplierId: factors, partId: one } },
        data: { priceMinor: 1300 },
      }),
    )
    expect((await draftRead(draftId, NOW)).lines[0]).toMatchObject({ priceMinor: 1250, priceNowMinor: 1300 })
    const change = formAsRead(DraftChangeForm, [
      ['draftId', String(draftId)],
      ['version', '1'],
      ['note', 'Leave it at the gate'],
      [`quantity.${one}.each`, '6'],
      [`quantity.${two}.each`, ''],
    ])
    await draftChange(asWriter(buyer), change)
    await expect(draftChange(asWriter(buyer), change)).rejects.toMatchObject({
      code: 'buying/draft-changed',
    })
    const add = async (quantity: string) =>
      draftLineAdd(asWriter(buyer), { ...(await asked(draftId)), number: 'MFF/77', quantity })
    await expect(add('4')).rejects.toMatchObject({ code: 'input/invalid' })
    await add('10')
    const draft = await draftRead(draftId, NOW)
    expect(draft).toMatchObject({ note: 'Leave it at the gate', goodsMinor: 6 * 1300 + 10 * 1250 })
    expect(draft.lines.map((line) => [line.partId, line.quantity])).toEqual([
      [one, 6],
      [added, 10],
    ])
    const none = { ...(await asked(draftId)), note: '', as: 'save' as const, lines: [{ partId: one, quantity: 0 }] }
    await expect(draftChange(asWriter(buyer), none)).rejects.toMatchObject({ code: 'buying/draft-empty' })

    await saved(draftId, 'approve')
    const late = { ...(await asked(draftId)), note: '', as: 'save' as const, lines: [{ partId: one, quantity: 7 }] }
    await expect(draftChange(asWriter(buyer), late)).rejects.toMatchObject({ code: 'buying/draft-state' })
    await draftReopen(asWriter(buyer), await asked(draftId))
    await draftDiscard(asWriter(buyer), await asked(draftId))
    expect(await kinds({ draftId })).toEqual(['drafted', 'changed', 'changed', 'approved', 'reopened', 'discarded'])
    expect((await inDrafts([one])).size).toBe(0)
    await expect(
      database().$executeRaw`UPDATE "OrderDraft" SET "state" = 'draft' WHERE "id" = ${draftId}`,
    ).rejects.toThrow()
    await expect(database().$executeRaw`DELETE FROM "OrderEvent" WHERE "draftId" = ${draftId}`).rejects.toThrow()
  })
})

describe('the limit of approval', () => {
  test('what is above it waits for the manager as a draft; one press orders all the rest', async () => {
    await buyingSettingsSave(asWriter(manager), { buyerLimitMinor: 5000, confirmDays: null, taxThousandths: null })
    const partId = await offered()
    expect((await orderMake(asWriter(buyer), wanted([partId, 4]), new Map())).order).not.toBeNull()
    const { draftId, order } = await orderMake(asWriter(buyer), wanted([partId, 5]), new Map())
    expect(order).toBeNull()
    expect(await onOrder(partId)).toBe(4)
    await expect(saved(draftId, 'order')).rejects.toMatchObject({
      code: 'buying/above-limit',
    })
    await saved(draftId, 'approve', manager)
    await draftOrder(asWriter(buyer), await asked(draftId))
    expect(await onOrder(partId)).toBe(9)
    await buyingSettingsSave(asWriter(manager), { buyerLimitMinor: null, confirmDays: 3, taxThousandths: null })
  })

  test('numbers run without a gap over what was ordered at once, kept, discarded and sent later', async () => {
    const partId = await offered()
    const place = async () => (await orderPlace(asWriter(buyer), wanted([partId, 1]))).number
    const first = await place()
    const kept = await draftKeep(asWriter(buyer), wanted([partId, 1]))
    const gone = await draftKeep(asWriter(buyer), wanted([partId, 1]))
    const second = await place()
    await draftDiscard(asWriter(buyer), await asked(gone.draftId))
    const third = (await saved(kept.draftId, 'order')).order?.number
    expect([second, third, await place()]).toEqual([first + 1, first + 2, first + 3])
  })
})

describe('a confirmation', () => {
  test('moves the day a line is due, everywhere it is said; a later one moves it again and the supplier stays judged by the first', async () => {
    const [one, two] = [await offered(), await offered()]
    const { orderId } = await orderPlace(asWriter(buyer), wanted([one, 2], [two, 3]))
    const [first, second] = (await orderRead(orderId)).lines
    const confirm = (all: string, ...days: [string, string][]) =>
      orderConfirm(
        asWriter(buyer),
        formAsRead(OrderConfirmForm, [
          ['orderId', String(orderId)],
          ['reference', 'A-771'],
          ['all', all],
          ['due', String(first!.id)],
          ['due', String(second!.id)],
          ...days,
        ]),
      )
    await expect(confirm('')).rejects.toMatchObject({ code: 'buying/nothing-confirmed' })
    await expect(confirm('2026-11-01')).rejects.toMatchObject({ code: 'input/invalid' })
    await confirm('2026-11-10', [`day.${second!.id}`, '2026-11-17'])
    expect((await partCard(two)).onOrder).toMatchObject([{ dueOn: '2026-11-17' }])
    expect((await partStock(database(), [one])).get(one)!.dueOn).toBe('2026-11-10')
    expect((await ordersList()).find((order) => order.id === orderId)).toMatchObject({
      dueOn: '2026-11-10',
      isConfirmed: true,
    })
    expect(await orderRead(orderId)).toMatchObject({ dueOn: '2026-11-10', supplierReference: 'A-771' })

    await confirm('2026-11-20')
    expect((await orderRead(orderId)).lines).toMatchObject([
      { confirmedOn: '2026-11-10', promisedOn: '2026-11-20', dueOn: '2026-11-20' },
      { confirmedOn: '2026-11-17', promisedOn: '2026-11-20', dueOn: '2026-11-20' },
    ])
    const supplier = await supplierRead(factors, new Date('2026-11-18T08:00:00Z'), 1)
    expect(supplier.open.find((order) => order.id === orderId)?.dueOn).toBe('2026-11-20')
    expect(supplier.runs.filter((run) => run.isOpen && run.dueOn === '2026-11-10')).toHaveLength(1)

    await orderCancelRest(asWriter(buyer), { orderId })
    await expect(confirm('2026-11-25')).rejects.toMatchObject({ code: 'buying/order-done' })
    expect((await kinds({ orderId })).slice(-3)).toEqual(['confirmed', 'confirmed', 'cancelled'])
  })
})
