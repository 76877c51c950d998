import {
  CREDIT_REASONS,
  type CreditReason,
  type CreditState,
  creditShares,
  creditTax,
  openMinor,
} from '../invoice/credit.ts'
import type { DifferenceState } from '../invoice/invoice.ts'
import type { DifferenceKind } from '../invoice/match.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { type Creditable, creditables } from './credit-owed.ts'
import { CREDIT_COUNTS } from './invoice-orders.ts'
import { personNames } from './part-typed.ts'

/** A difference that waits for somebody or for the supplier, and in which the supplier asks too much. */
const MAY_BE_OWED = { state: { in: ['open', 'disputed'] }, amountMinor: { gt: 0 } }

/**
 * A credit note of an invoice, and of others beside it, as it is expected: all that is still open, and what might have been sent back.
 * Refuses with 'invoice/no-such', 'invoice/withdrawn' and 'credit/invoices-differ'.
 */
export async function creditExpected(invoiceId: number, ...also: readonly number[]) {
  const invoices = await creditables(database(), [invoiceId, ...also])
  const [first] = invoices as [Creditable]
  const owed = invoices.flatMap((invoice) =>
    invoice.owed.filter((one) => one.openMinor > 0).map((one) => ({ ...one, invoice: invoice.number })),
  )
  const parts = new Map(first.orders.flatMap(({ lines }) => lines.map(({ id, part }) => [id, part] as const)))
  const expected = owed.map(({ kind, openMinor: amountMinor }) => ({ kind, amountMinor }))
  const netMinor = expected.reduce((sum, { amountMinor }) => sum + amountMinor, 0)
  const taxMinor = creditTax(expected, first.taxThousandths)
  return {
    ...{ invoiceId: first.id, number: first.number, currency: first.currency, owed },
    invoices: invoices.map(({ id, number }) => ({ id, number })),
    supplier: first.orders[0]!.supplier,
    lines: first.lines
      .filter(({ left }) => left.pieces > 0)
      .map(({ match, left }) => ({ ...match, left: left.pieces, description: parts.get(match.lineId)!.description })),
    totals: { netMinor, taxThousandths: first.taxThousandths, taxMinor, totalMinor: netMinor + taxMinor },
  }
}
export type CreditExpected = Awaited<ReturnType<typeof creditExpected>>

/** How many of the last invoices are looked through for what one credit note may be of beside. */
const BESIDE = 50

/** Other invoices that a credit note of one may be of too, the newest first: something of them is still to be credited. */
export async function invoicesBeside(invoiceId: number): Promise<{ id: number; number: string }[]> {
  const db = database()
  const invoice = await db.invoice.findUnique({ where: { id: invoiceId }, include: { order: true } })
  if (!invoice) throw new Refusal('invoice/no-such', { invoice: invoiceId })
  const { supplierId, taxThousandths, order } = invoice
  return db.invoice.findMany({
    where: {
      ...{ supplierId, taxThousandths, order: { currency: order.currency }, id: { not: invoiceId } },
      ...{ state: { not: 'withdrawn' }, differences: { some: MAY_BE_OWED } },
    },
    orderBy: { id: 'desc' },
    select: { id: true, number: true },
    take: BESIDE,
  })
}

const noteParts = {
  supplier: { select: { id: true, name: true } },
  invoice: { select: { order: { select: { currency: true } } } },
  lines: {
    include: {
      ...{ invoice: { select: { id: true, number: true } }, difference: { select: { kind: true, says: true } } },
      orderLine: {
        select: {
          priceMinor: true,
          part: { select: { id: true, number: true, description: true, unit: true } },
          order: { select: { rateMicro: true } },
        },
      },
    },
    orderBy: { id: 'asc' },
  },
} as const

function notes(where: object, take: number) {
  return database().creditNote.findMany({ where, include: noteParts, orderBy: { id: 'desc' }, take })
}

function listed(row: Awaited<ReturnType<typeof notes>>[number]) {
  const { id, number, day, state, taxThousandths, taxMinor, totalMinor, supplier, lines } = row
  const shares = creditShares({
    ...{ taxThousandths, totalMinor },
    lines: lines.map(({ invoiceId, difference, amountMinor }) => ({
      ...{ invoiceId, amountMinor, kind: (difference?.kind ?? null) as DifferenceKind | null },
    })),
  })
  return {
    ...{ id, number, day, state: state as CreditState, taxThousandths, taxMinor, totalMinor, supplier },
    netMinor: lines.reduce((sum, { amountMinor }) => sum + amountMinor, 0),
    currency: row.invoice.order.currency ?? settingsRead().currency,
    invoices: [...new Map(lines.map(({ invoice }) => [invoice.id, invoice])).values()].map((one) => ({
      ...one,
      shareMinor: shares.get(one.id)!,
    })),
    reasons: [...new Set(lines.map(({ reason }) => CREDIT_REASONS[reason as CreditReason]))],
  }
}

