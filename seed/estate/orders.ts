import { type Random, randomChance, randomInteger, randomNormal } from '../../lib/maths/random.ts'
import { moneyOfQuantity } from '../../lib/measure/money.ts'
import type { StockUnit } from '../../lib/measure/quantity.ts'
import { orderRound } from '../../lib/replenish/order-list.ts'
import { type Calendar, calendarDate, calendarIso, calendarWeekday, MINUTE_MS } from './calendar.ts'
import { type Ledger, ledgerOnHand, ledgerWrite } from './ledger.ts'
import type { Level } from './levels.ts'
import type { EstateOffer } from './offers.ts'
import { BUYER, STOREKEEPER } from './people.ts'
import { SUPPLIER_KEYS, SUPPLIERS, type SupplierKey } from './suppliers.ts'

export interface OrderLineRow {
  id: number
  orderId: number
  partId: number
  quantity: number
  received: number
  cancelled: number
  priceMinor: number
  reason: string
}

export interface OrderRow {
  id: number
  number: number
  supplier: SupplierKey
  state: 'ordered' | 'received'
  orderedAt: Date
  dueOn: string
  personId: string
}

interface Coming {
  order: OrderRow
  line: OrderLineRow
  day: number
}

/** Orders of the demo: placed from the reorder points, received as the suppliers really deliver. */
export interface OrderBook {
  orders: OrderRow[]
  lines: OrderLineRow[]
  coming: Coming[]
}

export function orderBookNew(): OrderBook {
  return { orders: [], lines: [], coming: [] }
}

export interface Stocked {
  partId: number
  unit: StockUnit
  level: Level | null
  offer: EstateOffer
  homeBinId: number
  /** Some job of the history wanted it. */
  used: boolean
}

export function onOrderOf(book: OrderBook): Map<number, number> {
  const onOrder = new Map<number, number>()
  for (const line of book.lines) {
    const due = line.quantity - line.received
    if (due > 0) onOrder.set(line.partId, (onOrder.get(line.partId) ?? 0) + due)
  }
  return onOrder
}

const FIRST_NUMBER = 1001

/** Prices rose by about four in a hundred a year up to today's. */
function priceThen(priceMinor: number, day: number, days: number): number {
  return Math.max(1, Math.round(priceMinor * 1.04 ** ((day - days) / 365)))
}

/** Days until a line comes: around the stated lead time, early by a day now and then, late in one case of ten. */
function leadDays(stated: number, random: Random): number {
  const around =
    stated * (1 + 0.18 * randomNormal(random, 0, 1)) + (randomChance(random, 0.1) ? randomInteger(random, 3, 9) : 0)
  return Math.max(1, Math.round(around))
}

/** The last day of the history on which somebody is there to book a delivery in. */
function lastWorkday(calendar: Calendar): number {
  const last = calendar.days - 1
  return calendarWeekday(calendar, last) === 0 ? last - 1 : last
}

export interface PlaceInput {
  calendar: Calendar
  day: number
  at: Date
  supplier: SupplierKey
  wanted: readonly { stocked: Stocked; quantity: number; reason: string }[]
  random: Random
  /** Day on which a line comes; left out, as the supplier delivers. Infinity: it is still to come today. */
  comes?: (index: number) => number
}

