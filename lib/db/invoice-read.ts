import { priceNoted } from '../buying/note-price.ts'
import type { InvoiceState } from '../invoice/invoice.ts'
import {
  DIFFERENCE_KINDS,
  depositsOn,
  expectedCarriage,
  expectedQuantity,
  invoicedAmount,
  invoiceMatch,
} from '../invoice/match.ts'
import { totalsOf } from '../invoice/tax.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { taxRate } from './buying-settings.ts'
import { database, type Tx } from './client.ts'
import { owedOf } from './credit-owed.ts'
import { creditedOf } from './credit-read.ts'
import {
  CREDIT_COUNTS,
  type InvoiceOrder,
  invoicedBefore,
  invoicesHeld,
  matchFacts,
  matchLine,
  orderIdsOf,
  ordersOf,
} from './invoice-orders.ts'
import { personNames } from './part-typed.ts'

/**
 * An invoice of some orders as it is expected: what came and is on no invoice, at what the delivery note asked, else what was agreed.
 * The first order is the one it is entered at. Refuses with 'buying/no-such-order'.
 */
export async function invoiceExpected(...orderIds: readonly number[]) {
  const held = await invoicesHeld(database(), orderIds)
  const orders = ordersOf(held, orderIds)
  const [first] = orders as [InvoiceOrder]
  const before = invoicedBefore(held, orderIds)
  const lines = orders.flatMap((order) =>
    order.lines.map((line) => {
      const invoiced = before.quantities.get(line.id) ?? 0
      const quantity = expectedQuantity({ came: line.came, before: invoiced })
      const notedMinor = priceNoted(line.receipts, invoiced)
      const match = matchLine(line, before, { quantity, priceMinor: notedMinor ?? line.priceMinor })
      const { partId, part } = line
      return { ...match, notedMinor, partId, description: part.description, expected: quantity, order: order.number }
    }),
  )
  const agreed = orders.reduce((sum, { carriageMinor }) => sum + carriageMinor, 0)
  const taxThousandths = first.taxThousandths ?? (await taxRate(database(), first.supplier)) ?? 0
  return {
    orderId: first.id,
    number: first.number,
    orders: orders.map(({ id, number }) => ({ id, number })),
    supplier: first.supplier,
    currency: first.currency,
    orderedAt: first.orderedAt,
    lines,
    hasDeposits: orders.some((order) => order.lines.some((line) => line.depositMinor !== null)),
    totals: totalsOf({
      goodsMinor: lines.reduce((sum, line) => sum + (line.expected > 0 ? invoicedAmount(line) : 0), 0),
      carriageMinor: expectedCarriage({
        ...{ carriageMinor: agreed, carriageBeforeMinor: before.carriageMinor, taxThousandths },
      }),
      depositsMinor: depositsOn(lines),
      taxThousandths,
    }),
  }
}
export type InvoiceExpected = Awaited<ReturnType<typeof invoiceExpected>>

/** How many of the last orders are looked through for what one invoice may be of beside. */
const BESIDE = 20

/** Other orders that an invoice of one may be of too, the newest first: of them something came and is on no invoice. */
export async function ordersBeside(orderId: number): Promise<{ id: number; number: number; lines: number }[]> {
  const db = database()
  const order = await db.purchaseOrder.findUnique({ where: { id: orderId } })
  if (!order) throw new Refusal('buying/no-such-order', { order: orderId })
  const { supplierId, currency, taxThousandths } = order
  const others = await db.purchaseOrder.findMany({
    where: {
      ...{ supplierId, currency, taxThousandths, id: { not: orderId } },
      lines: { some: { received: { gt: 0 } } },
    },
    orderBy: { number: 'desc' },
    select: { id: true, number: true },
    take: BESIDE,
  })
  if (others.length === 0) return []
  const { lines } = await invoiceExpected(...others.map(({ id }) => id))
  return others
    .map((one) => ({
      ...one,
      lines: lines.filter(({ order, expected }) => order === one.number && expected > 0).length,
    }))
    .filter((one) => one.lines > 0)
}

