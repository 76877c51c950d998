import { beforeAll, describe, expect, test } from 'vitest'
import { letterTotals } from '../../lib/buying/order-letter.ts'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { buyingSettingsSave } from '../../lib/db/buying-settings.ts'
import { database } from '../../lib/db/client.ts'
import { differenceDecide, invoiceEnter, invoiceWithdraw } from '../../lib/db/invoice.ts'
import {
  invoiceExpected,
  invoiceRead,
  invoicesList,
  invoicesUnsettled,
  ordersBeside,
} from '../../lib/db/invoice-read.ts'
import { draftChange, draftKeep } from '../../lib/db/order-draft.ts'
import { draftRead } from '../../lib/db/order-draft-read.ts'
import { orderRecord } from '../../lib/db/order-event.ts'
import { orderLetter } from '../../lib/db/order-mail.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { stockReverse } from '../../lib/db/stock.ts'
import { supplierRead } from '../../lib/db/supplier.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { invoicesVerify } from '../../lib/db/verify-invoices.ts'
import { InvoiceForm } from '../../lib/invoice/schema.ts'
import { formAsRead } from '../buying/form-as-read.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let [buyer, other, binId] = ['', '', 0]
beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
  other = await aPerson('Oda Renshaw')
  binId = await aBin('A1-03')
  await buyingSettingsSave(asWriter(buyer), { buyerLimitMinor: null, confirmDays: null, taxThousandths: 200 })
})

let made = 0
/** Six springs at 12.50 on order, carriage 8.50, tax 20 %. */
async function ordered(tax: number | null = null) {
  made += 1
  const name = `Marlpit ${made}`
  const partId = await aPart({ number: `TP-${made}` })
  const supplierId = await inTransaction(async (tx) => {
    const { id } = await tx.supplier.create({
      data: { name, nameKey: nameKey(name), leadTimeDays: 3, carriageMinor: 850, taxThousandths: tax },
    })
    await tx.offer.create({ data: { supplierId: id, partId, priceMinor: 1250 } })
    return id
  })
  const { orderId } = await orderPlace(asWriter(buyer), { supplierId, lines: [{ partId, quantity: 6 }] })
  const { lines } = await orderRead(orderId)
  return { orderId, supplierId, partId, lineId: lines[0]!.id }
}
type Ordered = Awaited<ReturnType<typeof ordered>>

const came = async ({ orderId, lineId }: Ordered, quantity: number, noted: { notePriceMinor?: number } = {}) =>
  (await orderReceive(asWriter(buyer), { orderId, lines: [{ lineId, binId, quantity, ...noted }] })).movements[0]!

/** The invoice as it is expected, with what is changed on the form. */
async function asExpected({ orderId, lineId }: Ordered, number: string, changed: Record<string, string> = {}) {
  const { lines, totals } = await invoiceExpected(orderId)
  const money = (minor: number) => (minor / 100).toFixed(2)
  const fields = {
    ...{ orderId: String(orderId), number, day: '2026-11-06', rate: String(totals.taxThousandths! / 10) },
    ...{ carriage: money(totals.carriageMinor), tax: money(totals.taxMinor), total: money(totals.totalMinor) },
    ...{ [`quantity.${lineId}.each`]: String(lines[0]!.expected), [`price.${lineId}`]: money(lines[0]!.priceMinor) },
    ...changed,
  }
  return formAsRead(InvoiceForm, Object.entries(fields))
}
const saysOf = async (invoiceId: number) => {
  const { state, differences } = await invoiceRead(invoiceId)
  return [state, ...differences.map((one) => `${one.state}: ${one.says}`)]
}

