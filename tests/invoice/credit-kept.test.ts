import { beforeAll, describe, expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderPlace, orderRead } from '../../lib/db/buying.ts'
import { buyingSettingsSave } from '../../lib/db/buying-settings.ts'
import { database } from '../../lib/db/client.ts'
import { creditEnter, creditWithdraw } from '../../lib/db/credit.ts'
import { creditExpected, creditRead, creditsList, invoicesBeside } from '../../lib/db/credit-read.ts'
import { rateKeep } from '../../lib/db/currency-rate.ts'
import { differenceDecide, invoiceEnter, invoiceWithdraw } from '../../lib/db/invoice.ts'
import { invoiceExpected, invoiceRead, invoicesList } from '../../lib/db/invoice-read.ts'
import { orderRecord } from '../../lib/db/order-event.ts'
import { orderReceive } from '../../lib/db/receiving.ts'
import { supplierRead } from '../../lib/db/supplier.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { creditsVerify } from '../../lib/db/verify-credits.ts'
import { invoicesVerify } from '../../lib/db/verify-invoices.ts'
import type { CreditInput } from '../../lib/invoice/credit-schema.ts'
import { taxOn } from '../../lib/invoice/tax.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let [buyer, binId, quarantineId] = ['', 0, 0]
beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
  binId = await aBin('A1-03')
  quarantineId = await aBin('Q-1')
  await inTransaction((tx) => tx.bin.update({ where: { id: quarantineId }, data: { kind: 'quarantine' } }))
  await buyingSettingsSave(asWriter(buyer), { buyerLimitMinor: null, confirmDays: null, taxThousandths: 200 })
})

let made = 0
/** Six springs at 12.50 on order, carriage 8.50, tax 20 %. */
async function ordered(more: { currency?: string } = {}) {
  made += 1
  const name = `Marlpit ${made}`
  const partId = await aPart({ number: `TP-${made}` })
  const supplierId = await inTransaction(async (tx) => {
    const { id } = await tx.supplier.create({
      data: { name, nameKey: nameKey(name), leadTimeDays: 3, carriageMinor: 850, ...more },
    })
    await tx.offer.create({ data: { supplierId: id, partId, priceMinor: 1250 } })
    return id
  })
  return again({ supplierId, partId })
}
async function again({ supplierId, partId }: { supplierId: number; partId: number }) {
  const { orderId } = await orderPlace(asWriter(buyer), { supplierId, lines: [{ partId, quantity: 6 }] })
  const { lines } = await orderRead(orderId)
  return { orderId, supplierId, partId, lineId: lines[0]!.id, number: `TP-${made}` }
}
type Ordered = Awaited<ReturnType<typeof ordered>>

const came = ({ orderId, lineId }: Ordered, quantity: number, more: { damaged?: number; keepOver?: boolean } = {}) =>
  orderReceive(asWriter(buyer), {
    orderId,
    lines: [{ lineId, binId, quantity, damagedBinId: quarantineId, ...more }],
  })

let invoices = 0
async function invoiced({ orderId, lineId }: Ordered, quantity: number, priceMinor = 1250, carriageMinor = 850) {
  invoices += 1
  const goods = quantity * priceMinor + carriageMinor
  const taxMinor = taxOn(goods, 200)
  const { invoiceId } = await invoiceEnter(asWriter(buyer), {
    ...{ orderId, number: `RE-${invoices}`, day: '2026-11-06', lines: [{ lineId, quantity, priceMinor }] },
    ...{ carriageMinor, depositsMinor: 0, taxThousandths: 200, taxMinor, totalMinor: goods + taxMinor },
  })
  return invoiceId
}

let notes = 0
/** What is credited of an invoice in the order of its differences, with tax at 20 %; what is changed of it. */
async function credit(invoiceId: number, amounts: readonly number[], more: Partial<CreditInput> = {}) {
  notes += 1
  const { differences } = await invoiceRead(invoiceId)
  const back = more.back ?? []
  const net = [...amounts, ...back.map(({ amountMinor }) => amountMinor), more.sumMinor ?? 0].reduce((a, b) => a + b, 0)
  const taxMinor = taxOn(net, 200)
  return creditEnter(asWriter(buyer), {
    ...{ invoiceId, alsoIds: [], number: `G-${notes}`, day: '2026-11-20', back, sumMinor: null },
    lines: amounts.flatMap((amountMinor, at) =>
      amountMinor > 0 ? [{ differenceId: differences[at]!.id, amountMinor }] : [],
    ),
    ...{ taxMinor, totalMinor: net + taxMinor },
    ...more,
  })
}
const standsAs = async (invoiceId: number) => {
  const { state, differences } = await invoiceRead(invoiceId)
  return [state, ...differences.map((one) => [one.state, one.openMinor, one.owedMinor])]
}
const sound = async () => expect([...(await invoicesVerify()), ...(await creditsVerify())]).toEqual([])
const refused = (code: string, fields?: object) => ({ code, ...(fields ? { fields } : {}) })

