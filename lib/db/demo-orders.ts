import { BUYER } from '../../seed/estate/people.ts'
import { BUYING_SETTINGS } from '../buying/buying-settings.ts'
import { creditTax } from '../invoice/credit.ts'
import { invoicedAmount } from '../invoice/match.ts'
import { totalsOf } from '../invoice/tax.ts'
import { dayOf } from './batch.ts'
import { orderListWhole } from './buying.ts'
import { buyingSettingsSave } from './buying-settings.ts'
import { database } from './client.ts'
import { creditEnter } from './credit.ts'
import { creditExpected } from './credit-read.ts'
import { differenceDecide, invoiceEnter } from './invoice.ts'
import { invoiceExpected, invoiceRead } from './invoice-read.ts'
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

const writerOf =
  (now: Date) =>
  (step: string): WriteContext => ({ key: `demo-${step}`, personId: BUYER, now: new Date(now.getTime() - HOUR_MS) })

/** Enters the invoice of all that came of an order; its first line dearer than agreed, by one part in so many. */
async function invoiceDearer(
  writer: WriteContext,
  order: { id: number; number: number; orderedAt: Date },
  { part, moreCarriage }: { part: number; moreCarriage: number },
): Promise<{ invoiceId: number }> {
  const { orderId, lines, totals } = await invoiceExpected(order.id)
  const invoiced = lines
    .filter(({ expected }) => expected > 0)
    .map((line, at) => {
      const priceMinor = at === 0 ? line.priceMinor + Math.ceil(line.priceMinor / part) : line.priceMinor
      return { ...line, invoiced: { quantity: line.expected, priceMinor } }
    })
  const goodsMinor = invoiced.reduce((sum, line) => sum + invoicedAmount(line), 0)
  const carriageMinor = totals.carriageMinor + moreCarriage
  const { taxMinor, totalMinor } = totalsOf({ ...totals, carriageMinor, goodsMinor })
  return invoiceEnter(writer, {
    ...{ orderId, number: `R ${order.number}-26`, day: dayOf(order.orderedAt) },
    lines: invoiced.map((line) => ({ lineId: line.lineId, ...line.invoiced })),
    ...{ carriageMinor, depositsMinor: totals.depositsMinor },
    ...{ taxThousandths: totals.taxThousandths ?? 0, taxMinor, totalMinor },
  })
}

/**
 * Tax of the demo, the invoice that came with the last delivery, its first line dearer than agreed, and that of the delivery before:
 * of it too much carriage was credited, and a dearer price in part.
 */
export async function demoInvoicePlace(now: Date): Promise<void> {
  const writer = writerOf(now)
  await buyingSettingsSave(writer('invoice-tax'), { ...BUYING_SETTINGS, taxThousandths: 200 })
  const came = await database().purchaseOrder.findMany({
    where: { state: 'received' },
    orderBy: { number: 'desc' },
    take: 2,
  })
  const [last, before] = came
  if (last) await invoiceDearer(writer('invoice-entered'), last, { part: 20, moreCarriage: 0 })
  if (!before) return
  const { invoiceId } = await invoiceDearer(writer('invoice-before'), before, { part: 8, moreCarriage: 450 })
  const { differences } = await invoiceRead(invoiceId)
  for (const { id } of differences)
    await differenceDecide(writer(`difference-${id}`), {
      ...{ differenceId: id, seen: 'open', as: 'disputed', reason: 'told on the telephone, a credit note comes' },
    })
  const { owed, totals } = await creditExpected(invoiceId)
  const lines = owed.map(({ id, kind, openMinor }) => {
    const amountMinor = kind === 'carriage' ? openMinor : Math.max(1, Math.floor(openMinor / 2))
    return { kind, differenceId: id, amountMinor }
  })
  if (lines.length === 0) return
  const taxMinor = creditTax(lines, totals.taxThousandths)
  await creditEnter(writer('credit-entered'), {
    ...{ invoiceId, alsoIds: [], number: `C ${before.number}-26`, day: dayOf(now), back: [], sumMinor: null },
    lines: lines.map(({ kind: _, ...line }) => line),
    ...{ taxMinor, totalMinor: lines.reduce((sum, { amountMinor }) => sum + amountMinor, taxMinor) },
  })
}