describe('the invoice of a supplier', () => {
  test('as ordered and received agrees at once, whatever came in parts; the same number twice is refused', async () => {
    const order = await ordered()
    await came(order, 4)
    const writer = asWriter(buyer)
    const first = await asExpected(order, 'RE-2041')
    // 4 at 12.50 and 8.50 are 58.50, 20 % of them 11.70.
    expect(first).toMatchObject({ carriageMinor: 850, taxThousandths: 200, taxMinor: 1170, totalMinor: 7020 })
    const kept = await invoiceEnter(writer, first)
    expect(await invoiceEnter(writer, first)).toEqual(kept)
    expect(await saysOf(kept.invoiceId)).toEqual(['agreed'])
    await expect(invoiceEnter(asWriter(other), { ...first, number: ' re-2041' })).rejects.toMatchObject({
      code: 'invoice/entered-already',
    })
    await expect(invoiceEnter(asWriter(buyer), await asExpected(order, 'RE-2042'))).rejects.toMatchObject({
      code: 'invoice/empty',
    })
    await came(order, 2)
    const rest = await asExpected(order, 'RE-2050')
    expect(rest).toMatchObject({ carriageMinor: 0, totalMinor: 3000 })
    expect(await saysOf((await invoiceEnter(asWriter(buyer), rest)).invoiceId)).toEqual(['agreed'])
    expect(await saysOf(kept.invoiceId)).toEqual(['agreed'])
  })

  test('that came before the goods is open until they are booked in, and again when their receipt is reversed', async () => {
    const order = await ordered()
    const early = await asExpected(order, 'RE-1', {
      ...{ [`quantity.${order.lineId}.each`]: '6', tax: '16.70', total: '100.20' },
    })
    const { invoiceId } = await invoiceEnter(asWriter(buyer), early)
    expect(await saysOf(invoiceId)).toEqual(['open', `open: TP-${made}: 6 invoiced, 0 came`])
    const { movementId } = await came(order, 6)
    expect(await saysOf(invoiceId)).toEqual(['agreed', `gone: TP-${made}: 6 invoiced, 0 came`])
    await stockReverse(asWriter(buyer), { movementId, reason: 'another order' })
    expect(await saysOf(invoiceId)).toEqual(['open', `open: TP-${made}: 6 invoiced, 0 came`])
  })

  test('begins at the price on the delivery note, until its receipt is reversed or what came at it is invoiced', async () => {
    const order = await ordered()
    const begins = async () => {
      const { lines, totals } = await invoiceExpected(order.orderId)
      return [lines[0]!.notedMinor, lines[0]!.invoiced.priceMinor, totals.goodsMinor]
    }
    const { movementId } = await came(order, 3, { notePriceMinor: 1300 })
    expect(await begins()).toEqual([1300, 1300, 3900])
    await stockReverse(asWriter(buyer), { movementId, reason: 'another order' })
    expect(await begins()).toEqual([null, 1250, 0])
    await came(order, 4, { notePriceMinor: 1300 })
    await came(order, 2)
    const { invoiceId } = await invoiceEnter(
      asWriter(buyer),
      // 4 at 13.00 and 8.50 are 60.50, 20 % of them 12.10.
      await asExpected(order, 'RE-31', {
        ...{ [`quantity.${order.lineId}.each`]: '4', [`price.${order.lineId}`]: '13.00' },
        ...{ tax: '12.10', total: '72.60' },
      }),
    )
    expect(await saysOf(invoiceId)).toEqual([
      'open',
      `open: TP-${made}: 4 invoiced, 6 came`,
      `open: TP-${made}: £13.00 each invoiced, £12.50 agreed`,
    ])
    expect(await begins()).toEqual([null, 1250, 2500])
  })

  test('with differences is settled by another person, one by one; disputed ones count against the supplier; stock is worth what it was', async () => {
    const order = await ordered()
    await came(order, 6)
    const worth = () => database().partValue.findUnique({ where: { partId: order.partId } })
    const before = [await worth(), await database().movement.count()]
    // 6 at 13.00 and 12.00 are 90.00, 20 % of them 18.00.
    const wrong = await asExpected(order, 'RE-77', {
      ...{ [`price.${order.lineId}`]: '13.00', carriage: '12.00', tax: '18.00', total: '108.00' },
    })
    const unsettled = await invoicesUnsettled()
    const { invoiceId } = await invoiceEnter(asWriter(buyer), wrong)
    const { differences, totals } = await invoiceRead(invoiceId)
    expect(differences.map(({ says, amountMinor }) => [says, amountMinor])).toEqual([
      [`TP-${made}: £13.00 each invoiced, £12.50 agreed`, 300],
      ['Carriage: £12.00 invoiced, £8.50 agreed', 350],
    ])
    expect(totals).toMatchObject({ goodsMinor: 7800, taxMinor: 1800, totalMinor: 10_800 })
    const [price, carriage] = differences.map(({ id }) => id) as [number, number]
    const decide = (differenceId: number, as: 'accepted' | 'disputed', seen: 'open' | 'disputed' = 'open') =>
      differenceDecide(asWriter(other), { differenceId, as, seen, reason: 'Rob on the telephone' })
    await decide(price, 'accepted')
    await expect(decide(price, 'disputed')).rejects.toMatchObject({ code: 'invoice/decided' })
    expect(await invoicesUnsettled()).toBe(unsettled + 1)
    await decide(carriage, 'disputed')
    expect((await saysOf(invoiceId))[0]).toBe('disputed')
    expect((await invoicesList('unsettled'))[0]).toMatchObject({ id: invoiceId, moreMinor: 350 })
    await decide(carriage, 'accepted', 'disputed')
    expect((await saysOf(invoiceId))[0]).toBe('agreed')
    expect(await invoicesUnsettled()).toBe(unsettled)
    expect((await orderRecord({ orderId: order.orderId })).slice(-4).map(({ kind, person }) => [kind, person])).toEqual(
      [
        ['invoiced', 'Nell Harrow'],
        ['accepted', 'Oda Renshaw'],
        ['disputed', 'Oda Renshaw'],
        ['accepted', 'Oda Renshaw'],
      ],
    )
    const supplier = await supplierRead(order.supplierId, new Date('2026-11-18T08:00:00Z'), 1)
    expect(supplier.invoices).toEqual({ all: 1, wrong: 1 })
    expect([await worth(), await database().movement.count()]).toEqual(before)
  })

  test('of several orders of a supplier is held against each, and stands with each; what is dearer names its order', async () => {
    const first = await ordered()
    const { orderId, number } = await orderPlace(asWriter(buyer), {
      ...{ supplierId: first.supplierId, lines: [{ partId: first.partId, quantity: 3 }] },
    })
    const second = { ...first, orderId, lineId: (await orderRead(orderId)).lines[0]!.id }
    const name = `TP-${made} of order ${number}`
    await came(first, 4)
    expect(await ordersBeside(orderId)).toEqual([{ id: first.orderId, number: number - 1, lines: 1 }])
    expect(await ordersBeside(first.orderId)).toEqual([])
    const { movementId } = await came(second, 3)
    // 4 and 3 at 12.50 and twice 8.50 are 104.50, 20 % of them 20.90.
    const { totals } = await invoiceExpected(first.orderId, orderId)
    expect(totals).toMatchObject({ goodsMinor: 8750, carriageMinor: 1700, taxMinor: 2090, totalMinor: 12_540 })
    const both = (secondPrice: number, ...more: { lineId: number }[]) => ({
      ...{ orderId: first.orderId, number: 'RE-500', day: '2026-11-06', carriageMinor: 1700, depositsMinor: 0 },
      lines: [
        { lineId: first.lineId, quantity: 4, priceMinor: 1250 },
        { lineId: second.lineId, quantity: 3, priceMinor: secondPrice },
        ...more.map(({ lineId }) => ({ lineId, quantity: 1, priceMinor: 1250 })),
      ],
      ...{ taxThousandths: 200, taxMinor: 2090, totalMinor: 12_540 },
    })
    await expect(invoiceEnter(asWriter(buyer), both(1250, await ordered()))).rejects.toMatchObject({
      code: 'invoice/orders-differ',
    })
    const { invoiceId } = await invoiceEnter(asWriter(buyer), both(1250))
    expect(await saysOf(invoiceId)).toEqual(['agreed'])
    for (const one of [first, second]) {
      expect((await invoicesList({ orderId: one.orderId })).map(({ id }) => id)).toEqual([invoiceId])
      const expected = await invoiceExpected(one.orderId)
      expect([expected.lines[0]!.expected, expected.totals.carriageMinor]).toEqual([0, 0])
      expect((await orderRecord({ orderId: one.orderId })).at(-1)).toMatchObject({ kind: 'invoiced' })
    }
    await stockReverse(asWriter(buyer), { movementId, reason: 'another order' })
    expect(await saysOf(invoiceId)).toEqual(['open', `open: ${name}: 3 invoiced, 0 came`])
    expect(await invoicesVerify()).toEqual([])

    await invoiceWithdraw(asWriter(buyer), { invoiceId, reason: 'price misread' })
    await came(second, 3)
    const dearer = await invoiceEnter(asWriter(buyer), both(1300))
    expect((await saysOf(dearer.invoiceId))[1]).toBe(`open: ${name}: £13.00 each invoiced, £12.50 agreed`)
    await came(first, 2)
    const rest = await invoiceExpected(first.orderId, orderId)
    expect(rest.lines.map(({ expected }) => expected)).toEqual([2, 0])
    expect(rest.totals.carriageMinor).toBe(0)
    expect(await invoicesVerify()).toEqual([])
  })

  test('entered wrongly is withdrawn and entered anew under its number; what it says is never changed', async () => {
    const order = await ordered()
    await came(order, 6)
    const right = await asExpected(order, 'RE-9')
    const typo = await invoiceEnter(asWriter(buyer), { ...right, totalMinor: right.totalMinor + 900 })
    expect((await saysOf(typo.invoiceId))[0]).toBe('open')
    await expect(
      database().$executeRaw`UPDATE "Invoice" SET "totalMinor" = 1 WHERE "id" = ${typo.invoiceId}`,
    ).rejects.toThrow()
    await invoiceWithdraw(asWriter(buyer), { invoiceId: typo.invoiceId, reason: 'total misread' })
    const [one] = (await invoiceRead(typo.invoiceId)).differences
    await expect(
      differenceDecide(asWriter(buyer), { differenceId: one!.id, seen: 'open', as: 'accepted', reason: 'fine' }),
    ).rejects.toMatchObject({ code: 'invoice/withdrawn' })
    const { invoiceId } = await invoiceEnter(asWriter(buyer), right)
    expect(await saysOf(invoiceId)).toEqual(['agreed'])
  })
})

