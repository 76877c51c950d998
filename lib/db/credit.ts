import { nameKey } from '../catalogue/part-number.ts'
import {
  type CreditReason,
  creditMisfit,
  creditPieces,
  creditReason,
  creditSpread,
  isTooMuch,
  type LineCredited,
  lineLeft,
} from '../invoice/credit.ts'
import type { CreditInput, CreditWithdrawInput } from '../invoice/credit-schema.ts'
import { DIFFERENCE_STATES } from '../invoice/invoice.ts'
import { costOf, type DifferenceKind, differencePieces, type MatchLine } from '../invoice/match.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { type Creditable, creditables, lineCredited, type Owed } from './credit-owed.ts'
import { ordersNoted } from './invoice.ts'
import { invoiceSettle, invoicesRecheck } from './invoice-check.ts'
import { orderIdsOf } from './invoice-orders.ts'
import { type WriteContext, write } from './transaction.ts'

interface LineKept {
  invoiceId: number
  differenceId: number | null
  orderLineId: number | null
  reason: CreditReason
  quantity: number
  amountMinor: number
  /** Null for goods that were sent back. */
  kind: DifferenceKind | null
}

/**
 * Enters a supplier's credit note of one or several invoices, and settles the differences that it gives back whole. A difference that
 * nobody had decided on is disputed by it. Ledger, cost and worth of stock stay as they are. Refuses with 'invoice/no-such',
 * 'invoice/withdrawn', 'credit/invoices-differ', 'credit/empty', 'credit/nothing-owed', 'credit/more-than-owed',
 * 'credit/more-than-invoiced', 'credit/adds-up', and 'credit/entered-already' where that number of the supplier is there.
 */
export function creditEnter(context: WriteContext, input: CreditInput): Promise<{ creditNoteId: number }> {
  return write(context, 'credit.enter', input, async (tx) => {
    const { number, day, taxMinor, totalMinor } = input
    const invoices = await creditables(tx, [input.invoiceId, ...input.alsoIds])
    const [first] = invoices as [Creditable]
    const { supplier } = first.orders[0]!
    const numberKey = nameKey(number)
    await numberIsNew(tx, supplier, number, numberKey)
    const lines = linesOf(invoices, input)
    if (lines.length === 0) throw new Refusal('credit/empty')
    addsUp(first, { lines, taxMinor, totalMinor })
    const { id } = await tx.creditNote.create({
      data: {
        ...{ invoiceId: Math.min(...lines.map(({ invoiceId }) => invoiceId)), supplierId: supplier.id },
        ...{ number, numberKey, day, taxThousandths: first.taxThousandths, taxMinor, totalMinor },
        ...{ enteredAt: context.now, enteredById: context.personId },
      },
    })
    for (const { kind: _, ...line } of lines) await tx.creditLine.create({ data: { creditNoteId: id, ...line } })
    const named = invoices.filter((one) => lines.some(({ invoiceId }) => invoiceId === one.id))
    for (const invoice of named) {
      const credited = lines.filter(({ invoiceId }) => invoiceId === invoice.id)
      const sum = credited.reduce((all, { amountMinor }) => all + amountMinor, 0)
      await ordersNoted(tx, context, invoice.orderIds, {
        kind: 'credited',
        words: `credit note ${number} for invoice ${invoice.number}, ${moneyFormat(sum, invoice.currency)} without tax`,
      })
      const ids = credited.map(({ differenceId }) => differenceId)
      for (const one of invoice.owed)
        if (one.state === 'open' && ids.includes(one.id)) await dispute(tx, context, { invoice, one, number })
      await invoiceSettle(tx, invoice.id)
    }
    await invoicesRecheck(tx, ...new Set(named.flatMap(({ orderIds }) => orderIds)))
    return { creditNoteId: id }
  })
}

