import { BUYER } from '../../seed/estate/people.ts'
import { BUYING_SETTINGS } from '../buying/buying-settings.ts'
import { invoicedAmount } from '../invoice/match.ts'
import { totalsOf } from '../invoice/tax.ts'
import { dayOf } from './batch.ts'
import { orderListWhole } from './buying.ts'
import { buyingSettingsSave } from './buying-settings.ts'
import { database } from './client.ts'
import { invoiceEnter } from './invoice.ts'
import { invoiceExpected } from './invoice-read.ts'
import { orderConfirm } from './order-confirm.ts'
import { draftKeep } from './order-draft.ts'
import type { WriteContext } from './transaction.ts'

const HOUR_MS = 3_600_000

/** What the buyer of the demo left this morning: one order confirmed by its supplier, and a draft that is not sent. */
export async function demoOrdersPlace(now: Date): Promise<void> {
  const context = (step: string, hoursAgo: number): WriteContext => ({
    key: `demo-order-${step}`,
    personId: BUYER,
    now: new Date(now.getTime() - hoursAgo * HOUR_MS),
  })
  const today = dayOf(now)
  const coming = await database().purchaseOrder.findFirst({
    where: { state: 'ordered', dueOn: { gte: today }, lines: { every: { received: 0 } } },
    include: { lines: true },
    orderBy: { number: 'desc' },
  })
  if (coming)
    await orderConfirm(context('confirmed', 3), {
      orderId: coming.id,
      reference: 'A-20417',
      lines: coming.lines.map((line) => ({ lineId: line.id, day: coming.dueOn })),
    })
  const { groups } = await orderListWhole(today)
  const group = groups.filter(({ supplier, lines }) => supplier !== null && lines.length > 2).at(-1)
  if (!group?.supplier) return
  const lines = group.lines.slice(-2)
  await draftKeep(
    context('draft', 2),
    { supplierId: group.supplier.id, lines: lines.map(({ partId, quantity }) => ({ partId, quantity })) },
    new Map(lines.map(({ partId, reason }) => [partId, reason])),
  )
}

/** Tax of the demo, and the invoice that came with the last delivery: its first line dearer than agreed. */
export async function demoInvoicePlace(now: Date): Promise<void> {
  const writer = (step: string): WriteContext => ({
    key: `demo-invoice-${step}`,
    personId: BUYER,
    now: new Date(now.getTime() - HOUR_MS),
  })
  await buyingSettingsSave(writer('tax'), { ...BUYING_SETTINGS, taxThousandths: 200 })
  const came = await database().purchaseOrder.findFirst({ where: { state: 'received' }, orderBy: { number: 'desc' } })
  if (!came) return
  const { orderId, lines, totals } = await invoiceExpected(came.id)
  const invoiced = lines
    .filter(({ expected }) => expected > 0)
    .map((line, at) => {
      const priceMinor = at === 0 ? line.priceMinor + Math.ceil(line.priceMinor / 20) : line.priceMinor
      return { ...line, invoiced: { quantity: line.expected, priceMinor } }
    })
  const goodsMinor = invoiced.reduce((sum, line) => sum + invoicedAmount(line), 0)
  const { taxMinor, totalMinor } = totalsOf({ ...totals, goodsMinor })
  await invoiceEnter(writer('entered'), {
    ...{ orderId, number: `R ${came.number}-26`, day: dayOf(came.orderedAt) },
    lines: invoiced.map((line) => ({ lineId: line.lineId, ...line.invoiced })),
    ...{ carriageMinor: totals.carriageMinor, depositsMinor: totals.depositsMinor },
    ...{ taxThousandths: totals.taxThousandths ?? 0, taxMinor, totalMinor },
  })
}
