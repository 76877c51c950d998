import { isTooMuch } from '../invoice/credit.ts'
import {
  type CreditProof,
  creditedFaults,
  creditFaults,
  type OverCredited,
  overCreditedFaults,
} from '../verify/credits.ts'
import { database } from './client.ts'
import { lineCredited } from './credit-owed.ts'
import { slices } from './exchange-rows.ts'
import { creditedFor, invoicesHeld, matchFacts, orderIdsOf } from './invoice-orders.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 100

/** Holds each credit note against its invoices, and what it gives back against their differences and lines. */
export async function creditsVerify(): Promise<string[]> {
  const db = database()
  const faults: string[] = []
  const notes = await db.creditNote.findMany({ select: { id: true }, orderBy: { id: 'asc' } })
  for (const slice of slices(
    notes.map(({ id }) => id),
    AT_ONCE,
  ))
    faults.push(...creditFaults(await proofsOf(slice)))
  const invoices = await db.invoice.findMany({
    where: {
      ...{ state: { not: 'withdrawn' } },
      OR: [{ credits: { some: {} } }, { differences: { some: { state: 'credited' } } }],
    },
    select: { id: true },
    orderBy: { id: 'asc' },
  })
  for (const slice of slices(
    invoices.map(({ id }) => id),
    AT_ONCE,
  ))
    faults.push(...(await invoicesCredited(slice)))
  return faults
}

async function proofsOf(ids: readonly number[]): Promise<CreditProof[]> {
  const rows = await database().creditNote.findMany({
    where: { id: { in: [...ids] } },
    include: {
      lines: {
        include: {
          difference: { select: { id: true, invoiceId: true, orderLineId: true, kind: true } },
          invoice: {
            include: {
              order: { select: { currency: true } },
              lines: { include: { orderLine: { select: { orderId: true } } } },
            },
          },
        },
        orderBy: { id: 'asc' },
      },
    },
    orderBy: { id: 'asc' },
  })
  const ordersOfRow = (row: (typeof rows)[number]) => orderIdsOf(row.lines.flatMap(({ invoice }) => invoice.lines))
  const events = await database().orderEvent.findMany({
    where: {
      ...{ orderId: { in: [...new Set(rows.flatMap(ordersOfRow))] } },
      kind: { in: ['credited', 'uncredited'] },
    },
  })
  return rows.map((row) => {
    const orderIds = ordersOfRow(row)
    const invoices = new Map(row.lines.map(({ invoice }) => [invoice.id, invoice]))
    return {
      ...row,
      enteredAt: row.enteredAt.getTime(),
      invoices: [...invoices.values()].map(({ order, ...invoice }) => ({ ...invoice, currency: order.currency })),
      record: events
        .filter(({ orderId }) => orderId !== null && orderIds.includes(orderId))
        .map(({ at, ...event }) => ({ ...event, at: at.getTime() })),
    }
  })
}

/** Differences and lines of invoices against the sum of what is credited of them. */
async function invoicesCredited(ids: readonly number[]): Promise<string[]> {
  const lines = await database().invoiceLine.findMany({
    where: { invoiceId: { in: [...ids] } },
    select: { orderLine: { select: { orderId: true } } },
  })
  const held = await invoicesHeld(database(), orderIdsOf(lines))
  return held.invoices
    .filter(({ id }) => ids.includes(id))
    .flatMap((invoice) => {
      const credited = creditedFor(invoice.credits)
      const named = `${invoice.id} (${invoice.number})`
      const orders = invoice.orderIds.flatMap((id) => held.orders.get(id) ?? [])
      // An invoice of other suppliers' orders cannot be held against them; that it is so is a fault of invoices.
      const isWhole = orders.every(({ supplierId }) => supplierId === invoice.supplierId)
      const facts = isWhole ? matchFacts(held, invoice.orderIds, invoice, invoice.id) : null
      const over = (facts?.lines ?? []).flatMap((match): OverCredited[] => {
        const of = lineCredited(invoice.credits, match.lineId)
        return isTooMuch(match, of) ? [{ invoice: named, lineId: match.lineId, ...of }] : []
      })
      return [
        ...creditedFaults(
          invoice.differences.map((one) => ({ ...one, invoice: named, creditedMinor: credited(one.id) })),
        ),
        ...overCreditedFaults(over),
      ]
    })
}