/** An invoice with its lines beside the orders, and its differences. Refuses with 'invoice/no-such'. */
export async function invoiceRead(invoiceId: number) {
  const db = database()
  const row = await db.invoice.findUnique({
    where: { id: invoiceId },
    include: {
      lines: { include: { orderLine: { select: { orderId: true } } } },
      differences: { orderBy: { id: 'asc' } },
      credits: { where: CREDIT_COUNTS, orderBy: { id: 'asc' } },
    },
  })
  if (!row) throw new Refusal('invoice/no-such', { invoice: invoiceId })
  const orderIds = orderIdsOf(row.lines)
  const held = await invoicesHeld(db, orderIds)
  const orders = ordersOf(held, orderIds)
  const [first] = orders as [InvoiceOrder]
  const before = invoicedBefore(held, orderIds, row.id)
  const now = row.state === 'withdrawn' ? [] : invoiceMatch(matchFacts(held, orderIds, row, row.id))
  const names = await personNames(
    db as unknown as Tx,
    [row.enteredById, ...row.differences.map((one) => one.decidedById ?? '')].filter((id) => id !== ''),
  )
  const lines = orders.flatMap((order) =>
    order.lines.flatMap((line) => {
      const invoiced = row.lines.find(({ orderLineId }) => orderLineId === line.id)
      if (!invoiced) return []
      const match = matchLine(line, before, invoiced)
      const { part, partId } = line
      const costMinor = invoicedAmount(match)
      return [{ ...match, partId, description: part.description, costMinor, order: order.number }]
    }),
  )
  const { carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor } = row
  return {
    ...{ id: row.id, number: row.number, day: row.day, state: row.state as InvoiceState },
    ...{ enteredAt: row.enteredAt, person: names(row.enteredById), currency: first.currency },
    orders: orders.map(({ id, number }) => ({ id, number })),
    supplier: first.supplier,
    lines,
    totals: {
      goodsMinor: lines.reduce((sum, line) => sum + line.costMinor, 0),
      ...{ carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor },
    },
    differences: owedOf(row).map((owed, at) => {
      const { reason, decidedAt, decidedById } = row.differences[at]!
      const still = now.find(({ kind, lineId }) => kind === owed.kind && lineId === owed.lineId)?.amountMinor ?? 0
      return {
        ...{ ...owed, reason, decidedAt, what: DIFFERENCE_KINDS[owed.kind] },
        person: decidedById === null ? null : names(decidedById),
        /** Credited, and by now no difference any more: the supplier may charge it again. */
        beyondMinor: Math.max(0, owed.creditedMinor - Math.max(0, still)),
      }
    }),
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
    of === 'unsettled'
      ? { state: { in: UNSETTLED } }
      : of === 'settled'
        ? { state: { notIn: UNSETTLED } }
        : { lines: { some: { orderLine: { orderId: of.orderId } } } }
  const rows = await database().invoice.findMany({
    where,
    include: {
      supplier: { select: { name: true } },
      order: { select: { currency: true } },
      lines: { select: { orderLine: { select: { order: { select: { id: true, number: true } } } } } },
      differences: { where: { state: { in: UNSETTLED } }, orderBy: { id: 'asc' } },
      credits: { where: CREDIT_COUNTS, orderBy: { id: 'asc' } },
    },
    orderBy: { id: 'desc' },
    take,
  })
  const credited = await creditedOf(rows.map(({ id }) => id))
  return rows.map(({ id, number, day, state, totalMinor, supplier, order, lines, ...of }) => ({
    ...{ id, number, day, state: state as InvoiceState, totalMinor, supplier: supplier.name },
    orders: [...new Map(lines.map(({ orderLine }) => [orderLine.order.id, orderLine.order])).values()].sort(
      (a, b) => a.number - b.number,
    ),
    currency: order.currency ?? settingsRead().currency,
    /** Given back by credit notes, tax included. */
    creditedMinor: credited(id),
    differences: owedOf(of),
    /** What the supplier asks more by all differences that are not settled, without what was credited of it. */
    moreMinor: owedOf(of).reduce((sum, { amountMinor, creditedMinor }) => sum + amountMinor - creditedMinor, 0),
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
