import { lineDueOn } from '../buying/due-day.ts'
import type { PartClass } from '../catalogue/part-class.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import { type SupersessionLink, supersessionCheck } from '../catalogue/supersession.ts'
import { PartFacts } from '../figure/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { type BinKind, binKindOf } from '../stock/bin-kind.ts'
import type { KeptFor } from '../stock/stock-words.ts'
import { dayOf } from './batch.ts'
import { database, type Tx } from './client.ts'
import { slices } from './exchange-rows.ts'
import { freeBin, spoiledOf } from './free-bins.ts'
import { type MovementLine, movementLines } from './movement-line.ts'
import { type OfferNow, offersNow } from './offer-price.ts'
import { type WriteContext, write } from './transaction.ts'

type Reader = Tx | ReturnType<typeof database>

/**
 * What the shelf holds of a part to use, over all bins that are free to take from, minor units; what is past its use-by day is
 * in `spoiled` only. `wantedByJobs` is accepted on open jobs and not yet taken.
 */
export interface PartStock {
  onHand: number
  /** Past its use-by day in those bins: neither on hand to use nor free. */
  spoiled: number
  allocated: number
  available: number
  onOrder: number
  wantedByJobs: number
  /** When the first of what is on order should come, or should have come; null while nothing is. */
  dueOn: string | null
  /** The jobs that `allocated` is kept for. */
  keptFor: KeptFor[]
}

const NONE: PartStock = {
  onHand: 0,
  spoiled: 0,
  allocated: 0,
  available: 0,
  onOrder: 0,
  wantedByJobs: 0,
  dueOn: null,
  keptFor: [],
}

/** Stock of many parts on a day in four statements, however many parts there are. */
export async function partStock(
  reader: Reader,
  partIds: readonly number[],
  today = dayOf(new Date()),
): Promise<Map<number, PartStock>> {
  const ids = [...new Set(partIds)]
  const stock = new Map<number, PartStock>(ids.map((id) => [id, { ...NONE, keptFor: [] }]))
  for (const slice of slices(ids, PARTS_AT_ONCE)) await stockAdd(reader as Tx, slice, stock, today)
  for (const of of stock.values()) of.available = of.onHand - of.allocated
  return stock
}

/** A statement takes a limited number of values, and an order list may name tens of thousands of parts. */
const PARTS_AT_ONCE = 500

async function stockAdd(
  tx: Tx,
  ids: readonly number[],
  stock: ReadonlyMap<number, PartStock>,
  today: string,
): Promise<void> {
  const [balances, needs, lines, spoiled] = await Promise.all([
    tx.balance.groupBy({ by: ['partId'], where: { partId: { in: [...ids] }, ...freeBin }, _sum: { quantity: true } }),
    tx.jobNeed.findMany({
      where: { partId: { in: [...ids] }, state: 'accepted', job: { state: 'open' } },
      select: { partId: true, wanted: true, taken: true, allocated: true, job: { select: { id: true, number: true } } },
    }),
    tx.purchaseOrderLine.findMany({
      where: { partId: { in: [...ids] }, order: { state: 'ordered' } },
      select: {
        ...{ partId: true, quantity: true, received: true, cancelled: true, confirmedOn: true, promisedOn: true },
        order: { select: { dueOn: true } },
      },
    }),
    spoiledOf(tx, ids, today),
  ])
  for (const row of balances) stock.get(row.partId)!.onHand = row._sum.quantity ?? 0
  for (const [partId, quantity] of spoiled) {
    const of = stock.get(partId)!
    of.spoiled = quantity
    of.onHand -= quantity
  }
  for (const need of needs) {
    const of = stock.get(need.partId!)!
    of.allocated += need.allocated
    if (need.allocated > 0) of.keptFor.push({ jobId: need.job.id, job: need.job.number, quantity: need.allocated })
    of.wantedByJobs += Math.max(0, need.wanted - need.taken)
  }
  for (const line of lines) {
    const of = stock.get(line.partId)!
    const coming = line.quantity - line.received - line.cancelled
    of.onOrder += coming
    const dueOn = lineDueOn(line, line.order.dueOn)
    if (coming > 0 && (of.dueOn === null || dueOn < of.dueOn)) of.dueOn = dueOn
  }
}

