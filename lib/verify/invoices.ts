import { nameKey } from '../catalogue/part-number.ts'
import { DIFFERENCE_STATES, type DifferenceState, INVOICE_STATES, invoiceStateOf, isFewer } from '../invoice/invoice.ts'
import type { Difference, DifferenceKind } from '../invoice/match.ts'

/** A difference as it is kept, with what was decided on it last. Instants in milliseconds. */
export interface DifferenceProof {
  id: number
  kind: string
  lineId: number | null
  amountMinor: number
  state: string
  wasDisputed: boolean
  reason: string | null
  decidedById: string | null
  decidedAt: number | null
}

/** An invoice beside what its lines, the receipts of its orders and their record say. Money in minor units. */
export interface InvoiceProof {
  id: number
  number: string
  numberKey: string
  state: string
  supplierId: number
  /** The orders that its lines are of. */
  orders: readonly { id: number; supplierId: number; supplier: string }[]
  /** The order that it is kept with, and whether a line is of it. */
  orderId: number
  isOfOrder: boolean
  lines: number
  differences: readonly DifferenceProof[]
  /** Carriage that was not fixed with the order follows the terms of the supplier, which may have changed since. */
  isCarriageFixed: boolean
  /** Its differences as they are found anew; null where it cannot be held against its orders. */
  now: readonly Difference[] | null
  enteredById: string
  enteredAt: number
  /** The record of its orders. */
  record: readonly { kind: string; personId: string; at: number }[]
}

/**
 * An invoice stands as its differences do; the differences are those that its lines have against order and receipts, and whoever settled
 * one stands in the order's record. What an invoice has fewer than came is as it was when it was entered.
 */
export function invoiceFaults(invoices: readonly InvoiceProof[]): string[] {
  return invoices.flatMap((invoice) => {
    const named = `invoice ${invoice.id} (${invoice.number})`
    return [...headFaults(invoice), ...stateFaults(invoice), ...matchFaults(invoice), ...settledFaults(invoice)].map(
      (fault) => `${named} ${fault}`,
    )
  })
}

const isWithdrawn = ({ state }: InvoiceProof) => state === 'withdrawn'

function headFaults(invoice: InvoiceProof): string[] {
  const { id, number, numberKey, supplierId, orders, orderId, isOfOrder, lines, record } = invoice
  const faults: string[] = []
  const key = isWithdrawn(invoice) ? `${nameKey(number)} withdrawn ${id}` : nameKey(number)
  if (numberKey !== key) faults.push(`is kept under the number ${numberKey}, not ${key}`)
  for (const one of orders)
    if (one.supplierId !== supplierId) faults.push(`names a line of order ${one.id}, which is of ${one.supplier}`)
  if (lines === 0) faults.push('has no line')
  else if (!isOfOrder) faults.push(`is kept with order ${orderId}, and no line of it is invoiced`)
  const { enteredAt: at, enteredById: personId } = invoice
  if (!stands(record, { kind: 'invoiced', personId, at })) faults.push('was entered, and no order says so')
  if (isWithdrawn(invoice) && !record.some(({ kind }) => kind === 'withdrawn'))
    faults.push('is withdrawn, and no order says so')
  return faults
}

function stateFaults({ state, differences }: InvoiceProof): string[] {
  const unknown = differences.filter((one) => !Object.hasOwn(DIFFERENCE_STATES, one.state))
  if (!Object.hasOwn(INVOICE_STATES, state)) return [`is called ${state}, which is no state`]
  if (unknown.length > 0) return unknown.map((one) => `has difference ${one.id} called ${one.state}, which is no state`)
  if (state === 'withdrawn') return []
  const follows = invoiceStateOf(differences.map((one) => ({ state: one.state as DifferenceState })))
  return state === follows ? [] : [`is called ${state}, its differences say ${follows}`]
}

const keyOf = ({ kind, lineId }: { kind: string; lineId: number | null }) => `${kind} ${lineId ?? ''}`
const whereOf = ({ kind, lineId }: { kind: string; lineId: number | null }) =>
  lineId === null ? kind : `${kind} of order line ${lineId}`

function matchFaults(invoice: InvoiceProof): string[] {
  if (isWithdrawn(invoice) || invoice.now === null) return []
  const isProven = ({ kind }: { kind: string }) => kind !== 'carriage' || invoice.isCarriageFixed
  const found = invoice.now.filter((one) => isProven(one) && !isFewer(one))
  const now = new Map(found.map((one) => [keyOf(one), one]))
  const faults: string[] = []
  for (const one of invoice.differences.filter(isProven)) {
    const still = now.get(keyOf(one))
    now.delete(keyOf(one))
    const where = `has difference ${one.id} (${whereOf(one)})`
    if (still && one.state === 'gone') faults.push(`${where} called gone, it is still there: ${still.says}`)
    // What credit notes gave back stays as it was, though by now less of it would be asked.
    else if (
      still &&
      still.amountMinor !== one.amountMinor &&
      !(one.state === 'credited' && still.amountMinor < one.amountMinor)
    )
      faults.push(`${where} of ${one.amountMinor}, its lines say ${still.amountMinor}`)
    else if (!still && ['open', 'disputed'].includes(one.state) && !isFewer(kindOf(one)))
      faults.push(`${where} called ${one.state}, there is none`)
  }
  for (const one of now.values()) faults.push(`has a difference that is not kept (${whereOf(one)}): ${one.says}`)
  return faults
}

const kindOf = ({ kind, amountMinor }: DifferenceProof) => ({ kind: kind as DifferenceKind, amountMinor })

function settledFaults({ differences, record }: InvoiceProof): string[] {
  return differences.flatMap(({ id, state, reason, decidedById: personId, decidedAt: at, wasDisputed }) => {
    if (state === 'disputed' && !wasDisputed) return [`has difference ${id} called disputed that was never disputed`]
    if (state !== 'accepted' && state !== 'disputed' && state !== 'credited') return []
    if (personId === null || at === null || reason === null)
      return [`has difference ${id} called ${state}, decided by nobody`]
    const decisions = state === 'credited' ? ['disputed', 'accepted'] : [state]
    return decisions.some((kind) => stands(record, { kind, personId, at }))
      ? []
      : [`has difference ${id} called ${state}, and no order says that anybody decided so`]
  })
}

/** Whether a step stands in the record of an order, by the same person at the same instant. */
export function stands(record: InvoiceProof['record'], step: InvoiceProof['record'][number]): boolean {
  return record.some(({ kind, personId, at }) => kind === step.kind && personId === step.personId && at === step.at)
}