/** Credit notes, newest first: the last ones, or all that have a line of an invoice. */
export async function creditsList(of: 'last' | { invoiceId: number }, take = 50) {
  const where = of === 'last' ? {} : { lines: { some: { invoiceId: of.invoiceId } } }
  return (await notes(where, take)).map(listed)
}
export type CreditListed = Awaited<ReturnType<typeof creditsList>>[number]

/** What credit notes that count give back of each invoice, tax included; money minor units. */
export async function creditedOf(invoiceIds: readonly number[]): Promise<(invoiceId: number) => number> {
  const rows = await database().creditNote.findMany({
    where: { state: 'entered', lines: { some: { invoiceId: { in: [...invoiceIds] } } } },
    include: noteParts,
  })
  const credited = new Map<number, number>()
  for (const { invoices } of rows.map(listed))
    for (const { id, shareMinor } of invoices) credited.set(id, (credited.get(id) ?? 0) + shareMinor)
  return (id) => credited.get(id) ?? 0
}

/** A credit note with its lines. Refuses with 'credit/no-such'. */
export async function creditRead(creditNoteId: number) {
  const [row] = await notes({ id: creditNoteId }, 1)
  if (!row) throw new Refusal('credit/no-such', { credit: creditNoteId })
  const names = await personNames(database() as unknown as Tx, [row.enteredById])
  const rates = new Set(row.lines.map(({ orderLine }) => orderLine?.order.rateMicro ?? null))
  const [rateMicro = null] = rates
  return {
    ...listed(row),
    ...{ enteredAt: row.enteredAt, person: names(row.enteredById) },
    /** What it is in the workshop's money, at the rate that was fixed with the order; null where its lines have none, or several. */
    homeMinor: rates.size === 1 && rateMicro !== null ? rateTurn(row.totalMinor, rateMicro) : null,
    lines: row.lines.map(({ id, invoice, reason, quantity, amountMinor, difference, orderLine }) => ({
      ...{ id, invoice, quantity, amountMinor, reason: CREDIT_REASONS[reason as CreditReason] },
      says: difference?.says ?? null,
      part: orderLine === null ? null : { ...orderLine.part, unit: orderLine.part.unit as StockUnit },
    })),
  }
}
export type CreditView = Awaited<ReturnType<typeof creditRead>>

/** Money minor units of each currency. */
export type Sums = { currency: string; minor: number }[]

function sumsOf(rows: readonly { currency: string | null; minor: number }[]): Sums {
  const sums = new Map<string, number>()
  for (const { currency, minor } of rows) {
    const code = currency ?? settingsRead().currency
    sums.set(code, (sums.get(code) ?? 0) + minor)
  }
  return [...sums].map(([currency, minor]) => ({ currency, minor })).filter(({ minor }) => minor > 0)
}

/** Credit notes that a supplier sent since a day, what they gave back with tax, and what is still to be credited without, of all its invoices. */
export async function supplierCredits(
  supplierId: number,
  since: Date,
): Promise<{ all: number; credited: Sums; open: Sums }> {
  const [credits, differences] = await Promise.all([
    database().creditNote.findMany({
      where: { supplierId, state: 'entered', enteredAt: { gte: since } },
      select: { totalMinor: true, invoice: { select: { order: { select: { currency: true } } } } },
    }),
    database().invoiceDifference.findMany({
      where: { state: 'disputed', amountMinor: { gt: 0 }, invoice: { supplierId, state: { not: 'withdrawn' } } },
      select: {
        ...{ kind: true, state: true, amountMinor: true },
        credits: { where: CREDIT_COUNTS, select: { amountMinor: true } },
        invoice: { select: { order: { select: { currency: true } } } },
      },
    }),
  ])
  return {
    all: credits.length,
    credited: sumsOf(credits.map(({ totalMinor, invoice }) => ({ ...invoice.order, minor: totalMinor }))),
    open: sumsOf(
      differences.map(({ kind, state, amountMinor, credits: given, invoice }) => ({
        ...invoice.order,
        minor: openMinor({
          ...{ kind: kind as DifferenceKind, state: state as DifferenceState, amountMinor },
          creditedMinor: given.reduce((sum, one) => sum + one.amountMinor, 0),
        }),
      })),
    ),
  }
}
