import { stringify } from 'csv-stringify/sync'
import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import { quantityInput, type StockUnit } from '../measure/quantity.ts'

/**
 * The order list and an order as text for other programs, and the words for how an order stands.
 *
 * The files are CSV as RFC 4180 has it: a header row, lines ended by CR LF, fields quoted where they must be; UTF-8 with a
 * byte order mark, so that a spreadsheet reads names in any writing. Numbers have a decimal point and no thousands mark:
 * quantities in the stock unit of their row, money in whole units of the currency of their row. A text that a spreadsheet
 * would run as a formula (it begins with = + - @ or a tab) gets an apostrophe in front.
 *
 * Columns of the order list, one row a line:
 *
 * | column | what |
 * |---|---|
 * | supplier | empty where no supplier offers the part |
 * | part_number, supplier_number | ours and the supplier's own; the latter may be empty |
 * | maker, description | of the part |
 * | quantity, unit | what is proposed; unit is each, litre, kilogram or metre |
 * | pack, minimum | sold in multiples of the one, at least the other |
 * | price, cost, currency | of one stock unit, and of the quantity; currency by ISO 4217 |
 * | deposit | on one piece of an exchange part, until its old unit is back; in neither price nor cost; else empty |
 * | reason | why the line is on the list |
 *
 * Columns of an order, one row a line:
 *
 * | column | what |
 * |---|---|
 * | order, supplier, ordered_on, due_on | the same in every row; dates by ISO 8601 |
 * | line | 1, 2, 3 |
 * | part_number, supplier_number, maker, description | as above |
 * | quantity, unit, price, cost, currency, deposit | what was ordered, at the price of that day |
 * | received, cancelled, due | in the stock unit; due is what may still come |
 */
export interface OrderListText {
  supplier: { name: string } | null
  /** What its amounts are in. */
  currency: string
  lines: readonly {
    number: string
    supplierNumber: string | null
    maker: string
    description: string
    unit: StockUnit
    /** Quantities in minor units of the stock unit, money in minor units of the currency. */
    quantity: number
    pack: number
    minimum: number
    priceMinor: number
    costMinor: number
    /** Money minor units on one piece; null where it is no exchange part. */
    depositMinor: number | null
    reason: string
  }[]
}

export interface OrderText {
  number: number
  supplier: { name: string }
  orderedAt: Date
  /** Calendar date, ISO 8601. */
  dueOn: string
  lines: readonly {
    number: string
    supplierNumber: string | null
    maker: string
    description: string
    unit: StockUnit
    quantity: number
    received: number
    cancelled: number
    due: number
    priceMinor: number
    costMinor: number
    depositMinor: number | null
  }[]
}

const amount = (minor: number) => (minor / 100).toFixed(2)

function csv(rows: Record<string, string>[], columns: readonly string[]): string {
  return stringify(rows, {
    header: true,
    columns: [...columns],
    bom: true,
    escape_formulas: true,
    record_delimiter: 'windows',
    // With CR LF as the end of a line, a lone CR or LF inside a field would go unquoted and break the row.
    quoted_match: /[\r\n]/,
  })
}

export const ORDER_LIST_COLUMNS = [
  'supplier',
  'part_number',
  'supplier_number',
  'maker',
  'description',
  'quantity',
  'unit',
  'pack',
  'minimum',
  'price',
  'cost',
  'currency',
  'deposit',
  'reason',
] as const

/** The order list as CSV; columns above. */
export function orderListCsv(groups: readonly OrderListText[]): string {
  const rows = groups.flatMap(({ supplier, currency, lines }) =>
    lines.map((line) => ({
      supplier: supplier?.name ?? '',
      part_number: line.number,
      supplier_number: line.supplierNumber ?? '',
      maker: line.maker,
      description: line.description,
      quantity: quantityInput(line.quantity, line.unit),
      unit: line.unit,
      pack: quantityInput(line.pack, line.unit),
      minimum: quantityInput(line.minimum, line.unit),
      price: amount(line.priceMinor),
      cost: amount(line.costMinor),
      currency,
      deposit: line.depositMinor === null ? '' : amount(line.depositMinor),
      reason: line.reason,
    })),
  )
  return csv(rows, ORDER_LIST_COLUMNS)
}

export const ORDER_COLUMNS = [
  'order',
  'supplier',
  'ordered_on',
  'due_on',
  'line',
  'part_number',
  'supplier_number',
  'maker',
  'description',
  'quantity',
  'unit',
  'price',
  'cost',
  'currency',
  'deposit',
  'received',
  'cancelled',
  'due',
] as const

/** One order as CSV, for the supplier or the books; columns above. */
export function orderCsv(order: OrderText, currency: string): string {
  const rows = order.lines.map((line, at) => ({
    order: String(order.number),
    supplier: order.supplier.name,
    ordered_on: order.orderedAt.toISOString().slice(0, 10),
    due_on: order.dueOn,
    line: String(at + 1),
    part_number: line.number,
    supplier_number: line.supplierNumber ?? '',
    maker: line.maker,
    description: line.description,
    quantity: quantityInput(line.quantity, line.unit),
    unit: line.unit,
    price: amount(line.priceMinor),
    cost: amount(line.costMinor),
    currency,
    deposit: line.depositMinor === null ? '' : amount(line.depositMinor),
    received: quantityInput(line.received, line.unit),
    cancelled: quantityInput(line.cancelled, line.unit),
    due: quantityInput(line.due, line.unit),
  }))
  return csv(rows, ORDER_COLUMNS)
}

/** Whole days from the due date to today; 0 or less while it is not late. Both are calendar dates, ISO 8601. */
export function orderDaysLate(dueOn: string, today: string): number {
  return Math.round((Date.parse(`${today}T00:00:00Z`) - Date.parse(`${dueOn}T00:00:00Z`)) / 86_400_000)
}

/** When a part comes: "due 3 Nov 2026", or once that is past "late, was due 3 Nov 2026, 5 days". */
export function dueSays(dueOn: string, today: string): { words: string; isLate: boolean } {
  const days = orderDaysLate(dueOn, today)
  return days > 0
    ? { words: `late, was due ${dateSays(dueOn)}, ${counted(days, 'day')}`, isLate: true }
    : { words: `due ${dateSays(dueOn)}`, isLate: false }
}

export interface OrderStanding {
  state: string
  dueOn: string
  partReceived: boolean
  /** The supplier confirmed all that is still due. */
  isConfirmed?: boolean
}

/** How an order stands, by shape and by word, so that late is never told by colour alone. Example: ▲ 3 days late. */
export function orderStanding(order: OrderStanding, today: string): { shape: string; words: string; isLate: boolean } {
  if (order.state === 'cancelled') return { shape: '✕', words: 'cancelled', isLate: false }
  if (order.state === 'received') return { shape: '■', words: 'received', isLate: false }
  const days = orderDaysLate(order.dueOn, today)
  const part = `${order.isConfirmed ? ', confirmed' : ''}${order.partReceived ? ', part received' : ''}`
  if (days > 0) return { shape: '▲', words: `${counted(days, 'day')} late${part}`, isLate: true }
  return {
    shape: order.partReceived ? '◧' : order.isConfirmed ? '☑' : '☐',
    words: `${days === 0 ? 'due today' : 'on order'}${part}`,
    isLate: false,
  }
}
