import type { Random } from '../../lib/maths/random.ts'
import { type Calendar, calendarWeekday, MINUTE_MS } from './calendar.ts'
import { type Ledger, ledgerOnHand, ledgerWrite, type Placing } from './ledger.ts'
import type { Level } from './levels.ts'
import { type OrderBook, onOrderOf, orderPlace, partsLow, type Stocked } from './orders.ts'
import { STOREKEEPER } from './people.ts'
import type { SupplierKey } from './suppliers.ts'

/** How the shelf should stand today, so that the walk through the program finds what it needs. */
export interface Ending {
  /** Levels that the storekeeper set by hand. */
  levels: ReadonlyMap<number, Level>
  /** On hand today, minor units, and what made it so. */
  exact: ReadonlyMap<number, { quantity: number; reason: string }>
  /** What must lie there at the least, minor units: gloves, cloths and the like, without which no job is walked through. */
  atLeast: ReadonlyMap<number, number>
  /** A part that an order long due has not brought; null when the estate has no such part. */
  late: { partId: number; quantity: number } | null
  /** How many parts the buyer's list shows today, at least and at most. */
  listed: { least: number; most: number }
}

/** Orders still open today: one late, one half received, one on its way. Days before the end of the history. */
const STILL_DUE: {
  daysBefore: number
  supplier: SupplierKey
  lines: number
  halfAfter: number | null
  late: boolean
}[] = [
  { daysBefore: 33, supplier: 'imports', lines: 4, halfAfter: null, late: true },
  { daysBefore: 7, supplier: 'hydraulics', lines: 5, halfAfter: 4, late: false },
  { daysBefore: 4, supplier: 'orchard', lines: 4, halfAfter: null, late: false },
]

export function ordersStillDue(
  book: OrderBook,
  ledger: Ledger,
  stocked: readonly Stocked[],
  input: { calendar: Calendar; day: number; at: Date; random: Random; ending: Ending },
): void {
  const { calendar, day, ending } = input
  for (const due of STILL_DUE) {
    const planned = calendar.days - due.daysBefore
    if (day !== (calendarWeekday(calendar, planned) === 0 ? planned + 1 : planned)) continue
    const onOrder = onOrderOf(book)
    const own = stocked
      .flatMap((one) => (one.level && one.offer.supplier === due.supplier ? [{ stocked: one, level: one.level }] : []))
      .filter(
        ({ stocked: one }) =>
          one.used && one.offer.priceMinor >= 300 && !ending.exact.has(one.partId) && !onOrder.has(one.partId),
      )
      .map((one) => ({
        ...one,
        over: (ledgerOnHand(ledger, one.stocked.partId) - one.level.reorderPoint) / one.level.orderUpTo,
      }))
      .sort((a, b) => a.over - b.over || a.stocked.partId - b.stocked.partId)
      .slice(0, due.lines)
      .map(({ stocked: one, level }) => ({
        stocked: one,
        quantity: Math.max(one.offer.pack, level.orderUpTo - ledgerOnHand(ledger, one.partId)),
        reason: 'for the winter services',
      }))
    const wanted = stocked.find((one) => due.late && one.partId === ending.late?.partId)
    const first =
      wanted && ending.late
        ? [{ stocked: wanted, quantity: ending.late.quantity, reason: 'both axles before the harvest' }]
        : []
    if (first.length + own.length === 0) continue
    const half = due.halfAfter
    orderPlace(book, {
      ...input,
      supplier: due.supplier,
      wanted: [...first, ...own],
      comes: (index) => (half !== null && index % 2 === 0 ? day + half : Number.POSITIVE_INFINITY),
    })
  }
}

/** Brings the shelf to where it should stand today, by movements like any other, and the list to a believable length. */
export function shelfEnds(ledger: Ledger, stocked: readonly Stocked[], ending: Ending, after: Date): void {
  let at = after
  const write = (kind: string, placings: Placing[]) => {
    at = new Date(at.getTime() + MINUTE_MS)
    ledgerWrite(ledger, kind, { at, personId: STOREKEEPER }, placings)
  }
  const home = new Map(stocked.map((one) => [one.partId, one.homeBinId]))
  const fetched = (partId: number, quantity: number) =>
    write('stock.receive', [
      { kind: 'receive', partId, binId: home.get(partId)!, quantity, reason: 'Brought along from the trade counter' },
    ])
  for (const [partId, least] of ending.atLeast) {
    const missing = least - ledgerOnHand(ledger, partId)
    if (missing > 0) fetched(partId, missing)
  }
  for (const [partId, { quantity, reason }] of ending.exact) {
    let over = ledgerOnHand(ledger, partId) - quantity
    if (over < 0) fetched(partId, -over)
    for (const [binId, there] of [...(ledger.balances.get(partId) ?? [])]) {
      const less = Math.min(there, over)
      if (less <= 0) continue
      write('stock.scrap', [{ kind: 'scrap', partId, binId, quantity: -less, reason }])
      over -= less
    }
  }
}

/** Raises reorder points before the winter, or fetches what is low, until the buyer's list has a believable length. */
export function listSettled(
  ledger: Ledger,
  book: OrderBook,
  stocked: readonly Stocked[],
  ending: Ending,
  after: Date,
): void {
  const none = new Map<number, number>()
  const low = partsLow(ledger, book, stocked, none)
  const free = (one: Stocked) => !ending.exact.has(one.partId)
  const fetched = low.filter((one) => free(one.stocked)).slice(0, Math.max(0, low.length - ending.listed.most))
  for (const [index, { stocked: one, need }] of fetched.entries())
    ledgerWrite(
      ledger,
      'stock.receive',
      { at: new Date(after.getTime() + (index + 1) * MINUTE_MS), personId: STOREKEEPER },
      [
        {
          kind: 'receive',
          partId: one.partId,
          binId: one.homeBinId,
          quantity: need,
          reason: 'Brought along from the trade counter',
        },
      ],
    )
  const onOrder = onOrderOf(book)
  const near = stocked
    .flatMap((one) =>
      one.level && one.used && one.unit === 'each' && free(one) && !onOrder.has(one.partId)
        ? [{ one, level: one.level, onHand: ledgerOnHand(ledger, one.partId) }]
        : [],
    )
    .filter(({ level, onHand }) => onHand > level.reorderPoint && onHand < level.orderUpTo)
    .sort(
      (a, b) =>
        (a.onHand - a.level.reorderPoint) / a.level.orderUpTo - (b.onHand - b.level.reorderPoint) / b.level.orderUpTo ||
        a.one.partId - b.one.partId,
    )
    .slice(0, Math.max(0, ending.listed.least - low.length))
  for (const { one, level, onHand } of near)
    one.level = { ...level, reorderPoint: onHand, reason: `${level.reason} Raised before the winter services.` }
}
