import type { OrderConfirmInput } from '../buying/confirm-schema.ts'
import { dateSays } from '../measure/date.ts'
import { Refusal } from '../refusal.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import type { Tx } from './client.ts'
import { orderEvent } from './order-event.ts'
import { type WriteContext, write } from './transaction.ts'

/** An order that is still open, with its lines. Refuses with 'buying/no-such-order' and 'buying/order-done'. */
export async function orderOpen(tx: Tx, orderId: number) {
  const order = await tx.purchaseOrder.findUnique({
    where: { id: orderId },
    include: { supplier: true, lines: { include: { part: true }, orderBy: { id: 'asc' } } },
  })
  if (!order) throw new Refusal('buying/no-such-order', { order: orderId })
  if (order.state !== 'ordered') throw new Refusal('buying/order-done', { order: order.number })
  return order
}
export type OpenOrder = Awaited<ReturnType<typeof orderOpen>>

/** The lines of an order that are named and still due. Refuses with 'buying/line-done'. */
export function linesStillDue(order: OpenOrder, lineIds: readonly number[]): OpenOrder['lines'] {
  return lineIds.map((id) => {
    const line = order.lines.find((one) => one.id === id)
    if (!line || line.quantity <= line.received + line.cancelled)
      throw new Refusal('buying/line-done', { part: line?.part.number ?? id, order: order.number })
    return line
  })
}

/** No supplier delivers before it was asked. Refuses with 'input/invalid'. */
export function dayFits(order: OpenOrder, day: PlainDate, field: string): void {
  if (day >= dateOf(order.orderedAt)) return
  throw new Refusal(
    'input/invalid',
    { what: `${dateSays(day)} is before the order was sent` },
    { fields: { [field]: 'before the order was sent' } },
  )
}

/**
 * What the supplier confirmed, a day a line: it is then the day the line is due. The first confirmation is what the supplier is
 * judged by; a later one moves the day that the line is looked for.
 */
export function orderConfirm(context: WriteContext, input: OrderConfirmInput): Promise<null> {
  return write(context, 'buying.confirm', input, async (tx) => {
    if (input.lines.length === 0) throw new Refusal('buying/nothing-confirmed')
    const order = await orderOpen(tx, input.orderId)
    const dayOf = new Map(input.lines.map(({ lineId, day }) => [lineId, day]))
    const lines = linesStillDue(order, [...dayOf.keys()])
    for (const line of lines) {
      const day = dayOf.get(line.id)!
      dayFits(order, day, `day.${line.id}`)
      await tx.purchaseOrderLine.update({
        where: { id: line.id },
        data: line.confirmedOn === null ? { confirmedOn: day } : { promisedOn: day },
      })
    }
    if (input.reference !== '')
      await tx.purchaseOrder.update({ where: { id: order.id }, data: { supplierReference: input.reference } })
    const days = [...new Set(lines.map((line) => dayOf.get(line.id)!))]
    const oneDay = days.length === 1 ? `for ${dateSays(days[0]!)}` : ''
    const each = lines.map((line) => `${line.part.number} ${dateSays(dayOf.get(line.id)!)}`).join(', ')
    const words = [oneDay || each, input.reference === '' ? '' : `their number ${input.reference}`]
    await orderEvent(tx, context, {
      orderId: order.id,
      kind: 'confirmed',
      words: words.filter((one) => one !== '').join('; '),
    })
    return null
  })
}
