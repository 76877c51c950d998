import { nameKey } from '../catalogue/part-number.ts'
import { CREDIT_REASONS, CREDIT_STATES, creditMisfit, creditReason } from '../invoice/credit.ts'
import type { DifferenceKind } from '../invoice/match.ts'
import { stands } from './invoices.ts'

/** A line of a credit note beside the invoice and the difference that it names. Money in minor units without tax. */
export interface CreditLineProof {
  id: number
  invoiceId: number
  orderLineId: number | null
  reason: string
  quantity: number
  amountMinor: number
  /** Null for goods that were sent back. */
  difference: { id: number; invoiceId: number; orderLineId: number | null; kind: string } | null
}

/** A credit note beside its invoices and the record of their orders. Instants in milliseconds. */
export interface CreditProof {
  id: number
  number: string
  numberKey: string
  state: string
  supplierId: number
  invoiceId: number
  taxThousandths: number
  taxMinor: number
  totalMinor: number
  lines: readonly CreditLineProof[]
  /** The invoices that its lines are of. */
  invoices: readonly {
    id: number
    supplierId: number
    taxThousandths: number
    state: string
    currency: string | null
  }[]
  enteredById: string
  enteredAt: number
  /** The record of the orders of its invoices. */
  record: readonly { kind: string; personId: string; at: number }[]
}

/** A credit note is of one supplier's invoices, adds up, gives back what was a difference or was sent back, and stands in the record. */
export function creditFaults(notes: readonly CreditProof[]): string[] {
  return notes.flatMap((note) => {
    const named = `credit note ${note.id} (${note.number})`
    return [...headFaults(note), ...lineFaults(note), ...sumFaults(note)].map((fault) => `${named} ${fault}`)
  })
}

function headFaults(note: CreditProof): string[] {
  const { id, number, numberKey, state, supplierId, invoiceId, taxThousandths, invoices, record } = note
  const faults: string[] = []
  if (!Object.hasOwn(CREDIT_STATES, state)) faults.push(`is called ${state}, which is no state`)
  const key = state === 'withdrawn' ? `${nameKey(number)} withdrawn ${id}` : nameKey(number)
  if (numberKey !== key) faults.push(`is kept under the number ${numberKey}, not ${key}`)
  if (note.lines.length === 0) faults.push('has no line')
  else if (!invoices.some((one) => one.id === invoiceId))
    faults.push(`is kept with invoice ${invoiceId}, and no line of it is credited`)
  for (const one of invoices) {
    if (one.supplierId !== supplierId) faults.push(`names invoice ${one.id}, which is of another supplier`)
    if (one.taxThousandths !== taxThousandths) faults.push(`names invoice ${one.id}, which is at another rate of tax`)
    if (one.currency !== invoices[0]!.currency) faults.push(`names invoice ${one.id}, which is in another currency`)
    if (one.state === 'withdrawn' && state !== 'withdrawn') faults.push(`names invoice ${one.id}, which is withdrawn`)
  }
  const { enteredAt: at, enteredById: personId } = note
  if (!stands(record, { kind: 'credited', personId, at })) faults.push('was entered, and no order says so')
  if (state === 'withdrawn' && !record.some(({ kind }) => kind === 'uncredited'))
    faults.push('is withdrawn, and no order says so')
  return faults
}

function lineFaults({ lines }: CreditProof): string[] {
  return lines.flatMap(({ id, invoiceId, orderLineId, reason, quantity, amountMinor, difference }) => {
    const named = `has line ${id}`
    if (!Object.hasOwn(CREDIT_REASONS, reason)) return [`${named} for ${reason}, which is no reason`]
    if (amountMinor <= 0 || quantity < 0)
      return [`${named} of ${amountMinor} for ${quantity}, which gives nothing back`]
    if (difference === null)
      return reason === 'sent-back' && quantity > 0 && orderLineId !== null
        ? []
        : [`${named} for ${reason}, and names no difference`]
    const faults: string[] = []
    if (difference.invoiceId !== invoiceId || difference.orderLineId !== orderLineId)
      faults.push(`${named} for difference ${difference.id}, which is of another line`)
    const due = creditReason(difference.kind as DifferenceKind)
    if (reason !== due) faults.push(`${named} for ${reason}, its difference ${difference.id} is ${due}`)
    if (quantity > 0 && reason !== 'short' && reason !== 'wrong')
      faults.push(`${named} for ${reason} with ${quantity} of goods`)
    return faults
  })
}

function sumFaults({ lines, taxThousandths, taxMinor, totalMinor }: CreditProof): string[] {
  const misfit = creditMisfit({
    ...{ taxThousandths, taxMinor, totalMinor },
    lines: lines.map(({ difference, amountMinor }) => ({
      ...{ amountMinor, kind: (difference?.kind ?? null) as DifferenceKind | null },
    })),
  })
  if (!misfit) return []
  return [
    `has a ${misfit.what} of ${misfit.what === 'tax' ? taxMinor : totalMinor}, its lines come to ${misfit.shouldMinor}`,
  ]
}

/** A difference beside the sum of what counts of credit notes for it. */
export interface CreditedProof {
  invoice: string
  id: number
  state: string
  amountMinor: number
  wasDisputed: boolean
  creditedMinor: number
}

/** What is owed less what is credited is never below nothing, and is nothing exactly where a difference is called credited. */
export function creditedFaults(differences: readonly CreditedProof[]): string[] {
  return differences.flatMap(({ invoice, id, state, amountMinor, wasDisputed, creditedMinor }) => {
    const named = `invoice ${invoice} has difference ${id} called ${state} of ${amountMinor}`
    if (state === 'credited' && creditedMinor !== amountMinor) return [`${named}, credited are ${creditedMinor}`]
    if (creditedMinor === 0) return []
    if (!wasDisputed) return [`${named} that was never disputed, credited are ${creditedMinor}`]
    if (state === 'gone' || creditedMinor > amountMinor) return [`${named}, credited are ${creditedMinor}`]
    return state !== 'credited' && creditedMinor === amountMinor ? [`${named}, all of it is credited`] : []
  })
}

/** A line of an invoice of which more is credited than it has. */
export interface OverCredited {
  invoice: string
  lineId: number
  pieces: number
  amountMinor: number
}

export function overCreditedFaults(lines: readonly OverCredited[]): string[] {
  return lines.map(
    ({ invoice, lineId, pieces, amountMinor }) =>
      `invoice ${invoice} has order line ${lineId} of which more is credited than invoiced: ${pieces} for ${amountMinor}`,
  )
}
