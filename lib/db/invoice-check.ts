import type { Receipt } from '../buying/note-price.ts'
import { type DifferenceState, differencesRecheck, invoiceStateOf } from '../invoice/invoice.ts'
import { type DifferenceKind, invoiceMatch, type MatchFacts, type MatchLine } from '../invoice/match.ts'
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

/** Orders with what came of them and their invoices, as they are held against each other; the oldest first. */
export async function invoiceOrders(reader: Reader, orderIds: readonly number[]) {
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
      invoices: {
        where: { state: { not: 'withdrawn' } },
        include: { lines: true, differences: { orderBy: { id: 'asc' } } },
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
export type InvoiceOrder = Awaited<ReturnType<typeof invoiceOrders>>[number]

/** One of them. Refuses with 'buying/no-such-order'. */
export async function invoiceOrder(reader: Reader, orderId: number): Promise<InvoiceOrder> {
  const [order] = await invoiceOrders(reader, [orderId])
  if (!order) throw new Refusal('buying/no-such-order', { order: orderId })
  return order
}

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

export interface Invoiced {
  carriageMinor: number
  depositsMinor: number
  taxThousandths: number
  taxMinor: number
  totalMinor: number
  lines: readonly { orderLineId: number; quantity: number; priceMinor: number }[]
}

/** What stands on invoices of the order that were entered before one; before the next one where none is named. */
export function invoicedBefore(order: InvoiceOrder, invoiceId = Number.POSITIVE_INFINITY) {
  const before = order.invoices.filter(({ id }) => id < invoiceId)
  const quantities = new Map<number, number>()
  for (const { orderLineId, quantity } of before.flatMap(({ lines }) => lines))
    quantities.set(orderLineId, (quantities.get(orderLineId) ?? 0) + quantity)
  return { quantities, carriageMinor: before.reduce((sum, one) => sum + one.carriageMinor, 0) }
}

/** An order line as an invoice is held against it. */
export function matchLine(
  line: InvoiceOrder['lines'][number],
  before: number,
  invoiced: MatchLine['invoiced'],
): MatchLine {
  const { id: lineId, part, quantity: ordered, priceMinor, amountMinor, depositMinor, came, damaged } = line
  return {
    ...{ lineId, number: part.number, unit: part.unit as StockUnit, ordered, priceMinor, amountMinor, depositMinor },
    ...{ came, damaged, before, invoiced },
  }
}

/** Everything that an invoice is held against. Refuses with 'buying/no-such-order' a line of another order. */
export function matchFacts(order: InvoiceOrder, invoice: Invoiced, invoiceId?: number): MatchFacts {
  const before = invoicedBefore(order, invoiceId)
  return {
    currency: order.currency,
    lines: invoice.lines.map(({ orderLineId, quantity, priceMinor }) => {
      const line = order.lines.find(({ id }) => id === orderLineId)
      if (!line) throw new Refusal('buying/no-such-order', { order: order.number })
      return matchLine(line, before.quantities.get(orderLineId) ?? 0, { quantity, priceMinor })
    }),
    agreed: {
      carriageMinor: order.carriageMinor,
      carriageBeforeMinor: before.carriageMinor,
      taxThousandths: order.taxThousandths,
    },
    invoice,
  }
}

/**
 * Holds the invoices of an order against it anew, inside a write: goods came, a receipt was reversed, or an earlier invoice was
 * withdrawn. Nothing of the ledger or of what the invoices say is touched.
 */
export async function invoicesRecheck(tx: Tx, orderId: number): Promise<void> {
  if ((await tx.invoice.count({ where: { orderId } })) === 0) return
  const order = await invoiceOrder(tx, orderId)
  for (const invoice of order.invoices) {
    const kept = invoice.differences.map(({ orderLineId, kind, state, ...one }) => ({
      ...one,
      ...{ lineId: orderLineId, kind: kind as DifferenceKind, state: state as DifferenceState },
    }))
    const { changed, added } = differencesRecheck(kept, invoiceMatch(matchFacts(order, invoice, invoice.id)))
    if (changed.length + added.length === 0) continue
    for (const { id, says, amountMinor, state } of changed)
      await tx.invoiceDifference.update({ where: { id }, data: { says, amountMinor, state } })
    for (const { lineId, ...one } of added)
      await tx.invoiceDifference.create({ data: { ...one, invoiceId: invoice.id, orderLineId: lineId } })
    await invoiceSettle(tx, invoice.id)
  }
}

/** An invoice stands as its differences do. */
export async function invoiceSettle(tx: Tx, invoiceId: number): Promise<void> {
  const rows = await tx.invoiceDifference.findMany({ where: { invoiceId }, select: { state: true } })
  const state = invoiceStateOf(rows.map((row) => ({ state: row.state as DifferenceState })))
  await tx.invoice.update({ where: { id: invoiceId }, data: { state } })
}
