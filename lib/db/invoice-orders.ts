import type { Receipt } from '../buying/note-price.ts'
import { sharesWhole } from '../cost-centre/share.ts'
import type { MatchFacts, MatchLine } from '../invoice/match.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { lineAmount } from '../price/offer-price.ts'
import { Refusal } from '../refusal.ts'
import { carriageOn } from '../replenish/order-list.ts'
import { settingsRead } from '../settings.ts'
import type { Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'

/** Carriage of an order: as it was fixed when it was sent, else by what the supplier asks now. */
export function orderCarriage(
  order: { carriageMinor: number | null },
  goodsMinor: number,
  supplier: Parameters<typeof carriageOn>[1],
): number {
  return order.carriageMinor ?? carriageOn(goodsMinor, supplier)
}

/** Orders with what came of them, as invoices are held against it; the oldest first. */
async function ordersCame(reader: Reader, orderIds: readonly number[]) {
  const orders = await (reader as Tx).purchaseOrder.findMany({
    where: { id: { in: [...orderIds] } },
    include: {
      supplier: true,
      lines: {
        include: {
          ...{ part: true, deliveries: true },
          movements: { where: { kind: 'receive', reversedBy: null }, orderBy: { id: 'asc' } },
        },
        orderBy: { id: 'asc' },
      },
    },
    orderBy: { id: 'asc' },
  })
  return orders.map((order) => {
    const goodsMinor = order.lines.reduce((sum, line) => sum + lineAmount(line, line.part.unit as StockUnit), 0)
    return {
      ...order,
      carriageMinor: orderCarriage(order, goodsMinor, order.supplier),
      isCarriageFixed: order.carriageMinor !== null,
      currency: order.currency ?? settingsRead().currency,
      lines: order.lines.map((line) => {
        const of = (kind: string) =>
          line.deliveries.reduce((sum, one) => sum + (one.kind === kind ? one.quantity : 0), 0)
        return { ...line, came: line.received + of('over'), damaged: of('damaged'), receipts: receiptsOf(line) }
      }),
    }
  })
}
export type InvoiceOrder = Awaited<ReturnType<typeof ordersCame>>[number]

/** Receipts of a line that stand, with the price that was noted with each; what came damaged has that of the sound ones beside it. */
function receiptsOf(line: {
  movements: readonly { id: number; quantity: number; writeKey: string }[]
  deliveries: readonly { kind: string; priceMinor: number | null; movementId: number | null }[]
}): Receipt[] {
  const keyOf = new Map(line.movements.map(({ id, writeKey }) => [id, writeKey]))
  const noted = new Map(
    line.deliveries.flatMap(({ kind, priceMinor, movementId }) =>
      kind === 'price' ? [[keyOf.get(movementId ?? 0), priceMinor] as const] : [],
    ),
  )
  return line.movements.map(({ quantity, writeKey }) => ({ quantity, notedMinor: noted.get(writeKey) ?? null }))
}

/** A line of a credit note counts until that is withdrawn. */
export const CREDIT_COUNTS = { creditNote: { state: 'entered' } } as const

/** What credit notes give back for each difference, money minor units without tax. */
export function creditedFor(
  credits: readonly { differenceId: number | null; amountMinor: number }[],
): (differenceId: number) => number {
  return (id) => credits.reduce((sum, one) => sum + (one.differenceId === id ? one.amountMinor : 0), 0)
}

/** Invoices with a line of one of the orders, withdrawn ones left out; the oldest first. */
export async function invoicesOf(reader: Reader, orderIds: readonly number[]) {
  const lines = await (reader as Tx).invoiceLine.findMany({
    where: { orderLine: { orderId: { in: [...orderIds] } } },
    distinct: ['invoiceId'],
    select: { invoiceId: true },
  })
  const rows = await (reader as Tx).invoice.findMany({
    where: { id: { in: lines.map(({ invoiceId }) => invoiceId) }, state: { not: 'withdrawn' } },
    include: {
      lines: { include: { orderLine: { select: { orderId: true } } } },
      differences: { orderBy: { id: 'asc' } },
      credits: { where: CREDIT_COUNTS, orderBy: { id: 'asc' } },
    },
    orderBy: { id: 'asc' },
  })
  return rows.map((row) => ({ ...row, orderIds: orderIdsOf(row.lines) }))
}
export type InvoiceOf = Awaited<ReturnType<typeof invoicesOf>>[number]

/** The orders that lines are of, the oldest first. */
export function orderIdsOf(lines: readonly { orderLine: { orderId: number } }[]): number[] {
  return [...new Set(lines.map(({ orderLine }) => orderLine.orderId))].sort((a, b) => a - b)
}

/** Orders, the invoices of any of them, and the other orders that these are of too. */
export interface Held {
  orders: ReadonlyMap<number, InvoiceOrder>
  invoices: readonly InvoiceOf[]
}

/** Reads what invoices of these orders are held against. An order that is not there is in no answer. */
export async function invoicesHeld(reader: Reader, orderIds: readonly number[]): Promise<Held> {
  const invoices = await invoicesOf(reader, orderIds)
  const all = new Set([...orderIds, ...invoices.flatMap((one) => one.orderIds)])
  const orders = await ordersCame(reader, [...all])
  return { invoices, orders: new Map(orders.map((order) => [order.id, order])) }
}

/** Orders out of what was read. Refuses with 'buying/no-such-order'. */
export function ordersOf({ orders }: Held, orderIds: readonly number[]): InvoiceOrder[] {
  return orderIds.map((id) => {
    const order = orders.get(id)
    if (!order) throw new Refusal('buying/no-such-order', { order: id })
    return order
  })
}

/**
 * What stands on invoices of the orders that were entered before one; before the next one where none is named. The carriage of an
 * invoice of several orders is theirs by what was agreed for each. What was credited because it did not come is on no invoice any more;
 * what was credited as damaged is settled.
 */
export function invoicedBefore(held: Held, orderIds: readonly number[], invoiceId = Number.POSITIVE_INFINITY) {
  const quantities = new Map<number, number>()
  const damaged = new Map<number, number>()
  let carriageMinor = 0
  for (const one of held.invoices.filter(({ id }) => id < invoiceId)) {
    for (const { orderLineId, quantity } of one.lines)
      quantities.set(orderLineId, (quantities.get(orderLineId) ?? 0) + quantity)
    for (const { orderLineId, reason, quantity } of one.credits) {
      if (orderLineId === null) continue
      if (reason === 'short') quantities.set(orderLineId, (quantities.get(orderLineId) ?? 0) - quantity)
      if (reason === 'wrong') damaged.set(orderLineId, (damaged.get(orderLineId) ?? 0) + quantity)
    }
    const agreed = one.orderIds.map((id) => held.orders.get(id)?.carriageMinor ?? 0)
    // Where nothing was agreed for any, each has the same share of what was charged all the same.
    const shares = sharesWhole(one.carriageMinor, agreed.some((minor) => minor > 0) ? agreed : agreed.map(() => 1))
    one.orderIds.forEach((id, at) => {
      if (orderIds.includes(id)) carriageMinor += shares[at]!
    })
  }
  return { quantities, damaged, carriageMinor }
}
export type InvoicedBefore = ReturnType<typeof invoicedBefore>

/** An order line as an invoice is held against it; `of` names its order where the invoice is of several. */
export function matchLine(
  line: InvoiceOrder['lines'][number],
  earlier: Pick<InvoicedBefore, 'quantities' | 'damaged'>,
  invoiced: MatchLine['invoiced'],
  of: number | null = null,
): MatchLine {
  const { id: lineId, part, quantity: ordered, priceMinor, amountMinor, depositMinor, came } = line
  const before = earlier.quantities.get(lineId) ?? 0
  const damaged = Math.max(0, line.damaged - (earlier.damaged.get(lineId) ?? 0))
  const number = of === null ? part.number : `${part.number} of order ${of}`
  return {
    ...{ lineId, number, unit: part.unit as StockUnit, ordered, priceMinor, amountMinor, depositMinor },
    ...{ came, damaged, before, invoiced },
  }
}

/** What an invoice says, whether it is kept already or not. */
export interface Invoiced {
  carriageMinor: number
  depositsMinor: number
  taxThousandths: number
  taxMinor: number
  totalMinor: number
  lines: readonly { orderLineId: number; quantity: number; priceMinor: number }[]
}

/**
 * Everything that an invoice of some orders is held against. Refuses with 'buying/no-such-order' a line of another order, and with
 * 'invoice/orders-differ' orders that no invoice can be of together.
 */
export function matchFacts(
  held: Held,
  orderIds: readonly number[],
  invoice: Invoiced,
  invoiceId?: number,
): MatchFacts & { orders: InvoiceOrder[] } {
  const orders = ordersOf(held, orderIds)
  const [first, ...others] = orders
  if (!first) throw new Refusal('invoice/empty')
  for (const other of others)
    if (!goTogether(first, other))
      throw new Refusal('invoice/orders-differ', { order: other.number, first: first.number })
  const before = invoicedBefore(held, orderIds, invoiceId)
  const lineOf = new Map(orders.flatMap((order) => order.lines.map((line) => [line.id, { line, order }] as const)))
  return {
    orders,
    currency: first.currency,
    lines: invoice.lines.map(({ orderLineId, quantity, priceMinor }) => {
      const found = lineOf.get(orderLineId)
      if (!found) throw new Refusal('buying/no-such-order', { order: first.number })
      const of = others.length === 0 ? null : found.order.number
      return matchLine(found.line, before, { quantity, priceMinor }, of)
    }),
    agreed: {
      carriageMinor: orders.reduce((sum, { carriageMinor }) => sum + carriageMinor, 0),
      carriageBeforeMinor: before.carriageMinor,
      taxThousandths: first.taxThousandths,
    },
    invoice,
  }
}

/** Orders of one supplier, in one currency and at one rate of tax: only those can be on one invoice. */
function goTogether(one: InvoiceOrder, other: InvoiceOrder): boolean {
  const { supplierId, currency, taxThousandths } = one
  return supplierId === other.supplierId && currency === other.currency && taxThousandths === other.taxThousandths
}
