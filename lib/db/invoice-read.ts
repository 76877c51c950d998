import { priceNoted } from '../buying/note-price.ts'
import type { DifferenceState, InvoiceState } from '../invoice/invoice.ts'
import {
  DIFFERENCE_KINDS,
  type DifferenceKind,
  depositsOn,
  expectedCarriage,
  expectedQuantity,
  invoicedAmount,
} from '../invoice/match.ts'
import { totalsOf } from '../invoice/tax.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { taxRate } from './buying-settings.ts'
import { database, type Tx } from './client.ts'
import { invoicedBefore, invoiceOrder, matchLine } from './invoice-check.ts'
import { personNames } from './part-typed.ts'

/**
 * An invoice of an order as it is expected: what came and is on no invoice, at what the delivery note asked, else what was agreed. Refuses with
 * 'buying/no-such-order'.
 */
export async function invoiceExpected(orderId: number) {
  const order = await invoiceOrder(database(), orderId)
  const before = invoicedBefore(order)
  const lines = order.lines.map((line) => {
    const invoiced = before.quantities.get(line.id) ?? 0
    const quantity = expectedQuantity({ came: line.came, before: invoiced })
    const notedMinor = priceNoted(line.receipts, invoiced)
    const match = matchLine(line, invoiced, { quantity, priceMinor: notedMinor ?? line.priceMinor })
    return { ...match, notedMinor, partId: line.partId, description: line.part.description, expected: quantity }
  })
  const carriageMinor = expectedCarriage({ ...order, carriageBeforeMinor: before.carriageMinor })
  const taxThousandths = order.taxThousandths ?? (await taxRate(database(), order.supplier)) ?? 0
  return {
    orderId: order.id,
    number: order.number,
    supplier: order.supplier,
    currency: order.currency,
    orderedAt: order.orderedAt,
    lines,
    hasDeposits: order.lines.some((line) => line.depositMinor !== null),
    totals: totalsOf({
      goodsMinor: lines.reduce((sum, line) => sum + (line.expected > 0 ? invoicedAmount(line) : 0), 0),
      carriageMinor,
      depositsMinor: depositsOn(lines),
      taxThousandths,
    }),
  }
}
export type InvoiceExpected = Awaited<ReturnType<typeof invoiceExpected>>

/** An invoice with its lines beside the order, and its differences. Refuses with 'invoice/no-such'. */
export async function invoiceRead(invoiceId: number) {
  const db = database()
  const row = await db.invoice.findUnique({
    where: { id: invoiceId },
    include: { lines: true, differences: { orderBy: { id: 'asc' } } },
  })
  if (!row) throw new Refusal('invoice/no-such', { invoice: invoiceId })
  const order = await invoiceOrder(db, row.orderId)
  const before = invoicedBefore(order, row.id)
  const names = await personNames(
    db as unknown as Tx,
    [row.enteredById, ...row.differences.map((one) => one.decidedById ?? '')].filter((id) => id !== ''),
  )
  const lines = order.lines.flatMap((line) => {
    const invoiced = row.lines.find(({ orderLineId }) => orderLineId === line.id)
    if (!invoiced) return []
    const match = matchLine(line, before.quantities.get(line.id) ?? 0, invoiced)
    const { part, partId } = line
    return [{ ...match, partId, description: part.description, costMinor: invoicedAmount(match) }]
  })
  const { carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor } = row
  return {
    ...{ id: row.id, number: row.number, day: row.day, state: row.state as InvoiceState },
    ...{ enteredAt: row.enteredAt, person: names(row.enteredById), currency: order.currency },
    order: { id: order.id, number: order.number },
    supplier: order.supplier,
    lines,
    totals: {
      goodsMinor: lines.reduce((sum, line) => sum + line.costMinor, 0),
      ...{ carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor },
    },
    differences: row.differences.map((one) => ({
      ...{ id: one.id, says: one.says, amountMinor: one.amountMinor, reason: one.reason, decidedAt: one.decidedAt },
      ...{ state: one.state as DifferenceState, what: DIFFERENCE_KINDS[one.kind as DifferenceKind] },
      person: one.decidedById === null ? null : names(one.decidedById),
    })),
  }
}
export type InvoiceView = Awaited<ReturnType<typeof invoiceRead>>

/** States in which an invoice waits for somebody. */
const UNSETTLED = ['open', 'disputed']

/** How many invoices have differences that are open or disputed. */
export function invoicesUnsettled(): Promise<number> {
  return database().invoice.count({ where: { state: { in: UNSETTLED } } })
}

/** Invoices, newest first: those with differences to settle, the last that are settled, or all of one order. */
export async function invoicesList(of: 'unsettled' | 'settled' | { orderId: number }, take = 200) {
  const where =
    of === 'unsettled' ? { state: { in: UNSETTLED } } : of === 'settled' ? { state: { notIn: UNSETTLED } } : of
  const rows = await database().invoice.findMany({
    where,
    include: {
      supplier: { select: { name: true } },
      order: { select: { id: true, number: true, currency: true } },
      differences: { where: { state: { in: UNSETTLED } }, orderBy: { id: 'asc' } },
    },
    orderBy: { id: 'desc' },
    take,
  })
  return rows.map(({ id, number, day, state, totalMinor, supplier, order, differences }) => ({
    ...{ id, number, day, state: state as InvoiceState, totalMinor, supplier: supplier.name },
    order: { id: order.id, number: order.number },
    currency: order.currency ?? settingsRead().currency,
    differences: differences.map(({ says }) => says),
    /** What the supplier asks more by all differences that are not settled. */
    moreMinor: differences.reduce((sum, { amountMinor }) => sum + amountMinor, 0),
  }))
}
export type InvoiceListed = Awaited<ReturnType<typeof invoicesList>>[number]

/** Quantities that came of an order and stand on no invoice yet: how many lines. */
export async function linesToInvoice(orderId: number): Promise<number> {
  const { lines } = await invoiceExpected(orderId)
  return lines.filter(({ expected }) => expected > 0).length
}

/** How many invoices a supplier sent since a day, and of how many something was disputed. */
export async function invoicesWrong(supplierId: number, since: Date): Promise<{ all: number; wrong: number }> {
  const where = { supplierId, enteredAt: { gte: since }, state: { not: 'withdrawn' } }
  const [all, wrong] = await Promise.all([
    database().invoice.count({ where }),
    database().invoice.count({ where: { ...where, differences: { some: { wasDisputed: true } } } }),
  ])
  return { all, wrong }
}
