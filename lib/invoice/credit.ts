import { sharesWhole } from '../cost-centre/share.ts'
import type { DifferenceState } from './invoice.ts'
import { type DifferenceKind, invoicedAmount, type MatchLine } from './match.ts'
import { taxOn } from './tax.ts'

/** How a credit note stands. */
export const CREDIT_STATES = {
  entered: { shape: '■', says: 'entered' },
  withdrawn: { shape: '✕', says: 'withdrawn' },
} as const
export type CreditState = keyof typeof CREDIT_STATES

/** What a supplier gives money back for. Source: common practice, no source. */
export const CREDIT_REASONS = {
  price: 'Price',
  short: 'Came short',
  wrong: 'Came damaged',
  'sent-back': 'Sent back',
  charges: 'Carriage, deposits or tax',
} as const
export type CreditReason = keyof typeof CREDIT_REASONS

const REASON_OF = {
  quantity: 'short',
  damaged: 'wrong',
  price: 'price',
  carriage: 'charges',
  deposits: 'charges',
  rate: 'charges',
  tax: 'charges',
  total: 'charges',
} as const satisfies Record<DifferenceKind, CreditReason>

export function creditReason(kind: DifferenceKind): CreditReason {
  return REASON_OF[kind]
}

/** A difference beside what credit notes give back for it, money minor units without tax. */
export interface OwedFor {
  kind: DifferenceKind
  state: DifferenceState
  amountMinor: number
  creditedMinor: number
}

/** What a supplier owes for a difference: nothing for what was accepted, is gone, or is in our favour. */
export function owedMinor({ state, amountMinor, creditedMinor }: OwedFor): number {
  if (state === 'credited') return creditedMinor
  return state === 'open' || state === 'disputed' ? Math.max(0, amountMinor) : 0
}

/** What of it is still to be credited. Example: 30.00 owed and 17.60 credited leave 12.40. */
export function openMinor(of: OwedFor): number {
  return Math.max(0, owedMinor(of) - of.creditedMinor)
}

/** Deposits may be with or without tax; what is tax itself, or wrong in the sum, has none. */
const TAXED: Record<DifferenceKind, 'yes' | 'either' | 'no'> = {
  quantity: 'yes',
  damaged: 'yes',
  price: 'yes',
  carriage: 'yes',
  deposits: 'either',
  rate: 'no',
  tax: 'no',
  total: 'no',
}

export interface CreditedLine {
  /** Null for goods that were sent back. */
  kind: DifferenceKind | null
  amountMinor: number
}

function taxedMinor(lines: readonly CreditedLine[], which: readonly string[]): number {
  return lines.reduce(
    (sum, { kind, amountMinor }) => sum + (kind === null || which.includes(TAXED[kind]) ? amountMinor : 0),
    0,
  )
}

/** The tax on lines of a credit note, rounded once; deposits without tax. */
export function creditTax(lines: readonly CreditedLine[], taxThousandths: number): number {
  return taxOn(taxedMinor(lines, ['yes']), taxThousandths)
}

export interface CreditSums {
  lines: readonly CreditedLine[]
  taxThousandths: number
  taxMinor: number
  totalMinor: number
}

/**
 * Where tax or total of a credit note is not what its lines come to, and what that would be; null where they add up. They may be off by
 * one minor unit a line, as some round each line and some the sum; deposits with and without tax are both right.
 */
export function creditMisfit(sums: CreditSums): { what: 'tax' | 'total'; shouldMinor: number } | null {
  const { lines, taxThousandths, taxMinor, totalMinor } = sums
  const may = Math.max(1, lines.length)
  const taxes = [['yes'], ['yes', 'either']].map((which) => taxOn(taxedMinor(lines, which), taxThousandths))
  if (!taxes.some((minor) => Math.abs(taxMinor - minor) <= may)) return { what: 'tax', shouldMinor: taxes[0]! }
  const shouldMinor = lines.reduce((sum, { amountMinor }) => sum + amountMinor, taxMinor)
  return Math.abs(totalMinor - shouldMinor) > may ? { what: 'total', shouldMinor } : null
}

/**
 * A sum over what is open, the first first. `restMinor` is what is left when all of it is given back. Example: 10.00 over 7.00 and 8.00
 * is 7.00 and 3.00.
 */
export function creditSpread(
  sumMinor: number,
  open: readonly { id: number; openMinor: number }[],
): { lines: { differenceId: number; amountMinor: number }[]; restMinor: number } {
  let restMinor = sumMinor
  const lines = open.flatMap(({ id, openMinor: most }) => {
    const amountMinor = Math.min(restMinor, most)
    restMinor -= amountMinor
    return amountMinor > 0 ? [{ differenceId: id, amountMinor }] : []
  })
  return { lines, restMinor }
}

/**
 * How many of the pieces that a difference is about a credit pays for, beyond those of earlier credits: all that are left once all is
 * credited, else as many whole minor units as the money reaches.
 */
export function creditPieces(of: {
  pieces: number
  piecesBefore: number
  amountMinor: number
  creditedMinor: number
  nowMinor: number
}): number {
  const { pieces, piecesBefore, amountMinor, creditedMinor, nowMinor } = of
  if (amountMinor <= 0 || pieces <= 0) return 0
  const paid = Math.min(amountMinor, creditedMinor + nowMinor)
  const reached = Number((BigInt(pieces) * BigInt(paid)) / BigInt(amountMinor))
  return Math.max(0, reached - piecesBefore)
}

/** What credit notes give back of one line of an invoice: pieces in minor units of its stock unit, money without tax. */
export interface LineCredited {
  pieces: number
  amountMinor: number
}

/** What may be credited beyond that: never more pieces or money than the line has on the invoice. */
export function lineLeft(line: MatchLine, credited: LineCredited): LineCredited {
  return {
    pieces: Math.max(0, line.invoiced.quantity - credited.pieces),
    amountMinor: Math.max(0, invoicedAmount(line) - credited.amountMinor),
  }
}

/** Differences of a line are rounded each by itself, so that all of them together may be a minor unit above the line. */
const ROUNDED = 1

/** More is credited of a line than it has on the invoice. */
export function isTooMuch(line: MatchLine, credited: LineCredited): boolean {
  return credited.pieces > line.invoiced.quantity || credited.amountMinor > invoicedAmount(line) + ROUNDED
}

/** A credit note of several invoices is theirs by what its lines give back of each, tax included; the shares add up to its total. */
export function creditShares(note: {
  lines: readonly (CreditedLine & { invoiceId: number })[]
  taxThousandths: number
  totalMinor: number
}): Map<number, number> {
  const ids = [...new Set(note.lines.map(({ invoiceId }) => invoiceId))]
  const weights = ids.map((id) => {
    const lines = note.lines.filter(({ invoiceId }) => invoiceId === id)
    return lines.reduce((sum, { amountMinor }) => sum + amountMinor, creditTax(lines, note.taxThousandths))
  })
  const shares = sharesWhole(note.totalMinor, weights)
  return new Map(ids.map((id, at) => [id, shares[at]!]))
}
