import { moneyFormat, moneyOfQuantity } from '../measure/money.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { lineAmount, quantityPrice } from '../price/offer-price.ts'
import { RATE_ONE, rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import type { WinterCopyContent } from '../winter/copy.ts'
import { orderCosts } from '../winter/money.ts'
import type { WinterOrderInput } from '../winter/schema.ts'
import { database, type Tx } from './client.ts'
import { draftsComing } from './draft-coming.ts'
import { slices } from './exchange-rows.ts'
import { offersNow, ratesOn } from './offer-price.ts'
import { goodsOf, type OrderMade, orderMakeIn } from './order-draft.ts'
import { OPEN_DRAFTS } from './order-draft-read.ts'
import { type WriteContext, write } from './transaction.ts'
import { termsOf } from './winter-facts.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500

/** What is still to come of each part by its own number, on order or in drafts that can be sent; minor units. */
export async function partsComing(
  reader: Tx | ReturnType<typeof database>,
  partIds: readonly number[],
  today: PlainDate,
): Promise<Map<number, number>> {
  const coming = new Map<number, number>()
  for (const slice of slices(partIds, AT_ONCE)) {
    const lines = await (reader as Tx).purchaseOrderLine.findMany({
      where: { partId: { in: slice }, order: { state: 'ordered' } },
      select: { partId: true, quantity: true, received: true, cancelled: true },
    })
    for (const { partId, quantity, received, cancelled } of lines)
      coming.set(partId, (coming.get(partId) ?? 0) + quantity - received - cancelled)
  }
  for (const [partId, drafts] of (await draftsComing(reader, partIds, today)).coming)
    for (const { quantity } of drafts) coming.set(partId, (coming.get(partId) ?? 0) + quantity)
  return coming
}

interface OrderPaid {
  rateMicro: number | null
  lines: {
    priceMinor: number
    quantity: number
    cancelled: number
    amountMinor: number | null
    part: { unit: string }
  }[]
}

/** Goods of an order in the workshop's money, at the rate of its day; what was cancelled costs nothing. */
function goodsLeftOf({ rateMicro, lines }: OrderPaid): number {
  const goods = lines.reduce((sum, line) => sum + lineLeft(line), 0)
  return rateTurn(goods, rateMicro ?? RATE_ONE)
}

/** Goods and carriage; an order of which all was cancelled before anything came is not carried. */
function costOf({ carriageMinor, order }: { carriageMinor: number | null; order: OrderPaid }): number {
  const isOff = order.lines.every(({ quantity, cancelled }) => cancelled >= quantity)
  return goodsLeftOf(order) + (isOff ? 0 : (carriageMinor ?? 0))
}

function lineLeft(line: OrderPaid['lines'][number]): number {
  const unit = line.part.unit as StockUnit
  return line.cancelled === 0
    ? lineAmount(line, unit)
    : moneyOfQuantity(line.priceMinor, line.quantity - line.cancelled, unit)
}

/** What a line of an order costs in the workshop's money, at the rate of its day; what was cancelled costs nothing. */
export function goodsLeft(line: OrderPaid['lines'][number], rateMicro: number | null): number {
  return rateTurn(lineLeft(line), rateMicro ?? RATE_ONE)
}

/** The orders that were made of a plan, the newest first. */
export async function winterOrders(planId: number, reader: Tx | ReturnType<typeof database> = database()) {
  const rows = await (reader as Tx).winterOrder.findMany({
    where: { planId },
    include: { order: { include: { supplier: true, lines: { include: { part: { select: { unit: true } } } } } } },
    orderBy: { orderId: 'desc' },
  })
  return rows.map(({ order, carriageMinor }) => ({
    id: order.id,
    number: order.number,
    supplier: order.supplier.name,
    state: order.state,
    orderedAt: order.orderedAt,
    costMinor: costOf({ order, carriageMinor }),
  }))
}

const draftLines = { lines: { include: { part: { select: { unit: true } } } } } as const

/**
 * The drafts of a plan that wait to be approved or sent, the newest first. What they would cost in the workshop's money, goods and
 * carriage: at the rate of the day, and as carriage is agreed now.
 */
export async function winterDrafts(reader: Tx | ReturnType<typeof database>, planId: number, day: PlainDate) {
  const [rows, rates] = await Promise.all([
    (reader as Tx).orderDraft.findMany({
      where: { winterPlanId: planId, state: { in: [...OPEN_DRAFTS] } },
      include: { supplier: true, ...draftLines },
      orderBy: { id: 'desc' },
    }),
    ratesOn(reader, day),
  ])
  return rows.map(({ id, supplier, currency, state, createdAt, lines }) => {
    const { goodsMinor, carriageMinor } = orderCosts(goodsOf(lines), termsOf({ ...supplier, currency }, rates))
    return { id, supplier: supplier.name, state, createdAt, goodsMinor, carriageMinor, lines }
  })
}

/** The same for a screen, without their lines. */
export async function winterDraftsNow(planId: number, day: PlainDate) {
  return (await winterDrafts(database(), planId, day)).map(({ lines: _, ...draft }) => draft)
}

/** What a plan has cost so far in money minor units, goods and carriage: its orders, and its drafts that wait to be sent. */
export interface WinterSpent {
  ordered: number
  drafted: number
}

export async function winterSpent(
  planId: number,
  day: PlainDate,
  reader: Tx | ReturnType<typeof database> = database(),
): Promise<WinterSpent> {
  const [orders, drafts] = await Promise.all([winterOrders(planId, reader), winterDrafts(reader, planId, day)])
  return {
    ordered: orders.reduce((sum, { costMinor }) => sum + costMinor, 0),
    drafted: drafts.reduce((sum, { goodsMinor, carriageMinor }) => sum + goodsMinor + carriageMinor, 0),
  }
}

/** Everything that can be refused is refused before the first order is made. */
async function begin(
  tx: Tx,
  context: WriteContext,
  { planId, ordersMade, lines, costs }: WinterOrderInput,
): Promise<null> {
  const day = dateOf(context.now)
  if (lines.length === 0) throw new Refusal('buying/nothing-chosen')
  const plan = await tx.winterPlan.findUnique({ where: { id: planId } })
  if (!plan) throw new Refusal('winter/no-such')
  if (plan.endedAt !== null) throw new Refusal('winter/ended')
  // Whoever presses second, with a key of his own, saw the list as it was before the first order.
  if (plan.ordersMade !== ordersMade) throw new Refusal('winter/ordered-meanwhile')
  const ids = lines.map(({ partId }) => partId)
  const coming = await partsComing(tx, ids, day)
  const parts = new Map<number, { number: string; unit: string; discontinuedOn: string | null }>()
  const offered = await offersNow(tx, ids, day)
  for (const slice of slices(ids, AT_ONCE))
    for (const part of await tx.part.findMany({ where: { id: { in: slice } } })) parts.set(part.id, part)
  const changed: string[] = []
  const goods = new Map<number, number>()
  for (const { partId, supplierId, quantity, seen } of lines) {
    const part = parts.get(partId)
    const offer = offered.get(partId)?.find((one) => one.supplierId === supplierId)
    if (!part || !offer || part.discontinuedOn !== null || quantity < offer.minimum || quantity % offer.pack !== 0)
      throw new Refusal('winter/not-sold', { part: part?.number ?? partId })
    if ((coming.get(partId) ?? 0) !== seen) changed.push(part.number)
    const { amountMinor } = quantityPrice(offer.on, quantity, quantityScale(part.unit as StockUnit))
    goods.set(supplierId, (goods.get(supplierId) ?? 0) + amountMinor)
  }
  if (changed.length > 0) throw new Refusal('winter/coming-meanwhile', { parts: changed.slice(0, 5).join(', ') })
  const shown = new Map(costs.map((one) => [one.supplierId, one]))
  const rates = await ratesOn(tx, day)
  for (const supplier of await tx.supplier.findMany({ where: { id: { in: [...goods.keys()] } } })) {
    const is = orderCosts(goods.get(supplier.id)!, termsOf(supplier, rates))
    const was = shown.get(supplier.id)
    if (was?.goodsMinor !== is.goodsMinor || was.carriageMinor !== is.carriageMinor) {
      const money = (one: { goodsMinor: number; carriageMinor: number } | undefined) =>
        moneyFormat((one?.goodsMinor ?? 0) + (one?.carriageMinor ?? 0), settingsRead().currency)
      throw new Refusal('winter/price-meanwhile', { supplier: supplier.name, now: money(is), shown: money(was) })
    }
  }
  await tx.winterPlan.update({ where: { id: planId }, data: { ordersMade: ordersMade + 1 } })
  return null
}

/** The order of one supplier, or its draft where it is above the limit of whoever presses; either belongs to the plan. */
function makeOne(
  context: WriteContext,
  asked: { planId: number; supplierId: number; lines: { partId: number; quantity: number }[]; carriageMinor: number },
  reasons: ReadonlyMap<number, string>,
): Promise<OrderMade> {
  return write(context, 'winter.order-one', asked, async (tx) => {
    const { planId, carriageMinor, ...order } = asked
    const made = await orderMakeIn(tx, context, order, reasons, 'waits')
    if (made.order === null) await tx.orderDraft.update({ where: { id: made.draftId }, data: { winterPlanId: planId } })
    else await tx.winterOrder.create({ data: { planId, orderId: made.order.orderId, carriageMinor } })
    return made
  })
}

/**
 * Makes an order for each supplier of the list; what is above the limit of whoever presses becomes a draft that waits for approval.
 * Pressed twice, or tried again after a crash half way, each is made once: every step has a key of its own that follows from that
 * of the press. `reasons` by part id are kept with the lines, and `copy`, what the plan said before, with the orders. Afterwards the
 * budget is what the season has cost, drafts with it, and what was left for later; of what was ordered and set by hand no more is
 * bought.
 */
export async function winterOrder(
  context: WriteContext,
  input: WinterOrderInput,
  reasons: ReadonlyMap<number, string>,
  copy: WinterCopyContent | null = null,
): Promise<{ orderIds: number[]; drafts: { draftId: number; supplier: string }[] }> {
  await write({ ...context, key: `${context.key}.begin` }, 'winter.order-begin', input, (tx) =>
    begin(tx, context, input),
  )
  const { planId } = input
  const made: OrderMade[] = []
  for (const supplierId of [...new Set(input.lines.map((line) => line.supplierId))].sort((a, b) => a - b)) {
    const lines = input.lines.filter((line) => line.supplierId === supplierId)
    const { carriageMinor } = input.costs.find((one) => one.supplierId === supplierId)!
    const asked = { supplierId, lines: lines.map(({ partId, quantity }) => ({ partId, quantity })) }
    const one = { ...context, key: `${context.key}.${supplierId}` }
    made.push(await makeOne(one, { planId, ...asked, carriageMinor }, reasons))
  }
  return write(context, 'winter.order', input, async (tx) => {
    const orderIds = made.flatMap(({ order }) => order?.orderId ?? [])
    if (copy !== null) {
      const kept = { kind: 'orders', orderIds: JSON.stringify(orderIds), content: JSON.stringify(copy) }
      await tx.winterCopy.create({ data: { planId, at: context.now, personId: context.personId, ...kept } })
    }
    for (const slice of slices(
      input.lines.map(({ partId }) => partId),
      AT_ONCE,
    ))
      await tx.winterQuantity.updateMany({
        where: { planId, partId: { in: slice } },
        data: { quantity: 0, setById: context.personId, setAt: context.now },
      })
    const spent = await winterSpent(planId, dateOf(context.now), tx)
    const budgetMinor = spent.ordered + spent.drafted + (input.leftMinor ?? 0)
    await tx.winterPlan.update({ where: { id: planId }, data: { budgetMinor } })
    const drafts = await tx.orderDraft.findMany({
      where: { id: { in: made.flatMap(({ draftId, order }) => (order === null ? [draftId] : [])) } },
      select: { id: true, supplier: { select: { name: true } } },
      orderBy: { id: 'asc' },
    })
    return { orderIds, drafts: drafts.map(({ id, supplier }) => ({ draftId: id, supplier: supplier.name })) }
  })
}