describe('the credit note of a supplier', () => {
  test('gives back a part, then the rest: open is what is left, and the invoice is agreed once nothing is', async () => {
    const order = await ordered()
    await came(order, 6)
    const before = [await database().partValue.findMany(), await database().movement.count()]
    // 6 at 17.50 where 12.50 was agreed are 30.00 too much; nobody has disputed it yet.
    const invoiceId = await invoiced(order, 6, 1750)
    const first = await credit(invoiceId, [1760])
    expect(await standsAs(invoiceId)).toEqual(['disputed', ['disputed', 1240, 3000]])
    expect((await invoicesList('unsettled'))[0]).toMatchObject({ id: invoiceId, moreMinor: 1240 })
    expect(await creditRead(first.creditNoteId)).toMatchObject({
      ...{ netMinor: 1760, taxMinor: 352, totalMinor: 2112, currency: 'GBP', state: 'entered', person: 'Nell Harrow' },
      lines: [{ reason: 'Price', amountMinor: 1760, quantity: 0 }],
    })
    const expected = await creditExpected(invoiceId)
    expect(expected.owed.map(({ openMinor, owedMinor }) => [openMinor, owedMinor])).toEqual([[1240, 3000]])
    // 20 % of 12.40 is 2.48.
    expect(expected.totals).toMatchObject({ netMinor: 1240, taxMinor: 248, totalMinor: 1488 })
    await expect(credit(invoiceId, [1241])).rejects.toMatchObject({
      ...refused('credit/more-than-owed'),
      happened: expect.stringMatching(/£12\.41 .*open £12\.40 of £30\.00/),
    })
    await credit(invoiceId, [1240])
    expect(await standsAs(invoiceId)).toEqual(['agreed', ['credited', 0, 3000]])
    await expect(credit(invoiceId, [1])).rejects.toMatchObject(refused('credit/nothing-owed'))
    expect((await orderRecord({ orderId: order.orderId })).slice(-4).map(({ kind }) => kind)).toEqual([
      ...['invoiced', 'credited', 'disputed', 'credited'],
    ])
    const supplier = await supplierRead(order.supplierId, new Date('2026-11-18T08:00:00Z'), 1)
    // 30.00 and 6.00 of tax.
    expect([supplier.invoices, supplier.credits]).toEqual([
      { all: 1, wrong: 1 },
      { all: 2, credited: [{ currency: 'GBP', minor: 3600 }], open: [] },
    ])
    expect([await database().partValue.findMany(), await database().movement.count()]).toEqual(before)
    await sound()
  })

  test('is kept once: the same press again is the same note, the same number again is refused', async () => {
    const order = await ordered()
    await came(order, 6)
    const invoiceId = await invoiced(order, 6, 1350)
    const { id } = (await invoiceRead(invoiceId)).differences[0]!
    const input: CreditInput = {
      ...{ invoiceId, alsoIds: [], number: 'GS 100', day: '2026-11-20', back: [], sumMinor: null },
      ...{ lines: [{ differenceId: id, amountMinor: 200 }], taxMinor: 40, totalMinor: 240 },
    }
    const writer = asWriter(buyer)
    const kept = await creditEnter(writer, input)
    expect(await creditEnter(writer, input)).toEqual(kept)
    expect(await creditsList({ invoiceId })).toHaveLength(1)
    await expect(creditEnter(asWriter(buyer), { ...input, number: ' gs 100' })).rejects.toMatchObject(
      refused('credit/entered-already', { number: `entered already for invoice RE-${invoices}` }),
    )
    // The same number of another supplier is another credit note.
    const other = await ordered()
    await came(other, 6)
    await credit(await invoiced(other, 6, 1350), [600], { number: 'GS 100' })
    await sound()
  })

  test('that does not add up is refused with what it would be; rounding is no fault', async () => {
    const order = await ordered()
    await came(order, 6)
    const invoiceId = await invoiced(order, 6, 1350)
    await expect(credit(invoiceId, [600], { taxMinor: 114 })).rejects.toMatchObject(
      refused('credit/adds-up', { tax: 'by its lines it is £1.20' }),
    )
    await expect(credit(invoiceId, [600], { totalMinor: 600 })).rejects.toMatchObject(
      refused('credit/adds-up', { total: 'by its lines it is £7.20' }),
    )
    await expect(credit(invoiceId, [])).rejects.toMatchObject(refused('credit/empty'))
    await credit(invoiceId, [600], { taxMinor: 121, totalMinor: 721 })
    await sound()
  })

  test('in one sum settles the differences in their order, and no more than all of them', async () => {
    const order = await ordered()
    await came(order, 6)
    // 6.00 too dear and 3.50 of carriage too much.
    const invoiceId = await invoiced(order, 6, 1350, 1200)
    await expect(credit(invoiceId, [], { sumMinor: 951 })).rejects.toMatchObject(
      refused('credit/more-than-owed', { sum: 'open is £9.50' }),
    )
    await credit(invoiceId, [], { sumMinor: 700 })
    expect(await standsAs(invoiceId)).toEqual(['disputed', ['credited', 0, 600], ['disputed', 250, 350]])
    await sound()
  })

  test('for what came short leaves the goods to be invoiced when they come; what came damaged is not held against the next', async () => {
    const order = await ordered()
    await came(order, 4, { damaged: 1 })
    // 6 invoiced, 5 came of which one was damaged: 12.50 short, and 12.50 damaged.
    const invoiceId = await invoiced(order, 6)
    expect(await standsAs(invoiceId)).toEqual(['open', ['open', 1250, 1250], ['open', 1250, 1250]])
    const { creditNoteId } = await credit(invoiceId, [1250, 1250])
    expect((await creditRead(creditNoteId)).lines.map(({ reason, quantity }) => [reason, quantity])).toEqual([
      ['Came short', 1],
      ['Came damaged', 1],
    ])
    expect((await invoiceExpected(order.orderId)).lines[0]).toMatchObject({ expected: 0 })
    // The one that was short, and one in place of the damaged one.
    await came(order, 2, { keepOver: true })
    expect(await standsAs(invoiceId)).toEqual(['agreed', ['credited', 0, 1250], ['credited', 0, 1250]])
    expect((await invoiceRead(invoiceId)).differences.map(({ beyondMinor }) => beyondMinor)).toEqual([1250, 1250])
    expect((await invoiceExpected(order.orderId)).lines[0]).toMatchObject({ expected: 2 })
    expect(await standsAs(await invoiced(order, 2, 1250, 0))).toEqual(['agreed'])
    await sound()
  })

  test('for goods that were sent back gives no more than was invoiced of them, together with all differences', async () => {
    const order = await ordered()
    await came(order, 6)
    const invoiceId = await invoiced(order, 6, 1350)
    const back = (quantity: number, amountMinor: number) => ({
      back: [{ lineId: order.lineId, quantity, amountMinor }],
    })
    await expect(credit(invoiceId, [], back(7, 1350))).rejects.toMatchObject(refused('credit/more-than-invoiced'))
    await expect(credit(invoiceId, [], back(1, 1351))).rejects.toMatchObject({
      ...refused('credit/more-than-invoiced'),
      happened: expect.stringContaining('at most 1 for £13.50'),
    })
    await credit(invoiceId, [600], back(2, 2400))
    expect((await creditExpected(invoiceId)).lines[0]).toMatchObject({ left: 4 })
    // 81.00 was invoiced, 30.00 of it is credited: 4 more at 13.50 would be 54.00.
    await expect(credit(invoiceId, [], back(4, 5400))).rejects.toMatchObject({
      ...refused('credit/more-than-invoiced'),
      happened: expect.stringContaining('at most 4 for £51.00'),
    })
    await credit(invoiceId, [], back(4, 5100))
    await expect(credit(invoiceId, [], back(1, 1))).rejects.toMatchObject(refused('credit/more-than-invoiced'))
    expect(await standsAs(invoiceId)).toEqual(['agreed', ['credited', 0, 600]])
    await sound()
  })

  test('of several invoices of a supplier counts for each of them by what it gives back', async () => {
    const order = await ordered()
    await came(order, 6)
    const one = await invoiced(order, 6, 1350)
    const next = await again(order)
    await came(next, 6)
    const other = await invoiced(next, 6, 1400)
    expect((await invoicesBeside(one)).map(({ id }) => id)).toEqual([other])
    const { creditNoteId } = await credit(one, [], { alsoIds: [other], sumMinor: 1000 })
    expect([await standsAs(one), await standsAs(other)]).toEqual([
      ['agreed', ['credited', 0, 600]],
      ['disputed', ['disputed', 500, 900]],
    ])
    // 6.00 and 4.00 with 20 % of tax.
    expect((await creditRead(creditNoteId)).invoices.map(({ id, shareMinor }) => [id, shareMinor])).toEqual([
      [one, 720],
      [other, 480],
    ])
    const stranger = await ordered()
    await came(stranger, 6)
    const third = await invoiced(stranger, 6, 1350)
    await expect(credit(one, [], { alsoIds: [third], sumMinor: 100 })).rejects.toMatchObject(
      refused('credit/invoices-differ'),
    )
    await sound()
  })

  test('for what was accepted is refused until it is disputed', async () => {
    const order = await ordered()
    await came(order, 6)
    const invoiceId = await invoiced(order, 6, 1350)
    const { id } = (await invoiceRead(invoiceId)).differences[0]!
    const decide = (seen: 'open' | 'accepted', as: 'accepted' | 'disputed') =>
      differenceDecide(asWriter(buyer), { differenceId: id, seen, as, reason: 'Rob on the telephone' })
    await decide('open', 'accepted')
    await expect(credit(invoiceId, [600])).rejects.toMatchObject(refused('credit/nothing-owed'))
    await decide('accepted', 'disputed')
    await credit(invoiceId, [600])
    await expect(decide('accepted', 'accepted')).rejects.toMatchObject(refused('invoice/decided'))
    await sound()
  })

  test('entered wrongly is withdrawn and entered anew under its number; until then its invoice stays', async () => {
    const order = await ordered()
    await came(order, 6)
    const invoiceId = await invoiced(order, 6, 1350)
    const { creditNoteId } = await credit(invoiceId, [600], { number: 'GS 7' })
    await expect(
      database().$executeRaw`UPDATE "CreditLine" SET "amountMinor" = 1 WHERE "creditNoteId" = ${creditNoteId}`,
    ).rejects.toThrow()
    await expect(invoiceWithdraw(asWriter(buyer), { invoiceId, reason: 'misread' })).rejects.toMatchObject(
      refused('invoice/credited'),
    )
    await creditWithdraw(asWriter(buyer), { creditNoteId, reason: 'another invoice' })
    await expect(creditWithdraw(asWriter(buyer), { creditNoteId, reason: 'again' })).rejects.toMatchObject(
      refused('credit/withdrawn'),
    )
    expect(await standsAs(invoiceId)).toEqual(['disputed', ['disputed', 600, 600]])
    await sound()
    await credit(invoiceId, [500], { number: 'GS 7' })
    expect(await standsAs(invoiceId)).toEqual(['disputed', ['disputed', 100, 600]])
    const supplier = await supplierRead(order.supplierId, new Date('2026-11-18T08:00:00Z'), 1)
    expect(supplier.credits).toEqual({
      ...{ all: 1, credited: [{ currency: 'GBP', minor: 600 }], open: [{ currency: 'GBP', minor: 100 }] },
    })
    await sound()
  })

  test('is in the currency of its order, and says what it is at home by the rate that was fixed with that', async () => {
    await rateKeep(asWriter(buyer), { currency: 'EUR', rateMicro: 850_000, day: '2026-01-02' })
    const order = await ordered({ currency: 'EUR' })
    await rateKeep(asWriter(buyer), { currency: 'EUR', rateMicro: 950_000, day: '2026-11-02' })
    await came(order, 6)
    const invoiceId = await invoiced(order, 6, 1350)
    const { creditNoteId } = await credit(invoiceId, [600])
    // 7.20 at 0.85 is 6.12.
    expect(await creditRead(creditNoteId)).toMatchObject({ currency: 'EUR', totalMinor: 720, homeMinor: 612 })
  })
})
