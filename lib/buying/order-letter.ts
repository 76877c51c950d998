import { type Totals, taxSays, totalsOf } from '../invoice/tax.ts'
import { dateSays } from '../measure/date.ts'
import { moneyFormat } from '../measure/money.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import type { PlainDate } from '../service/plain-date.ts'

/** What a supplier is told of an order: on paper, in an e-mail. Money in minor units, quantities in those of the stock unit. */
export interface OrderLetter {
  number: number
  workshop: string | null
  day: PlainDate
  dueOn: PlainDate
  currency: string
  note: string | null
  supplier: {
    name: string
    contact: string | null
    email: string | null
    customerNumber: string | null
  }
  carriageMinor: number
  /** Thousandths; null: no tax is shown. */
  taxThousandths: number | null
  lines: readonly {
    number: string
    supplierNumber: string | null
    maker: string
    description: string
    unit: StockUnit
    quantity: number
    priceMinor: number
    costMinor: number
    depositMinor: number | null
  }[]
}

/** Goods, carriage, tax and deposits of an order; money minor units. */
export function letterTotals(
  letter: Pick<OrderLetter, 'carriageMinor' | 'taxThousandths'> & {
    lines: readonly { costMinor: number; depositMinor: number | null; quantity: number }[]
  },
): Totals {
  const { lines, carriageMinor, taxThousandths } = letter
  return totalsOf({
    goodsMinor: lines.reduce((sum, line) => sum + line.costMinor, 0),
    carriageMinor,
    depositsMinor: lines.reduce((sum, line) => sum + (line.depositMinor ?? 0) * line.quantity, 0),
    taxThousandths,
  })
}

export function letterSubject({ number, workshop }: Pick<OrderLetter, 'number' | 'workshop'>): string {
  return workshop === null ? `Order ${number}` : `Order ${number}, ${workshop}`
}

/** The sentences above and below the lines; shared by paper and e-mail. */
export function letterFacts(letter: OrderLetter): [what: string, value: string][] {
  const { customerNumber } = letter.supplier
  return [
    ['Order', String(letter.number)],
    ['Date', dateSays(letter.day)],
    ...(customerNumber ? ([['Our customer number', customerNumber]] as [string, string][]) : []),
    ['Expected by', dateSays(letter.dueOn)],
  ]
}

export function totalsSay(letter: OrderLetter): [what: string, value: string][] {
  const { goodsMinor, carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor } = letterTotals(letter)
  const money = (minor: number) => moneyFormat(minor, letter.currency)
  const rows: [string, string][] = [
    [taxThousandths === null ? 'Goods' : 'Goods, without tax', money(goodsMinor)],
    ['Carriage', carriageMinor === 0 ? 'paid' : money(carriageMinor)],
  ]
  if (taxThousandths !== null) rows.push([`Tax ${taxSays(taxThousandths)}`, money(taxMinor)])
  if (depositsMinor > 0) rows.push(['Deposits on exchange parts', money(depositsMinor)])
  rows.push(['Total', money(totalMinor)])
  return rows
}

export const LETTER_ASKS = 'Please confirm the order with the day on which each line will come.'

/** The order as plain text, lines ended by LF: what an e-mail says. */
export function letterText(letter: OrderLetter): string {
  const money = (minor: number) => moneyFormat(minor, letter.currency)
  const lines = letter.lines.map((line, at) => {
    const yours = line.supplierNumber ? ` (your ${line.supplierNumber})` : ''
    const each = line.unit === 'each' ? 'each' : `a ${line.unit}`
    return [
      `${at + 1}. ${quantityFormat(line.quantity, line.unit)} of ${line.number}${yours}`,
      `   ${line.description}, ${line.maker}`,
      `   ${money(line.priceMinor)} ${each}, ${money(line.costMinor)}`,
    ].join('\n')
  })
  return [
    `To ${letter.supplier.name}`,
    letterFacts(letter)
      .map(([what, value]) => `${what}: ${value}`)
      .join('\n'),
    lines.join('\n'),
    totalsSay(letter)
      .map(([what, value]) => `${what}: ${value}`)
      .join('\n'),
    ...(letter.note ? [letter.note] : []),
    LETTER_ASKS,
    ...(letter.workshop ? [letter.workshop] : []),
  ].join('\n\n')
}

/** Longer addresses are cut or refused by some mail programs: common practice, no source. */
const MAILTO_MAX = 1900

/**
 * An address that opens the mail program with the order written out; where that is too long for an address, with the request to
 * attach the order sheet. Encoding and line breaks by RFC 6068: percent-encoded UTF-8, CR LF as %0D%0A.
 */
export function letterMailto(letter: OrderLetter): string {
  const of = (text: string) => encodeURIComponent(text.replaceAll('\n', '\r\n'))
  const to = encodeURIComponent(letter.supplier.email ?? '').replaceAll('%40', '@')
  const href = (body: string) => `mailto:${to}?subject=${of(letterSubject(letter))}&body=${of(body)}`
  const whole = href(letterText(letter))
  if (whole.length <= MAILTO_MAX) return whole
  return href(
    `To ${letter.supplier.name}\n\nOur order ${letter.number} is on the order sheet attached.\n\n${LETTER_ASKS}`,
  )
}