/** Every supersession link that can matter to the parts: whole chains in both directions, read step by step. */
export async function supersessionLinks(reader: Reader, partIds: readonly number[]): Promise<SupersessionLink[]> {
  const tx = reader as Tx
  const links = new Map<number, SupersessionLink>()
  let frontier = [...new Set(partIds)]
  const seen = new Set(frontier)
  while (frontier.length > 0) {
    // Two statements: one with both lists would pass the database's limit of parameters for a long order list.
    const [asOld, asNew] = await Promise.all([
      tx.supersession.findMany({ where: { oldPartId: { in: frontier } } }),
      tx.supersession.findMany({ where: { newPartId: { in: frontier } } }),
    ])
    const rows = [...asOld, ...asNew]
    for (const row of rows)
      links.set(row.id, { ...row, interchange: row.interchange as SupersessionLink['interchange'] })
    frontier = rows.flatMap((row) => [row.oldPartId, row.newPartId]).filter((id) => !seen.has(id) && seen.add(id))
  }
  return [...links.entries()].sort(([a], [b]) => a - b).map(([, link]) => link)
}

export async function supersessionEnter(
  context: WriteContext,
  input: {
    oldPartId: number
    newPartId: number
    ratio: number
    interchange: SupersessionLink['interchange']
    note?: string
  },
): Promise<null> {
  return write(context, 'catalogue.supersede', input, async (tx) => {
    await supersessionPlace(tx, context.now, input)
    return null
  })
}

/** Enters a link in the caller's transaction; a loop is refused with the numbers of the parts in it. */
export async function supersessionPlace(
  tx: Tx,
  now: Date,
  input: {
    oldPartId: number
    newPartId: number
    ratio: number
    interchange: SupersessionLink['interchange']
    note?: string
  },
): Promise<void> {
  const links = await supersessionLinks(tx, [input.oldPartId, input.newPartId])
  const ids = [...new Set([input.oldPartId, input.newPartId, ...links.flatMap((l) => [l.oldPartId, l.newPartId])])]
  const parts = await tx.part.findMany({ where: { id: { in: ids } }, select: { id: true, number: true } })
  const numbers = new Map(parts.map((part) => [part.id, part.number]))
  supersessionCheck(input, links, (id) => numbers.get(id) ?? String(id))
  await tx.supersession.create({ data: { ...input, createdAt: now } })
}

export async function partByNumber(reader: Reader, number: string): Promise<{ id: number } | null> {
  const tx = reader as Tx
  return tx.part.findFirst({ where: { numberKey: partNumberKey(number) }, select: { id: true } })
}

export interface PartCard {
  id: number
  number: string
  maker: string
  description: string
  partClass: PartClass
  unit: StockUnit
  facts: PartFacts
  criticality: string
  costMinor: number | null
  discontinued: { on: string; note: string } | null
  stock: PartStock
  level: { reorderPoint: number; orderUpTo: number; reason: string } | null
  bins: { binId: number; bin: string; store: string; kind: BinKind; quantity: number }[]
  onOrder: { orderId: number; number: number; supplier: string; dueOn: string; quantity: number }[]
  waiting: { jobId: number; number: number; wanted: number; allocated: number }[]
  /** The last ones, newest first. */
  movements: MovementLine[]
  offers: {
    supplierId: number
    supplier: string
    supplierNumber: string | null
    pack: number
    minimum: number
    /** Asked today for its smallest order, and from which quantity on it is another price. */
    priceMinor: number
    breaks: { from: number; priceMinor: number }[]
    currency: string
    preferred: boolean
    /** An exchange part: the deposit on one piece, and the days within which its old unit must be back. */
    depositMinor: number | null
    returnDays: number | null
  }[]
}

