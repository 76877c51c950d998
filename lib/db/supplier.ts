import { orderDaysRead } from '../buying/order-day.ts'
import { faultsOf, type LineRun, onTimeOf } from '../buying/supplier-record.ts'
import type { SupplierFacts } from '../buying/supplier-schema.ts'
import { nameKey } from '../catalogue/part-number.ts'
import { counted } from '../measure/counted.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { leadBook } from '../replenish/lead-time.ts'
import { monthsAdd, type PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { supplierCredits } from './credit-read.ts'
import { invoicesWrong } from './invoice-read.ts'
import { type OfferNow, offersNow } from './offer-price.ts'
import { recordSaid } from './receiving.ts'
import { type WriteContext, write } from './transaction.ts'

/** How far back a supplier is judged. */
export const JUDGED_MONTHS = 24

interface RunRow {
  supplierId: number | bigint
  partId: number | bigint
  orderId: number | bigint
  order: number | bigint
  orderedOn: string
  /** What was confirmed, else asked: by that the supplier is judged. */
  dueOn: string
  /** When it is looked for now. */
  expectedOn: string
  cameOn: string | null
  isOpen: number | bigint
  isComplete: number | bigint
  days: number | null
  age: number
}

/** Every order line of the last two years, of one supplier or of all, and how it went. Cancelled ones of which nothing came tell nothing. */
async function runsRead(now: Date, supplierId: number | null) {
  const since = monthsAdd(now.toISOString().slice(0, 10), -JUDGED_MONTHS)
  const rows = await database().$queryRaw<RunRow[]>`
    SELECT o."supplierId", l."partId", o."id" AS "orderId", o."number" AS "order", substr(o."orderedAt", 1, 10) AS "orderedOn",
      COALESCE(l."confirmedOn", o."dueOn") AS "dueOn", COALESCE(l."promisedOn", l."confirmedOn", o."dueOn") AS "expectedOn",
      substr(MAX(m."at"), 1, 10) AS "cameOn",
      (l."received" + l."cancelled" < l."quantity" AND o."state" = 'ordered') AS "isOpen",
      (l."received" + l."cancelled" >= l."quantity") AS "isComplete",
      SUM(m."quantity" * (julianday(m."at") - julianday(o."orderedAt"))) / SUM(m."quantity") AS "days",
      julianday(${now.toISOString()}) - julianday(o."orderedAt") AS "age"
    FROM "PurchaseOrder" o JOIN "PurchaseOrderLine" l ON l."orderId" = o."id"
    LEFT JOIN "Movement" m ON m."orderLineId" = l."id" AND m."kind" = 'receive'
      AND NOT EXISTS (SELECT 1 FROM "Movement" r WHERE r."reversesId" = m."id")
    WHERE o."orderedAt" >= ${since} AND (${supplierId} IS NULL OR o."supplierId" = ${supplierId})
    GROUP BY l."id" ORDER BY l."id"`
  return rows.flatMap((row) => {
    const isOpen = Number(row.isOpen) === 1
    if (!isOpen && row.cameOn === null) return []
    return [
      {
        supplierId: Number(row.supplierId),
        partId: Number(row.partId),
        orderId: Number(row.orderId),
        order: Number(row.order),
        orderedOn: row.orderedOn,
        dueOn: row.dueOn,
        expectedOn: row.expectedOn,
        cameOn: isOpen ? null : row.cameOn,
        isOpen,
        days: row.days === null ? null : Math.max(0, row.days),
        age: Math.max(0, row.age),
      },
    ]
  })
}

type Run = LineRun & {
  supplierId: number
  partId: number
  orderId: number
  order: number
  age: number
  expectedOn: PlainDate
}

/** Lead time over all parts of a supplier: stated, and as it really is. */
function leadOf(supplierId: number, statedDays: number, runs: readonly Run[]) {
  const observed = runs.flatMap(({ partId, isOpen, days, age }) =>
    isOpen ? [{ supplierId, partId, days: age, open: true }] : days === null ? [] : [{ supplierId, partId, days }],
  )
  const { supplierDays, within, receipts } = leadBook(observed, statedDays)
  return { meanDays: supplierDays, sdDays: Math.sqrt(within), receipts }
}

/** All suppliers with how they deliver, by name. */
export async function supplierList(now: Date) {
  const [suppliers, runs] = await Promise.all([
    database().supplier.findMany({
      orderBy: { nameKey: 'asc' },
      include: { _count: { select: { offers: { where: { withdrawnAt: null } } } } },
    }),
    runsRead(now, null),
  ])
  const today = now.toISOString().slice(0, 10)
  return suppliers.map(({ id, name, leadTimeDays, _count }) => {
    const own = runs.filter((run) => run.supplierId === id)
    const open = own.filter((run) => run.isOpen)
    return {
      id,
      name,
      leadTimeDays,
      offers: _count.offers,
      lead: leadOf(id, leadTimeDays, own),
      onTime: onTimeOf(own, today),
      openOrders: new Set(open.map((run) => run.orderId)).size,
      lateOrders: new Set(open.filter((run) => run.expectedOn < today).map((run) => run.orderId)).size,
    }
  })
}

/** Suppliers by name, without how they deliver. */
export function supplierNames(): Promise<{ id: number; name: string }[]> {
  return database().supplier.findMany({ select: { id: true, name: true }, orderBy: { nameKey: 'asc' } })
}

async function supplierKnown(supplierId: number) {
  const supplier = await database().supplier.findUnique({ where: { id: supplierId } })
  if (!supplier) throw new Refusal('buying/unknown-supplier', { supplier: supplierId })
  return supplier
}

/** What is kept of a supplier, for its form. Refuses with 'buying/unknown-supplier'. */
export async function supplierFacts(supplierId: number): Promise<SupplierFacts> {
  const { id: _, nameKey: _key, orderDays, ...facts } = await supplierKnown(supplierId)
  return { ...facts, orderDays: orderDaysRead(orderDays) }
}

const OFFERS_SHOWN = 50

/** One supplier: facts, how it delivers, what went wrong, what is open, and a page of what it sells. Refuses with 'buying/unknown-supplier'. */
export async function supplierRead(supplierId: number, now: Date, page: number) {
  const db = database()
  const today: PlainDate = now.toISOString().slice(0, 10)
  const facts = await supplierFacts(supplierId)
  const since = new Date(`${monthsAdd(today, -JUDGED_MONTHS)}T00:00:00Z`)
  const [runs, records, offers, offersAll] = await Promise.all([
    runsRead(now, supplierId),
    db.deliveryRecord.findMany({
      where: { supplierId, at: { gte: since } },
      orderBy: { id: 'desc' },
      include: {
        part: { select: { number: true, description: true, unit: true } },
        orderLine: { select: { priceMinor: true, order: { select: { id: true, number: true, currency: true } } } },
      },
    }),
    db.offer.findMany({
      where: { supplierId },
      include: { part: { select: { number: true, description: true, unit: true } } },
      orderBy: [{ part: { numberKey: 'asc' } }, { partId: 'asc' }],
      skip: (page - 1) * OFFERS_SHOWN,
      take: OFFERS_SHOWN,
    }),
    db.offer.count({ where: { supplierId } }),
  ])
  const asked = await offersNow(
    db,
    offers.map(({ partId }) => partId),
    today,
  )
  const open = new Map<number, { id: number; number: number; dueOn: PlainDate; lines: number }>()
  for (const run of runs.filter((one) => one.isOpen)) {
    const order = open.get(run.orderId) ?? { id: run.orderId, number: run.order, dueOn: run.expectedOn, lines: 0 }
    const [dueOn] = [run.expectedOn, order.dueOn].sort() as [PlainDate]
    open.set(run.orderId, { ...order, dueOn, lines: order.lines + 1 })
  }
  return {
    facts,
    lead: leadOf(supplierId, facts.leadTimeDays, runs),
    runs: runs as LineRun[],
    onTime: onTimeOf(runs, today),
    faults: faultsOf(records),
    records: records.map(({ id, kind, quantity, note, priceMinor, at, part, orderLine: { order, ...line } }) => ({
      id,
      kind,
      quantity,
      said: recordSaid(
        { quantity, note, priceMinor, unit: part.unit as StockUnit },
        { agreedMinor: line.priceMinor, currency: order.currency },
      ),
      at,
      order,
      part: { ...part, unit: part.unit as StockUnit },
    })),
    open: [...open.values()].sort((a, b) => (a.dueOn < b.dueOn ? -1 : 1)),
    offers: offers.map(({ part, ...offer }) => ({
      ...offer,
      part: { ...part, unit: part.unit as StockUnit },
      now: askedNow(asked.get(offer.partId)?.find((one) => one.supplierId === supplierId)),
    })),
    offersAll,
    invoices: await invoicesWrong(supplierId, since),
    credits: await supplierCredits(supplierId, since),
    isLastPage: page * OFFERS_SHOWN >= offersAll,
  }
}

export type SupplierView = Awaited<ReturnType<typeof supplierRead>>

/** What an offer asks for its smallest order; null where it is withdrawn. */
function askedNow(offer: OfferNow | undefined) {
  if (!offer) return null
  const { currency, on } = offer
  return { currency, breaks: on.breaks.length, priceMinor: on.breaks[0]!.priceMinor }
}

const rowOf = ({ orderDays, ...facts }: SupplierFacts) => ({
  ...facts,
  nameKey: nameKey(facts.name),
  orderDays: orderDays.length === 0 ? null : orderDays.join(','),
  // One way to say it: the workshop's own money is no other currency.
  currency: facts.currency === settingsRead().currency ? null : facts.currency,
})

/** Nothing is kept of the supplier that would mean something else in another currency. */
async function noPrices(tx: Tx, supplier: { id: number; name: string; currency: string | null }): Promise<void> {
  const offers = await tx.offer.count({ where: { supplierId: supplier.id } })
  if (offers === 0) return
  throw new Refusal(
    'price/currency-with-prices',
    {
      supplier: supplier.name,
      count: counted(offers, 'part'),
      currency: supplier.currency ?? settingsRead().currency,
    },
    { fields: { pricesMeant: 'tick it, or leave the currency' } },
  )
}

/** Enters a supplier. Refuses with 'buying/supplier-exists'. */
export function supplierCreate(context: WriteContext, input: SupplierFacts): Promise<{ supplierId: number }> {
  return write(context, 'buying.supplier-new', input, async (tx) => {
    const row = rowOf(input)
    const there = await tx.supplier.findUnique({ where: { nameKey: row.nameKey } })
    if (there) throw new Refusal('buying/supplier-exists', { name: there.name }, { fields: { name: 'taken' } })
    const { id } = await tx.supplier.create({ data: row })
    return { supplierId: id }
  })
}

/**
 * Changes what is kept of a supplier. Refuses with 'buying/unknown-supplier', 'buying/supplier-exists', and with
 * 'price/currency-with-prices' where its prices would be taken for another currency and nobody said that they are meant so.
 */
export function supplierChange(
  context: WriteContext,
  input: SupplierFacts & { supplierId: number; pricesMeant?: boolean },
): Promise<{ supplierId: number }> {
  return write(context, 'buying.supplier', input, async (tx) => {
    const { supplierId, pricesMeant = false, ...facts } = input
    const row = rowOf(facts)
    const before = await tx.supplier.findUnique({ where: { id: supplierId } })
    if (!before) throw new Refusal('buying/unknown-supplier', { supplier: supplierId })
    if (before.currency !== row.currency && !pricesMeant) await noPrices(tx, before)
    const there = await tx.supplier.findUnique({ where: { nameKey: row.nameKey } })
    if (there && there.id !== supplierId)
      throw new Refusal('buying/supplier-exists', { name: there.name }, { fields: { name: 'taken' } })
    await tx.supplier.update({ where: { id: supplierId }, data: row })
    return { supplierId }
  })
}
