import { chainFitsBack, chainNeed } from '../buying/chain-need.ts'
import { lineDueOn, linesConfirmed, orderDueOn } from '../buying/due-day.ts'
import { orderDaysRead } from '../buying/order-day.ts'
import type { OrderPlaceInput } from '../buying/schema.ts'
import { supersessionResolve } from '../catalogue/supersession.ts'
import { moneyOfQuantity } from '../measure/money.ts'
import { quantityFormat, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { must } from '../must.ts'
import { moreForNoMore, offerBest } from '../price/offer-best.ts'
import { lineAmount } from '../price/offer-price.ts'
import { rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import { carriageOn, orderReason } from '../replenish/order-list.ts'
import { settingsRead } from '../settings.ts'
import { dayOf } from './batch.ts'
import { database, type Tx } from './client.ts'
import { freeBin } from './free-bins.ts'
import { orderCarriage } from './invoice-orders.ts'
import { offersNow, ratesOn } from './offer-price.ts'
import { orderMakeIn } from './order-draft.ts'
import { orderEvent } from './order-event.ts'
import { lastIssueJobs, partsInQuestion } from './order-need.ts'
import { partStock, supersessionLinks } from './part.ts'
import { orderSettle } from './receiving.ts'
import { partsDiscontinued } from './supersession.ts'
import { type WriteContext, write } from './transaction.ts'

export interface OrderListLine {
  partId: number
  number: string
  maker: string
  description: string
  unit: StockUnit
  need: number
  quantity: number
  pack: number
  minimum: number
  supplierNumber: string | null
  /** On the day, at the quantity that is proposed; in the currency of the group. */
  priceMinor: number
  costMinor: number
  /** List that the price is from; null: the offer's own. */
  list: string | null
  /** More that costs no more in all, since it reaches the next break. */
  moreForNoMore: { quantity: number; amountMinor: number } | null
  /** An exchange part: the deposit on one piece, and the days within which its old unit must be back. */
  depositMinor: number | null
  returnDays: number | null
  reason: string
}

export interface OrderListGroup {
  supplier: { id: number; name: string; leadTimeDays: number; orderDays: number[] } | null
  /** What the amounts of the group are in. */
  currency: string
  /** The goods in the workshop's money; null where nobody has kept a rate of the currency. */
  goodsHomeMinor: number | null
  lines: OrderListLine[]
  goodsMinor: number
  /** Charged until the old units come back; no part of the goods. */
  depositsMinor: number
  carriageMinor: number
  /** What is missing to carriage paid; null when it is reached or not offered. */
  toCarriagePaidMinor: number | null
  /** What is missing to the supplier's minimum order; 0 when reached. */
  toMinimumMinor: number
}

/** A part that is wanted and cannot be ordered: it is no longer made, and nothing that is made replaces it. */
export interface OrderListRefused {
  partId: number
  number: string
  description: string
  unit: StockUnit
  need: number
  reason: string
  discontinued: { on: string; note: string }
}

/** The order list, grouped by supplier; every line with its reason. Superseded parts are ordered as what replaces them. */
export async function orderList(today = dayOf(new Date())): Promise<OrderListGroup[]> {
  return (await orderListWhole(today)).groups
}

/** The order list, and beside it what is wanted but no longer made: that is never proposed for an order. */
export async function orderListWhole(
  today = dayOf(new Date()),
): Promise<{ groups: OrderListGroup[]; refused: OrderListRefused[] }> {
  const db = database()
  const asked = await partsInQuestion(today)
  const links = await supersessionLinks(db, asked)
  // A replaced part and its successor are one need, looked at once at the end of the chain. All of the chain is looked at,
  // not only what asks: the old ones may still lie on the shelf.
  const inQuestion = new Set(asked)
  const chainIds = new Set(links.flatMap((link) => [link.oldPartId, link.newPartId]))
  const resolvedOf = new Map(asked.map((id) => [id, { partId: id, ratio: 1, chain: [id] }]))
  for (const id of chainIds) resolvedOf.set(id, supersessionResolve(id, links))
  const members = new Map([...inQuestion].map((id) => [resolvedOf.get(id)!.partId, new Set<number>()]))
  // The part to order first, then what it replaces, nearest first: the first level found is the one that counts.
  const byDistance = [...resolvedOf].sort(([a, one], [b, two]) => one.chain.length - two.chain.length || a - b)
  for (const [id, { partId }] of byDistance) members.get(partId)?.add(id)
  const ids = [...new Set([...members.values()].flatMap((set) => [...set]))]
  const [stock, parts, suppliers, lastIssues, waiting, gone, offers, rates] = await Promise.all([
    partStock(db, ids, today),
    db.part.findMany({ where: { id: { in: ids } }, include: { level: true } }),
    db.supplier.findMany(),
    lastIssueJobs(ids),
    db.jobNeed.findMany({
      // Of every part: what open jobs want is short, the list of parts may be longer than a statement takes.
      where: { partId: { not: null }, state: 'accepted', job: { state: 'open' } },
      select: { partId: true, wanted: true, taken: true, job: { select: { number: true } } },
    }),
    partsDiscontinued(db, ids),
    offersNow(db, ids, today),
    ratesOn(db, today),
  ])
  const refused: OrderListRefused[] = []
  const partOf = new Map(parts.map((part) => [part.id, part]))
  const groups = new Map<number | null, OrderListLine[]>()
  for (const [partId, set] of members) {
    const part = partOf.get(partId)
    if (!part) continue
    const unit = part.unit as StockUnit
    const { need, counted, ...facts } = chainNeed(
      [...set].map((id) => ({
        partId: id,
        ratio: resolvedOf.get(id)!.ratio,
        fitsBack: chainFitsBack(resolvedOf.get(id)!.chain, links),
        stock: stock.get(id)!,
        level: partOf.get(id)?.level ?? null,
      })),
    )
    if (need === 0) continue
    const best = offerBest(offers.get(partId) ?? [], need, quantityScale(unit))
    const offer = best?.offer
    const quantity = best?.quantity ?? need
    const replaced = [...set]
      .filter((id) => id !== partId && (inQuestion.has(id) || counted.includes(id)))
      .map((id) => `${partOf.get(id)?.number}${gone.has(id) ? ' (no longer made)' : ''}`)
    const spoiled = stock.get(partId)!.spoiled
    const line: OrderListLine = {
      partId,
      number: part.number,
      maker: part.maker,
      description: part.description,
      unit,
      need,
      quantity,
      pack: offer?.pack ?? 1,
      minimum: offer?.minimum ?? 1,
      supplierNumber: offer?.supplierNumber ?? null,
      depositMinor: offer?.depositMinor ?? null,
      returnDays: offer?.returnDays ?? null,
      priceMinor: best?.price.unitMinor ?? part.costMinor ?? 0,
      costMinor: best?.price.amountMinor ?? moneyOfQuantity(part.costMinor ?? 0, quantity, unit),
      list: offer?.on.list?.name ?? null,
      moreForNoMore: best
        ? moreForNoMore(best.offer, { quantity, amountMinor: best.price.amountMinor }, quantityScale(unit))
        : null,
      reason:
        orderReason({
          partId,
          ...facts,
          lastJob: lastIssues.get(partId) ?? null,
          waitingJobs: [
            ...new Set(waiting.filter((n) => set.has(n.partId!) && n.wanted > n.taken).map((n) => n.job.number)),
          ],
          show: (value) => quantityFormat(value, unit),
        }) +
        (spoiled > 0 ? `, ${quantityFormat(spoiled, unit)} spoiled, not counted` : '') +
        (replaced.length > 0 ? `, replaces ${replaced.join(', ')}` : ''),
    }
    const discontinued = gone.get(partId)
    if (discontinued) {
      const { number, description, reason } = line
      refused.push({ partId, number, description, unit, need, reason, discontinued })
      continue
    }
    const key = offer?.supplierId ?? null
    groups.set(key, [...(groups.get(key) ?? []), line])
  }
  const home = settingsRead().currency
  const bySupplier = new Map(suppliers.map((supplier) => [supplier.id, supplier]))
  const grouped = [...groups.entries()]
    .map(([supplierId, lines]): OrderListGroup => {
      lines.sort((a, b) => a.number.localeCompare(b.number, 'en', { numeric: true }))
      const supplier = supplierId === null ? null : bySupplier.get(supplierId)!
      const goodsMinor = lines.reduce((sum, line) => sum + line.costMinor, 0)
      const paidFrom = supplier?.carriagePaidFromMinor ?? null
      const currency = supplier?.currency ?? home
      const rate = rates.get(currency)
      return {
        supplier: supplier && {
          id: supplier.id,
          name: supplier.name,
          leadTimeDays: supplier.leadTimeDays,
          orderDays: orderDaysRead(supplier.orderDays),
        },
        currency,
        goodsHomeMinor: rate === undefined ? null : rateTurn(goodsMinor, rate),
        lines,
        goodsMinor,
        depositsMinor: lines.reduce((sum, line) => sum + (line.depositMinor ?? 0) * line.quantity, 0),
        carriageMinor: supplier ? carriageOn(goodsMinor, supplier) : 0,
        toCarriagePaidMinor: paidFrom !== null && goodsMinor < paidFrom ? paidFrom - goodsMinor : null,
        toMinimumMinor: Math.max(0, (supplier?.minimumOrderMinor ?? 0) - goodsMinor),
      }
    })
    .sort((a, b) => (a.supplier?.name ?? '~').localeCompare(b.supplier?.name ?? '~'))
  return { groups: grouped, refused: refused.sort((a, b) => a.number.localeCompare(b.number, 'en', { numeric: true })) }
}

/** Why each part is on the order list now, by part id; kept with the order line when it is ordered. */
export async function orderReasons(): Promise<Map<number, string>> {
  return new Map((await orderList()).flatMap(({ lines }) => lines.map((line) => [line.partId, line.reason] as const)))
}

/**
 * Marks lines as ordered, approved and sent in one: from now on they count as on order. Prices are those of the day and of the
 * quantity, the rate of another currency is fixed with them. Refuses with 'buying/above-limit' what the person may not approve.
 * `reasons` says why a part is ordered; it is kept with the line and is no part of what makes two sendings of a form the same.
 */
export async function orderPlace(
  context: WriteContext,
  input: OrderPlaceInput,
  reasons: ReadonlyMap<number, string> = new Map(),
): Promise<{ orderId: number; number: number }> {
  return write(context, 'buying.order', input, (tx) => orderPlaceIn(tx, context, input, reasons))
}

/** The same in the caller's transaction, for several orders at once. */
async function orderPlaceIn(
  tx: Tx,
  context: WriteContext,
  input: OrderPlaceInput,
  reasons: ReadonlyMap<number, string>,
): Promise<{ orderId: number; number: number }> {
  const { order } = await orderMakeIn(tx, context, input, reasons, 'must')
  must(order !== null, 'what waits for approval was refused')
  return order!
}

/** Gives up on what is still due. What came stays received. */
export function orderCancelRest(context: WriteContext, input: { orderId: number }): Promise<null> {
  return write(context, 'buying.cancel', input, async (tx) => {
    const order = await tx.purchaseOrder.findUnique({ where: { id: input.orderId }, include: { lines: true } })
    if (!order) throw new Refusal('buying/no-such-order', { order: input.orderId })
    for (const line of order.lines)
      await tx.purchaseOrderLine.update({ where: { id: line.id }, data: { cancelled: line.quantity - line.received } })
    if (order.state === 'ordered') await orderEvent(tx, context, { orderId: order.id, kind: 'cancelled' })
    await orderSettle(tx, order.id)
    return null
  })
}

/** Every open order, however old, and the last `take` of those that are done; each newest first. */
export async function ordersList(take = 100) {
  const include = { supplier: true, lines: { include: { part: { select: { unit: true } } } } } as const
  const [open, done] = await Promise.all([
    database().purchaseOrder.findMany({ where: { state: 'ordered' }, include, orderBy: { number: 'desc' } }),
    database().purchaseOrder.findMany({
      where: { state: { not: 'ordered' } },
      include,
      orderBy: { number: 'desc' },
      take,
    }),
  ])
  return [...open, ...done].map((order) => ({
    id: order.id,
    number: order.number,
    supplier: order.supplier.name,
    state: order.state,
    orderedAt: order.orderedAt,
    dueOn: orderDueOn(order.lines, order.dueOn),
    isConfirmed: linesConfirmed(order.lines),
    lines: order.lines.length,
    linesDue: order.lines.filter((line) => line.quantity > line.received + line.cancelled).length,
    duePartIds: order.lines.filter((line) => line.quantity > line.received + line.cancelled).map((line) => line.partId),
    partReceived: order.lines.some((line) => line.received > 0),
    goodsMinor: order.lines.reduce((sum, line) => sum + lineAmount(line, line.part.unit as StockUnit), 0),
    currency: order.currency ?? settingsRead().currency,
  }))
}

export async function orderRead(orderId: number) {
  const order = await database().purchaseOrder.findUnique({
    where: { id: orderId },
    include: {
      supplier: true,
      lines: {
        orderBy: { id: 'asc' },
        include: {
          part: {
            include: {
              balances: { where: freeBin, include: { bin: true }, orderBy: { quantity: 'desc' } },
              offers: { where: { supplier: { orders: { some: { id: orderId } } } } },
            },
          },
        },
      },
    },
  })
  if (!order) throw new Refusal('buying/no-such-order', { order: orderId })
  const goodsMinor = order.lines.reduce((sum, line) => sum + lineAmount(line, line.part.unit as StockUnit), 0)
  return {
    id: order.id,
    number: order.number,
    state: order.state,
    orderedAt: order.orderedAt,
    /** By when it was asked for. */
    askedOn: order.dueOn,
    /** When the next of it is looked for. */
    dueOn: orderDueOn(order.lines, order.dueOn),
    isConfirmed: linesConfirmed(order.lines),
    note: order.note,
    supplierReference: order.supplierReference,
    supplier: order.supplier,
    /** What every amount is in, and its rate on the day of the order; null: the workshop's money. */
    currency: order.currency ?? settingsRead().currency,
    rateMicro: order.rateMicro,
    carriageMinor: orderCarriage(order, goodsMinor, order.supplier),
    /** The rate of tax that was kept when it was sent; null where none was. */
    taxThousandths: order.taxThousandths,
    lines: order.lines.map((line) => ({
      id: line.id,
      partId: line.partId,
      number: line.part.number,
      maker: line.part.maker,
      description: line.part.description,
      supplierNumber: line.part.offers[0]?.supplierNumber ?? null,
      /** As this supplier sells it now; null when the offer is gone. */
      pack: line.part.offers[0]?.pack ?? null,
      unit: line.part.unit as StockUnit,
      quantity: line.quantity,
      received: line.received,
      cancelled: line.cancelled,
      due: line.quantity - line.received - line.cancelled,
      confirmedOn: line.confirmedOn,
      promisedOn: line.promisedOn,
      dueOn: lineDueOn(line, order.dueOn),
      priceMinor: line.priceMinor,
      /** Charged on each piece until its old unit comes back; null where it is no exchange part. */
      depositMinor: line.depositMinor,
      returnDays: line.returnDays,
      /** Why it was ordered; empty when nobody said. */
      reason: line.reason,
      costMinor: lineAmount(line, line.part.unit as StockUnit),
      /** Where the part lies already; the first is proposed when putting it away. */
      binId: line.part.balances[0]?.binId ?? null,
    })),
  }
}