/** What the shelf, the orders and the suppliers say of one part. Refuses with 'stock/unknown-part'. */
export async function partCard(partId: number, today = dayOf(new Date())): Promise<PartCard> {
  const db = database()
  const part = await db.part.findUnique({
    where: { id: partId },
    include: {
      level: true,
      balances: { where: { quantity: { gt: 0 } }, include: { bin: { include: { store: true } } } },
      orderLines: {
        where: { order: { state: 'ordered' } },
        include: { order: { include: { supplier: { select: { name: true } } } } },
      },
      jobNeeds: {
        where: { state: 'accepted', job: { state: 'open' } },
        include: { job: { select: { id: true, number: true } } },
      },
    },
  })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  const [stock, movements, offers] = await Promise.all([
    partStock(db, [partId], today),
    movementLines({ partId }, 12),
    offersNow(db, [partId], today),
  ])
  return {
    id: part.id,
    number: part.number,
    maker: part.maker,
    description: part.description,
    partClass: part.partClass as PartClass,
    unit: part.unit as StockUnit,
    facts: PartFacts.parse(JSON.parse(part.facts)),
    criticality: part.criticality,
    costMinor: part.costMinor,
    discontinued: part.discontinuedOn === null ? null : { on: part.discontinuedOn, note: part.discontinuedNote ?? '' },
    stock: stock.get(partId)!,
    level: part.level && {
      reorderPoint: part.level.reorderPoint,
      orderUpTo: part.level.orderUpTo,
      reason: part.level.reason,
    },
    bins: part.balances
      .sort((a, b) => a.bin.walkOrder - b.bin.walkOrder)
      .map((row) => ({
        binId: row.binId,
        bin: row.bin.code,
        store: row.bin.store.name,
        kind: binKindOf(row.bin.kind),
        quantity: row.quantity,
      })),
    onOrder: part.orderLines
      .map((line) => ({
        orderId: line.orderId,
        number: line.order.number,
        supplier: line.order.supplier.name,
        dueOn: lineDueOn(line, line.order.dueOn),
        quantity: line.quantity - line.received - line.cancelled,
      }))
      .filter((line) => line.quantity > 0),
    waiting: part.jobNeeds
      .map((need) => ({
        jobId: need.job.id,
        number: need.job.number,
        wanted: need.wanted - need.taken,
        allocated: need.allocated,
      }))
      .filter((need) => need.wanted > 0),
    movements,
    offers: offersShown(offers.get(partId) ?? []),
  }
}

/** Offers as the part card has them: the preferred first, then the cheapest; what cannot be compared for want of a rate last. */
function offersShown(offers: readonly OfferNow[]): PartCard['offers'] {
  const first = ({ on }: OfferNow) => on.breaks[0]!.priceMinor
  const compared = (one: OfferNow) => (one.rateMicro === null ? Infinity : first(one) * one.rateMicro)
  return [...offers]
    .sort(
      (a, b) =>
        Number(b.preferred) - Number(a.preferred) ||
        (compared(a) === compared(b) ? a.supplierId - b.supplierId : compared(a) - compared(b)),
    )
    .map(({ on, rateMicro: _, partId: _of, ...offer }) => ({
      ...offer,
      priceMinor: on.breaks[0]!.priceMinor,
      breaks: on.breaks.slice(1),
    }))
}

/** The next order that brings each part, by part id. */
export async function partsOnOrder(
  partIds: readonly number[],
): Promise<Map<number, { number: number; dueOn: string }>> {
  const lines = await database().purchaseOrderLine.findMany({
    where: { partId: { in: [...new Set(partIds)] }, order: { state: 'ordered' } },
    include: { order: { select: { number: true, dueOn: true } } },
  })
  const next = new Map<number, { number: number; dueOn: string }>()
  for (const line of lines.filter((one) => one.quantity > one.received + one.cancelled)) {
    const before = next.get(line.partId)
    const dueOn = lineDueOn(line, line.order.dueOn)
    if (!before || dueOn < before.dueOn) next.set(line.partId, { number: line.order.number, dueOn })
  }
  return next
}