test('a draft shows the tax that its order will have, and what it had once it was sent', async () => {
  await buyingSettingsSave(asWriter(buyer), { buyerLimitMinor: null, confirmDays: null, taxThousandths: 200 })
  const { supplierId, partId } = await ordered()
  const now = new Date('2026-11-06T09:00:00Z')
  const { draftId } = await draftKeep(asWriter(buyer), { supplierId, lines: [{ partId, quantity: 4 }] })
  // 4 at 12.50 and 8.50 are 58.50, 20 % of them 11.70.
  const totals = { goodsMinor: 5000, carriageMinor: 850, taxThousandths: 200, taxMinor: 1170, totalMinor: 7020 }
  expect(letterTotals(await draftRead(draftId, now))).toMatchObject(totals)
  const { version, lines } = await draftRead(draftId, now)
  await draftChange(asWriter(buyer), { draftId, version, note: '', lines, as: 'order' })
  await buyingSettingsSave(asWriter(buyer), { buyerLimitMinor: null, confirmDays: null, taxThousandths: 190 })
  await inTransaction((tx) => tx.supplier.update({ where: { id: supplierId }, data: { carriageMinor: 2000 } }))
  expect(letterTotals(await draftRead(draftId, now))).toMatchObject(totals)
  await buyingSettingsSave(asWriter(buyer), { buyerLimitMinor: null, confirmDays: null, taxThousandths: 200 })
})

test('tax is that of the supplier, else of the workshop, and is kept with the order as carriage is', async () => {
  const [usual, own] = [await ordered(), await ordered(0)]
  await buyingSettingsSave(asWriter(buyer), { buyerLimitMinor: null, confirmDays: null, taxThousandths: 190 })
  await inTransaction((tx) => tx.supplier.update({ where: { id: usual.supplierId }, data: { carriageMinor: 2000 } }))
  const later = await ordered()
  const rates = [usual, own, later].map(async ({ orderId }) => (await orderLetter(orderId)).taxThousandths)
  expect(await Promise.all(rates)).toEqual([200, 0, 190])
  expect(await orderRead(usual.orderId)).toMatchObject({ carriageMinor: 850 })
})