/** A supplier that gives money back for what nobody had decided on has said itself that it was wrong. */
async function dispute(
  tx: Tx,
  context: WriteContext,
  { invoice, one, number }: { invoice: Creditable; one: Owed; number: string },
): Promise<void> {
  const reason = `credit note ${number} came`
  await tx.invoiceDifference.update({
    where: { id: one.id },
    data: {
      ...{ state: 'disputed', reason, wasDisputed: true },
      ...{ decidedById: context.personId, decidedAt: context.now },
    },
  })
  const words = `invoice ${invoice.number}, ${one.says}: ${reason}`
  await ordersNoted(tx, context, invoice.orderIds, { kind: 'disputed', words })
}

/** The lines to be kept, each held against what is owed for it or was invoiced. */
function linesOf(invoices: readonly Creditable[], input: CreditInput): LineKept[] {
  const [first] = invoices as [Creditable]
  const owed = invoices.flatMap((invoice) => invoice.owed.map((one) => ({ invoice, one })))
  let given = input.lines
  if (input.sumMinor !== null) {
    const spread = creditSpread(
      input.sumMinor,
      owed.map(({ one }) => one),
    )
    if (spread.restMinor > 0)
      throw moreThanOwed(
        { says: 'all differences together', creditedMinor: input.sumMinor, field: 'sum', currency: first.currency },
        owed.map(({ one }) => one),
      )
    given = spread.lines
  }
  const byId = new Map(owed.map((of) => [of.one.id, of]))
  const lines = given.map(({ differenceId, amountMinor }) => {
    const of = byId.get(differenceId)
    if (!of) throw new Refusal('invoice/no-such', { invoice: '' })
    return lineFor(of.invoice, of.one, amountMinor)
  })
  const all = [...lines, ...input.back.map((one) => backLine(first, one))]
  for (const invoice of invoices) notMoreThanInvoiced(invoice, all)
  return all
}

function lineFor(invoice: Creditable, one: Owed, amountMinor: number): LineKept {
  const { id, kind, says, state, lineId } = one
  const field = `credit.${id}`
  if (one.openMinor === 0)
    throw new Refusal(
      'credit/nothing-owed',
      { says, state: one.amountMinor <= 0 ? 'in your favour' : DIFFERENCE_STATES[state].says },
      { fields: { [field]: 'nothing is owed for it' } },
    )
  if (amountMinor > one.openMinor)
    throw moreThanOwed({ says, creditedMinor: amountMinor, field, currency: invoice.currency }, [one])
  const reason = creditReason(kind)
  const match = invoice.lines.find((line) => line.match.lineId === lineId)?.match
  const quantity =
    match === undefined || lineId === null
      ? 0
      : creditPieces({
          ...{ pieces: differencePieces(kind, match), piecesBefore: invoice.piecesOf(lineId, reason) },
          ...{ amountMinor: one.amountMinor, creditedMinor: one.creditedMinor, nowMinor: amountMinor },
        })
  return { invoiceId: invoice.id, differenceId: id, orderLineId: lineId, reason, quantity, amountMinor, kind }
}

function moreThanOwed(
  { says, creditedMinor, field, currency }: { says: string; creditedMinor: number; field: string; currency: string },
  of: readonly Owed[],
): Refusal {
  const money = (minor: number) => moneyFormat(minor, currency)
  const [open, owed] = (['openMinor', 'owedMinor'] as const).map((what) => of.reduce((sum, one) => sum + one[what], 0))
  return new Refusal(
    'credit/more-than-owed',
    { says, credited: money(creditedMinor), open: money(open!), owed: money(owed!) },
    { fields: { [field]: `open is ${money(open!)}` } },
  )
}

/** Goods that were sent back, at the price of the invoice at most. */
function backLine(invoice: Creditable, { lineId, quantity, amountMinor }: CreditInput['back'][number]): LineKept {
  const line = invoice.lines.find(({ match }) => match.lineId === lineId)
  if (!line) throw new Refusal('invoice/no-such', { invoice: invoice.number })
  const { match } = line
  const costMinor = costOf(quantity, match.invoiced.priceMinor, match.unit)
  if (quantity <= match.invoiced.quantity && amountMinor > costMinor)
    throw moreThanInvoiced(invoice, match, { pieces: quantity, amountMinor: costMinor })
  const of = { invoiceId: invoice.id, differenceId: null, orderLineId: lineId }
  return { ...of, reason: 'sent-back', quantity, amountMinor, kind: null }
}

