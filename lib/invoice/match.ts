import { moneyFormat } from '../measure/money.ts'
import { quantityFormat, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { halfAway, taxOn, taxSays } from './tax.ts'

/** In what an invoice can differ from order and receipt, in the order in which it is said. */
export const DIFFERENCE_KINDS = {
  quantity: 'Quantity',
  damaged: 'Damaged',
  price: 'Price',
  carriage: 'Carriage',
  deposits: 'Deposits',
  rate: 'Tax rate',
  tax: 'Tax',
  total: 'Total',
} as const
export type DifferenceKind = keyof typeof DIFFERENCE_KINDS

/** A line of an invoice beside the order line it is for. Quantities in minor units of the stock unit, money in minor units. */
export interface MatchLine {
  lineId: number
  /** The part's number. */
  number: string
  unit: StockUnit
  /** As ordered: how many, for one stock unit, and the whole line where that is not their product (incremental breaks). */
  ordered: number
  priceMinor: number
  amountMinor: number | null
  /** Charged on each piece of an exchange part. */
  depositMinor: number | null
  /** All that came of it, with what came beyond the order and was kept; and what of that was damaged and is not credited before. */
  came: number
  damaged: number
  /** On earlier invoices of the order, without what was credited of them because it did not come. */
  before: number
  invoiced: { quantity: number; priceMinor: number }
}

export interface MatchFacts {
  currency: string
  /** Only lines that stand on the invoice. */
  lines: readonly MatchLine[]
  /** Carriage by the order, what earlier invoices charged of it, and the rate of tax; null: none was kept. */
  agreed: { carriageMinor: number; carriageBeforeMinor: number; taxThousandths: number | null }
  invoice: {
    carriageMinor: number
    depositsMinor: number
    taxThousandths: number
    taxMinor: number
    totalMinor: number
  }
}

export interface Difference {
  kind: DifferenceKind
  /** Null for what is about the whole invoice. */
  lineId: number | null
  says: string
  /** What the supplier asks more than was expected, signed, money minor units. */
  amountMinor: number
}

/** What so many cost at a price of one stock unit, halves away from zero. */
export function costOf(quantity: number, priceMinor: number, unit: StockUnit): number {
  return halfAway(BigInt(quantity) * BigInt(priceMinor), BigInt(quantityScale(unit)))
}

/** What a line of an invoice comes to. A whole line of incremental breaks costs what was agreed for it, not its mean price times its pieces. */
export function invoicedAmount({ invoiced, ordered, priceMinor, amountMinor, unit }: MatchLine): number {
  if (amountMinor !== null && invoiced.quantity === ordered && invoiced.priceMinor === priceMinor) return amountMinor
  return costOf(invoiced.quantity, invoiced.priceMinor, unit)
}

/** What a line of an invoice is expected to have: all that came and stands on no invoice yet. */
export function expectedQuantity({ came, before }: Pick<MatchLine, 'came' | 'before'>): number {
  return Math.max(0, came - before)
}

/** What carriage is still to be charged by the order. */
export function expectedCarriage({ carriageMinor, carriageBeforeMinor }: MatchFacts['agreed']): number {
  return Math.max(0, carriageMinor - carriageBeforeMinor)
}

/** By how much sums and tax of so many lines may be off, money minor units: some round each line, some the sum. */
const roundingMay = (lines: number) => Math.max(1, lines)

/** What a total asks more than its parts come to, signed; 0 where rounding of so many lines explains it. Money minor units. */
export function totalBeyond(totalMinor: number, partsMinor: number, lines: number): number {
  const beyond = totalMinor - partsMinor
  return Math.abs(beyond) > roundingMay(lines) ? beyond : 0
}

/**
 * Holds an invoice against the order (price, carriage, deposits, rate of tax) and the receipt (quantity), and adds it up: the three-way
 * match of purchase ledgers. Whether tax is charged on deposits differs by country: either is taken for right.
 * Source: common practice, no source.
 */
export function invoiceMatch(facts: MatchFacts): Difference[] {
  const { invoice, lines } = facts
  const money = (minor: number) => moneyFormat(minor, facts.currency)
  const goods = lines.reduce((sum, line) => sum + invoicedAmount(line), 0)
  const found = [...lines.flatMap((line) => lineDifferences(line, money)), ...chargeDifferences(facts, money)]
  const whole = (kind: DifferenceKind, says: string, amountMinor: number) =>
    found.push({ kind, lineId: null, says, amountMinor })

  const may = roundingMay(lines.length)
  const base = goods + invoice.carriageMinor
  const taxes = [base, base + invoice.depositsMinor].map((minor) => taxOn(minor, invoice.taxThousandths))
  const tax = taxes.find((minor) => Math.abs(invoice.taxMinor - minor) <= may)
  if (tax === undefined)
    whole(
      'tax',
      `Tax: ${money(invoice.taxMinor)} invoiced, ${taxSays(invoice.taxThousandths)} on ${money(base)} is ${money(taxes[0]!)}`,
      invoice.taxMinor - taxes[0]!,
    )
  const total = base + invoice.depositsMinor + invoice.taxMinor
  const beyond = totalBeyond(invoice.totalMinor, total, lines.length)
  if (beyond !== 0)
    whole(
      'total',
      `Total: ${money(invoice.totalMinor)} invoiced, the parts of the invoice come to ${money(total)}`,
      beyond,
    )
  return found
}

/** How many of what is invoiced came damaged. */
function brokenOf({ came, damaged, before, invoiced: { quantity } }: MatchLine): number {
  return Math.min(damaged, quantity, Math.max(0, before + quantity - (came - damaged)))
}

/** How many pieces a difference of a line is about, minor units: too many invoiced, or damaged; none where it is about money only. */
export function differencePieces(kind: DifferenceKind, line: MatchLine): number {
  if (kind === 'quantity') return Math.max(0, line.invoiced.quantity - expectedQuantity(line))
  return kind === 'damaged' ? brokenOf(line) : 0
}

function lineDifferences(line: MatchLine, money: (minor: number) => string): Difference[] {
  const { lineId, number, unit, came, before, invoiced, priceMinor } = line
  const show = (quantity: number) => quantityFormat(quantity, unit)
  const found: Difference[] = []
  const expected = expectedQuantity(line)
  if (invoiced.quantity !== expected)
    found.push({
      ...{ kind: 'quantity', lineId },
      says: `${number}: ${show(invoiced.quantity)} invoiced, ${show(came)} came${before > 0 ? `, ${show(before)} on an earlier invoice` : ''}`,
      amountMinor: costOf(invoiced.quantity - expected, priceMinor, unit),
    })
  const broken = brokenOf(line)
  if (broken > 0)
    found.push({
      ...{ kind: 'damaged', lineId },
      says: `${number}: ${show(broken)} of what is invoiced came damaged`,
      amountMinor: costOf(broken, invoiced.priceMinor, unit),
    })
  if (invoiced.priceMinor !== priceMinor) {
    const each = unit === 'each' ? 'each' : `a ${unit}`
    found.push({
      ...{ kind: 'price', lineId },
      says: `${number}: ${money(invoiced.priceMinor)} ${each} invoiced, ${money(priceMinor)} agreed`,
      amountMinor: costOf(invoiced.quantity, invoiced.priceMinor - priceMinor, unit),
    })
  }
  return found
}

/** What is charged beside the goods, against the order. */
function chargeDifferences({ lines, agreed, invoice }: MatchFacts, money: (minor: number) => string): Difference[] {
  const found: Difference[] = []
  const carriage = expectedCarriage(agreed)
  if (invoice.carriageMinor !== carriage) {
    const before = agreed.carriageBeforeMinor > 0 ? `, ${money(agreed.carriageBeforeMinor)} on an earlier invoice` : ''
    found.push({
      ...{ kind: 'carriage', lineId: null },
      says: `Carriage: ${money(invoice.carriageMinor)} invoiced, ${money(agreed.carriageMinor)} agreed${before}`,
      amountMinor: invoice.carriageMinor - carriage,
    })
  }
  const deposits = depositsOn(lines)
  if (invoice.depositsMinor !== deposits)
    found.push({
      ...{ kind: 'deposits', lineId: null },
      says: `Deposits: ${money(invoice.depositsMinor)} invoiced, ${money(deposits)} by the order for what is invoiced`,
      amountMinor: invoice.depositsMinor - deposits,
    })
  if (agreed.taxThousandths !== null && invoice.taxThousandths !== agreed.taxThousandths)
    found.push({
      ...{ kind: 'rate', lineId: null },
      says: `Tax rate: ${taxSays(invoice.taxThousandths)} invoiced, ${taxSays(agreed.taxThousandths)} on the order`,
      amountMinor: 0,
    })
  return found
}

/** Deposits on what is invoiced; exchange parts are counted in pieces. */
export function depositsOn(lines: readonly Pick<MatchLine, 'depositMinor' | 'invoiced' | 'unit'>[]): number {
  return lines.reduce(
    (sum, { depositMinor, invoiced, unit }) => sum + costOf(invoiced.quantity, depositMinor ?? 0, unit),
    0,
  )
}