export function orderPlace(book: OrderBook, input: PlaceInput): OrderRow {
  const { calendar, day, supplier, random } = input
  const stated = SUPPLIERS[supplier].leadTimeDays
  const order: OrderRow = {
    id: book.orders.length + 1,
    number: FIRST_NUMBER + book.orders.length,
    supplier,
    state: 'ordered',
    orderedAt: input.at,
    dueOn: calendarIso(calendarDate(calendar, day + stated)),
    personId: BUYER,
  }
  book.orders.push(order)
  const first = day + leadDays(stated, random)
  for (const [index, { stocked, quantity, reason }] of input.wanted.entries()) {
    const line: OrderLineRow = {
      id: book.lines.length + 1,
      orderId: order.id,
      partId: stocked.partId,
      quantity: orderRound(quantity, stocked.offer),
      received: 0,
      cancelled: 0,
      priceMinor: priceThen(stocked.offer.priceMinor, day, calendar.days),
      reason,
    }
    book.lines.push(line)
    const late = randomChance(random, 0.06) ? randomInteger(random, 4, 16) : 0
    // What was ordered long ago has come by the last day of the history; only the orders named by `comes` are still due.
    const comes = input.comes?.(index) ?? Math.min(first + late, lastWorkday(calendar))
    if (comes !== Number.POSITIVE_INFINITY) book.coming.push({ order, line, day: comes })
  }
  return order
}

/** Books in what comes today, order by order; answers the parts that came and when the last one was on its shelf. */
export function ordersReceive(
  book: OrderBook,
  ledger: Ledger,
  input: { day: number; at: Date; homeBin: (partId: number) => number },
): { parts: Set<number>; at: Date } {
  const today = book.coming.filter((coming) => coming.day <= input.day)
  book.coming = book.coming.filter((coming) => coming.day > input.day)
  const parts = new Set<number>()
  let at = input.at
  for (const order of new Set(today.map((coming) => coming.order))) {
    const lines = today.filter((coming) => coming.order === order).map((coming) => coming.line)
    ledgerWrite(
      ledger,
      'buying.receive',
      { at, personId: STOREKEEPER },
      lines.map((line) => ({
        kind: 'receive',
        partId: line.partId,
        binId: input.homeBin(line.partId),
        quantity: line.quantity,
        orderLineId: line.id,
        costMinor: line.priceMinor,
      })),
    )
    for (const line of lines) {
      line.received = line.quantity
      parts.add(line.partId)
    }
    if (book.lines.every((line) => line.orderId !== order.id || line.received === line.quantity))
      order.state = 'received'
    at = new Date(at.getTime() + 9 * MINUTE_MS)
  }
  return { parts, at }
}

/** Parts at or below their reorder point, by what each is short of its order-up-to level. */
export function partsLow(
  ledger: Ledger,
  book: OrderBook,
  stocked: readonly Stocked[],
  wantedByJobs: ReadonlyMap<number, number>,
): { stocked: Stocked; need: number; position: number }[] {
  const onOrder = onOrderOf(book)
  return stocked.flatMap((one) => {
    if (!one.level) return []
    const position =
      ledgerOnHand(ledger, one.partId) + (onOrder.get(one.partId) ?? 0) - (wantedByJobs.get(one.partId) ?? 0)
    return position <= one.level.reorderPoint ? [{ stocked: one, need: one.level.orderUpTo - position, position }] : []
  })
}

/**
 * The buyer's look at the list: one order for each supplier where something is low. A small order waits for the minimum,
 * unless a job stands still for one of its parts.
 */
export function ordersRaise(
  book: OrderBook,
  low: ReturnType<typeof partsLow>,
  input: { calendar: Calendar; day: number; at: Date; urgent: ReadonlySet<number>; random: Random },
): void {
  for (const supplier of SUPPLIER_KEYS) {
    const own = low.filter((one) => one.stocked.offer.supplier === supplier)
    if (own.length === 0) continue
    const goodsMinor = own.reduce(
      (sum, { stocked, need }) => sum + moneyOfQuantity(stocked.offer.priceMinor, Math.max(0, need), stocked.unit),
      0,
    )
    const stands = own.some((one) => one.position <= 0 || input.urgent.has(one.stocked.partId))
    if (goodsMinor < SUPPLIERS[supplier].minimumOrderMinor && !stands) continue
    orderPlace(book, {
      ...input,
      supplier,
      wanted: own.map((one) => ({ stocked: one.stocked, quantity: one.need, reason: 'at its reorder point' })),
    })
  }
}
