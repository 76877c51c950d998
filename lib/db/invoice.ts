import type { OrderStep } from '../buying/order-life.ts'
import { nameKey } from '../catalogue/part-number.ts'
import { DIFFERENCE_STATES, type DifferenceState, invoiceStateOf } from '../invoice/invoice.ts'
import { invoiceMatch } from '../invoice/match.ts'
import type { DifferenceDecideInput, InvoiceInput, InvoiceWithdrawInput } from '../invoice/schema.ts'
import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { invoiceSettle, invoicesRecheck } from './invoice-check.ts'
import { CREDIT_COUNTS, type InvoiceOrder, invoicesHeld, matchFacts, orderIdsOf } from './invoice-orders.ts'
import { orderEvent } from './order-event.ts'
import { type WriteContext, write } from './transaction.ts'

/**
 * Enters a supplier's invoice of one or several orders, which are those of its lines, and keeps what it says otherwise than order and
 * receipt. Refuses with 'buying/no-such-order', 'invoice/empty', 'invoice/orders-differ', and 'invoice/entered-already' where that
 * number of the supplier is there.
 */
export function invoiceEnter(
  context: WriteContext,
  input: InvoiceInput,
): Promise<{ invoiceId: number; differences: number }> {
  return write(context, 'invoice.enter', input, async (tx) => {
    const { orderId: _, number, day, lines, ...charged } = input
    if (lines.length === 0) throw new Refusal('invoice/empty')
    const orderIds = await ordersOfLines(
      tx,
      lines.map(({ lineId }) => lineId),
    )
    const invoiced = lines.map(({ lineId, ...line }) => ({ orderLineId: lineId, ...line }))
    const facts = matchFacts(await invoicesHeld(tx, orderIds), orderIds, { ...charged, lines: invoiced })
    const [{ supplier, id: orderId }] = facts.orders as [InvoiceOrder]
    const numberKey = nameKey(number)
    await numberIsNew(tx, supplier, number, numberKey)
    const found = invoiceMatch(facts)
    const state = invoiceStateOf(found.map(() => ({ state: 'open' })))
    const { id } = await tx.invoice.create({
      data: {
        ...{ orderId, supplierId: supplier.id, number, numberKey, day, state, ...charged },
        ...{ enteredAt: context.now, enteredById: context.personId },
      },
    })
    for (const line of invoiced) await tx.invoiceLine.create({ data: { invoiceId: id, ...line } })
    for (const { lineId, ...one } of found)
      await tx.invoiceDifference.create({ data: { ...one, invoiceId: id, orderLineId: lineId } })
    const how = found.length === 0 ? 'agrees with order and receipt' : counted(found.length, 'difference')
    await ordersNoted(tx, context, orderIds, { kind: 'invoiced', words: `invoice ${number}, ${how}` })
    return { invoiceId: id, differences: found.length }
  })
}

/** Orders of order lines, the oldest first. Refuses with 'buying/no-such-order'. */
async function ordersOfLines(tx: Tx, lineIds: readonly number[]): Promise<number[]> {
  const rows = await tx.purchaseOrderLine.findMany({ where: { id: { in: [...lineIds] } }, select: { orderId: true } })
  if (rows.length < new Set(lineIds).size) throw new Refusal('buying/no-such-order', { order: '' })
  return orderIdsOf(rows.map((orderLine) => ({ orderLine })))
}

/** In the record of each order that an invoice is of. */
export async function ordersNoted(
  tx: Tx,
  context: WriteContext,
  orderIds: readonly number[],
  step: { kind: OrderStep; words: string },
): Promise<void> {
  for (const orderId of orderIds) await orderEvent(tx, context, { orderId, ...step })
}

/** The same number of the same supplier is the same invoice: it would be paid twice. */
async function numberIsNew(tx: Tx, supplier: { id: number; name: string }, number: string, numberKey: string) {
  const there = await tx.invoice.findUnique({
    where: { supplierId_numberKey: { supplierId: supplier.id, numberKey } },
    include: { order: { select: { number: true } } },
  })
  if (there)
    throw new Refusal(
      'invoice/entered-already',
      { number, supplier: supplier.name, order: there.order.number },
      { fields: { number: `entered already for order ${there.order.number}` } },
    )
}

/**
 * Accepts a difference, or says that it is disputed, with the reason; what was decided before may be decided otherwise later. Refuses
 * with 'invoice/no-such', 'invoice/withdrawn', and 'invoice/decided' where it stands otherwise than the person saw.
 */
export function differenceDecide(context: WriteContext, input: DifferenceDecideInput): Promise<{ invoiceId: number }> {
  return write(context, 'invoice.decide', input, async (tx) => {
    const row = await tx.invoiceDifference.findUnique({
      where: { id: input.differenceId },
      include: { invoice: { include: { lines: { include: { orderLine: { select: { orderId: true } } } } } } },
    })
    if (!row) throw new Refusal('invoice/no-such', { invoice: '' })
    const { invoice } = row
    if (invoice.state === 'withdrawn') throw new Refusal('invoice/withdrawn', { number: invoice.number })
    if (row.state !== input.seen)
      throw new Refusal('invoice/decided', { state: DIFFERENCE_STATES[row.state as DifferenceState].says })
    await tx.invoiceDifference.update({
      where: { id: row.id },
      data: {
        ...{ state: input.as, reason: input.reason, wasDisputed: row.wasDisputed || input.as === 'disputed' },
        ...{ decidedById: context.personId, decidedAt: context.now },
      },
    })
    await invoiceSettle(tx, invoice.id)
    const words = `invoice ${invoice.number}, ${row.says}: ${input.reason}`
    await ordersNoted(tx, context, orderIdsOf(invoice.lines), { kind: input.as, words })
    return { invoiceId: invoice.id }
  })
}

/**
 * Withdraws an invoice that was entered wrongly; it stays to be read, and its number can be entered anew. Refuses as a decision does, and with
 * 'invoice/credited' as long as a credit note counts for it.
 */
export function invoiceWithdraw(context: WriteContext, input: InvoiceWithdrawInput): Promise<{ orderId: number }> {
  return write(context, 'invoice.withdraw', input, async (tx) => {
    const invoice = await tx.invoice.findUnique({
      where: { id: input.invoiceId },
      include: { lines: { include: { orderLine: { select: { orderId: true } } } } },
    })
    if (!invoice) throw new Refusal('invoice/no-such', { invoice: input.invoiceId })
    if (invoice.state === 'withdrawn') throw new Refusal('invoice/withdrawn', { number: invoice.number })
    const { id, orderId, number, numberKey } = invoice
    const credit = await tx.creditLine.findFirst({
      where: { invoiceId: id, ...CREDIT_COUNTS },
      select: { creditNote: { select: { number: true } } },
    })
    if (credit) throw new Refusal('invoice/credited', { credit: credit.creditNote.number, number })
    await tx.invoice.update({
      where: { id },
      data: { state: 'withdrawn', numberKey: `${numberKey} withdrawn ${id}` },
    })
    const orderIds = orderIdsOf(invoice.lines)
    await ordersNoted(tx, context, orderIds, { kind: 'withdrawn', words: `invoice ${number}: ${input.reason}` })
    await invoicesRecheck(tx, ...orderIds)
    return { orderId }
  })
}
