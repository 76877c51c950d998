import { invoiceMatch } from '../invoice/match.ts'
import { type InvoiceProof, invoiceFaults } from '../verify/invoices.ts'
import { database } from './client.ts'
import { slices } from './exchange-rows.ts'
import { type Held, invoicesHeld, matchFacts, orderIdsOf } from './invoice-orders.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 100

/** Holds each invoice against its lines, its orders and receipts, and what was decided on its differences. */
export async function invoicesVerify(): Promise<string[]> {
  const db = database()
  const faults: string[] = []
  for (const slice of slices(
    (await db.invoice.findMany({ select: { id: true }, orderBy: { id: 'asc' } })).map(({ id }) => id),
    AT_ONCE,
  )) {
    const rows = await invoiceRows(slice)
    const orderIds = [...new Set(rows.flatMap((row) => [row.orderId, ...orderIdsOf(row.lines)]))]
    const held = await invoicesHeld(db, orderIds)
    const events = await db.orderEvent.findMany({ where: { orderId: { in: orderIds } } })
    faults.push(...invoiceFaults(rows.map((row) => proofOf(row, held, events))))
  }
  return faults
}

function invoiceRows(ids: readonly number[]) {
  return database().invoice.findMany({
    where: { id: { in: [...ids] } },
    include: {
      lines: { include: { orderLine: { select: { orderId: true } } } },
      differences: { orderBy: { id: 'asc' } },
    },
    orderBy: { id: 'asc' },
  })
}

function proofOf(
  row: Awaited<ReturnType<typeof invoiceRows>>[number],
  held: Held,
  events: readonly { orderId: number | null; kind: string; personId: string; at: Date }[],
): InvoiceProof {
  const orderIds = orderIdsOf(row.lines)
  const orders = orderIds.flatMap((id) => held.orders.get(id) ?? [])
  // An invoice of other suppliers' orders cannot be held against them; that it is so is a fault of its own.
  const isWhole = orders.length > 0 && orders.every(({ supplierId }) => supplierId === row.supplierId)
  // What earlier invoices charged is theirs by what was agreed for each of their orders.
  const sharing = held.invoices.flatMap((one) => (one.orderIds.some((id) => orderIds.includes(id)) ? one.orderIds : []))
  return {
    ...row,
    isOfOrder: orderIds.includes(row.orderId),
    orders: orders.map(({ id, supplierId, supplier }) => ({ id, supplierId, supplier: supplier.name })),
    lines: row.lines.length,
    isCarriageFixed: sharing.every((id) => held.orders.get(id)?.isCarriageFixed),
    now: isWhole ? invoiceMatch(matchFacts(held, orderIds, row, row.id)) : null,
    differences: row.differences.map(({ orderLineId, decidedAt, ...one }) => ({
      ...one,
      ...{ lineId: orderLineId, decidedAt: decidedAt === null ? null : decidedAt.getTime() },
    })),
    enteredAt: row.enteredAt.getTime(),
    record: events
      .filter(({ orderId }) => orderId !== null && orderIds.includes(orderId))
      .map(({ at, ...event }) => ({ ...event, at: at.getTime() })),
  }
}
