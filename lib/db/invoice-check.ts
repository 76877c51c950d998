import { type DifferenceState, differencesRecheck, invoiceStateOf } from '../invoice/invoice.ts'
import { type DifferenceKind, invoiceMatch } from '../invoice/match.ts'
import type { Tx } from './client.ts'
import { creditedFor, invoicesHeld, invoicesOf, matchFacts } from './invoice-orders.ts'

/**
 * Holds the invoices of some orders against them anew, inside a write: goods came, a receipt was reversed, an earlier invoice was
 * withdrawn, or a credit note was entered or withdrawn. Nothing of the ledger or of what the invoices say is touched.
 */
export async function invoicesRecheck(tx: Tx, ...orderIds: readonly number[]): Promise<void> {
  const invoices = await invoicesOf(tx, orderIds)
  if (invoices.length === 0) return
  // Orders that an invoice is of as well have invoices of their own, which come before it.
  const held = await invoicesHeld(tx, [...new Set(invoices.flatMap((one) => one.orderIds))])
  for (const invoice of invoices) {
    const credited = creditedFor(invoice.credits)
    const kept = invoice.differences.map(({ orderLineId, kind, state, ...one }) => ({
      ...one,
      ...{ lineId: orderLineId, kind: kind as DifferenceKind, state: state as DifferenceState },
      creditedMinor: credited(one.id),
    }))
    const now = invoiceMatch(matchFacts(held, invoice.orderIds, invoice, invoice.id))
    const { changed, added } = differencesRecheck(kept, now)
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