/** Differences and goods sent back together never take more off a line than it has on the invoice. */
function notMoreThanInvoiced(invoice: Creditable, all: readonly LineKept[]): void {
  const now = all.filter(({ invoiceId }) => invoiceId === invoice.id)
  for (const { match, credited } of invoice.lines) {
    const more = lineCredited(now, match.lineId)
    const sum = { pieces: credited.pieces + more.pieces, amountMinor: credited.amountMinor + more.amountMinor }
    if (more.amountMinor > 0 && isTooMuch(match, sum)) throw moreThanInvoiced(invoice, match, lineLeft(match, credited))
  }
}

function moreThanInvoiced(
  { currency }: Creditable,
  { number, lineId, unit }: MatchLine,
  { pieces, amountMinor }: LineCredited,
): Refusal {
  const [most, cost] = [quantityFormat(pieces, unit), moneyFormat(amountMinor, currency)]
  return new Refusal(
    'credit/more-than-invoiced',
    { part: number, most, cost },
    { fields: { [`back.${lineId}.${unit}`]: `at most ${most}`, [`backFor.${lineId}`]: `at most ${cost}` } },
  )
}

function addsUp(
  { currency, taxThousandths }: Creditable,
  sums: { lines: readonly LineKept[]; taxMinor: number; totalMinor: number },
): void {
  const misfit = creditMisfit({ ...sums, taxThousandths })
  if (!misfit) return
  const { what, shouldMinor } = misfit
  const should = moneyFormat(shouldMinor, currency)
  throw new Refusal(
    'credit/adds-up',
    { what, should, entered: moneyFormat(what === 'tax' ? sums.taxMinor : sums.totalMinor, currency) },
    { fields: { [what]: `by its lines it is ${should}` } },
  )
}

/** The same number of the same supplier is the same credit note: it would be counted twice. */
async function numberIsNew(tx: Tx, supplier: { id: number; name: string }, number: string, numberKey: string) {
  const there = await tx.creditNote.findUnique({
    where: { supplierId_numberKey: { supplierId: supplier.id, numberKey } },
    include: { invoice: { select: { number: true } } },
  })
  if (there)
    throw new Refusal(
      'credit/entered-already',
      { number, supplier: supplier.name, invoice: there.invoice.number },
      { fields: { number: `entered already for invoice ${there.invoice.number}` } },
    )
}

/**
 * Withdraws a credit note that was entered wrongly; it stays to be read, its number can be entered anew, and what it gave back is open
 * again. Refuses with 'credit/no-such' and 'credit/withdrawn'.
 */
export function creditWithdraw(context: WriteContext, input: CreditWithdrawInput): Promise<{ invoiceId: number }> {
  return write(context, 'credit.withdraw', input, async (tx) => {
    const note = await tx.creditNote.findUnique({
      where: { id: input.creditNoteId },
      include: { lines: { select: { invoiceId: true } } },
    })
    if (!note) throw new Refusal('credit/no-such', { credit: input.creditNoteId })
    if (note.state === 'withdrawn') throw new Refusal('credit/withdrawn', { number: note.number })
    const { id, invoiceId, number, numberKey } = note
    await tx.creditNote.update({
      where: { id },
      data: { state: 'withdrawn', numberKey: `${numberKey} withdrawn ${id}` },
    })
    const lines = await tx.invoiceLine.findMany({
      where: { invoiceId: { in: note.lines.map((line) => line.invoiceId) } },
      select: { orderLine: { select: { orderId: true } } },
    })
    const orderIds = orderIdsOf(lines)
    const words = `credit note ${number}: ${input.reason}`
    await ordersNoted(tx, context, orderIds, { kind: 'uncredited', words })
    await invoicesRecheck(tx, ...orderIds)
    return { invoiceId }
  })
}
