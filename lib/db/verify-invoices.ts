import { invoiceMatch } from '../invoice/match.ts'
import { type InvoiceProof, invoiceFaults } from '../verify/invoices.ts'
import { database, type Tx } from './client.ts'
import { slices } from './exchange-rows.ts'
import { type InvoiceOrder, invoiceOrders, matchFacts } from './invoice-check.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 200

/** Holds each invoice against its lines, its order and receipts, and what was decided on its differences. */
export async function invoicesVerify(): Promise<string[]> {
  const db = database()
  const ids = await db.invoice.findMany({
    distinct: ['orderId'],
    select: { orderId: true },
    orderBy: { orderId: 'asc' },
  })
  const faults: string[] = []
  for (const slice of slices(
    ids.map(({ orderId }) => orderId),
    AT_ONCE,
  )) {
    const orders = new Map((await invoiceOrders(db as unknown as Tx, slice)).map((order) => [order.id, order]))
    const rows = await invoiceRows(slice)
    const events = await db.orderEvent.findMany({ where: { orderId: { in: slice } } })
    faults.push(
      ...invoiceFaults(
        rows.flatMap((row) => {
          const order = orders.get(row.orderId)
          const record = events.filter((event) => event.orderId === row.orderId)
          return order ? [proofOf(row, order, record)] : []
        }),
      ),
    )
  }
  return faults
}

function invoiceRows(orderIds: readonly number[]) {
  return database().invoice.findMany({
    where: { orderId: { in: [...orderIds] } },
    include: { lines: true, differences: { orderBy: { id: 'asc' } } },
    orderBy: { id: 'asc' },
  })
}

function proofOf(
  row: Awaited<ReturnType<typeof invoiceRows>>[number],
  order: InvoiceOrder,
  record: readonly { kind: string; personId: string; at: Date }[],
): InvoiceProof {
  const known = new Set(order.lines.map(({ id }) => id))
  const strangeLines = row.lines.flatMap(({ orderLineId }) => (known.has(orderLineId) ? [] : [orderLineId]))
  return {
    ...row,
    orderSuppliers: [order.supplierId],
    lines: row.lines.length,
    strangeLines,
    isCarriageFixed: order.isCarriageFixed,
    now: strangeLines.length > 0 ? null : invoiceMatch(matchFacts(order, row, row.id)),
    differences: row.differences.map(({ orderLineId, decidedAt, ...one }) => ({
      ...one,
      ...{ lineId: orderLineId, decidedAt: decidedAt === null ? null : decidedAt.getTime() },
    })),
    enteredAt: row.enteredAt.getTime(),
    record: record.map(({ at, ...event }) => ({ ...event, at: at.getTime() })),
  }
}
