import {
  type CreditReason,
  type LineCredited,
  lineLeft,
  type OwedFor,
  openMinor,
  owedMinor,
} from '../invoice/credit.ts'
import type { DifferenceState } from '../invoice/invoice.ts'
import type { DifferenceKind, MatchLine } from '../invoice/match.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import type { Reader } from './exchange-rows.ts'
import {
  creditedFor,
  type Held,
  type InvoiceOf,
  type InvoiceOrder,
  invoicesHeld,
  matchFacts,
  orderIdsOf,
} from './invoice-orders.ts'

/** A difference of an invoice beside what credit notes give back for it. Money minor units without tax. */
export interface Owed extends OwedFor {
  id: number
  lineId: number | null
  says: string
  owedMinor: number
  openMinor: number
}

/** A line of an invoice beside what credit notes give back of it, and what they may give beyond. */
export interface LineOwed {
  match: MatchLine
  credited: LineCredited
  left: LineCredited
}

/** An invoice as credit notes are held against it. */
export interface Creditable {
  id: number
  number: string
  taxThousandths: number
  currency: string
  orderIds: readonly number[]
  orders: readonly InvoiceOrder[]
  owed: Owed[]
  lines: LineOwed[]
  /** How many pieces of a line earlier credits of a reason paid for. */
  piecesOf: (lineId: number, reason: CreditReason) => number
}

/** The differences of an invoice with what was credited of each. */
export function owedOf(invoice: Pick<InvoiceOf, 'differences' | 'credits'>): Owed[] {
  const credited = creditedFor(invoice.credits)
  return invoice.differences.map(({ id, orderLineId: lineId, kind, state, says, amountMinor }) => {
    const of = {
      ...{ kind: kind as DifferenceKind, state: state as DifferenceState, amountMinor },
      creditedMinor: credited(id),
    }
    return { ...of, id, lineId, says, owedMinor: owedMinor(of), openMinor: openMinor(of) }
  })
}

function creditableOf(held: Held, invoice: InvoiceOf): Creditable {
  const facts = matchFacts(held, invoice.orderIds, invoice, invoice.id)
  return {
    ...{ id: invoice.id, number: invoice.number, taxThousandths: invoice.taxThousandths },
    ...{ currency: facts.currency, orderIds: invoice.orderIds, orders: facts.orders },
    owed: owedOf(invoice),
    lines: facts.lines.map((match) => {
      const credited = lineCredited(invoice.credits, match.lineId)
      return { match, credited, left: lineLeft(match, credited) }
    }),
    piecesOf: (lineId, reason) =>
      lineCredited(
        invoice.credits.filter((one) => one.reason === reason),
        lineId,
      ).pieces,
  }
}

/** What lines of credit notes give back of one line of an invoice. */
export function lineCredited(
  credits: readonly { orderLineId: number | null; quantity: number; amountMinor: number }[],
  lineId: number,
): LineCredited {
  const of = credits.filter(({ orderLineId }) => orderLineId === lineId)
  return {
    pieces: of.reduce((sum, { quantity }) => sum + quantity, 0),
    amountMinor: of.reduce((sum, { amountMinor }) => sum + amountMinor, 0),
  }
}

/**
 * Invoices that one credit note may be of together, the first the one it is entered at. Refuses with 'invoice/no-such',
 * 'invoice/withdrawn' and 'credit/invoices-differ'.
 */
export async function creditables(reader: Reader, invoiceIds: readonly number[]): Promise<Creditable[]> {
  const ids = [...new Set(invoiceIds)]
  const rows = await (reader as Tx).invoice.findMany({
    where: { id: { in: ids } },
    include: { lines: { include: { orderLine: { select: { orderId: true } } } } },
  })
  const byId = new Map(rows.map((row) => [row.id, row]))
  for (const id of ids) {
    const row = byId.get(id)
    if (!row) throw new Refusal('invoice/no-such', { invoice: id })
    if (row.state === 'withdrawn') throw new Refusal('invoice/withdrawn', { number: row.number })
  }
  const held = await invoicesHeld(reader, [...new Set(rows.flatMap((row) => orderIdsOf(row.lines)))])
  const found = ids.flatMap((id) => held.invoices.find((one) => one.id === id) ?? [])
  const [first, ...others] = found.map((one) => creditableOf(held, one)) as [Creditable, ...Creditable[]]
  for (const other of others)
    if (
      other.orders[0]!.supplierId !== first.orders[0]!.supplierId ||
      other.currency !== first.currency ||
      other.taxThousandths !== first.taxThousandths
    )
      throw new Refusal('credit/invoices-differ', { invoice: other.number, first: first.number })
  return [first, ...others]
}
