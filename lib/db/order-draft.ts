import type { DraftAsked, DraftChangeInput, DraftLineAddInput } from '../buying/draft-schema.ts'
import { orderDayNext, orderDaysRead } from '../buying/order-day.ts'
import { DRAFT_STATES, type DraftAct, type DraftState, draftAfter } from '../buying/order-life.ts'
import type { OrderPlaceInput } from '../buying/schema.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import { quantityFormat, quantityParse, type StockUnit } from '../measure/quantity.ts'
import { lineAmount } from '../price/offer-price.ts'
import { RATE_ONE, rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import { carriageOn } from '../replenish/order-list.ts'
import { dateOf, daysAdd, type PlainDate } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { taxRate } from './buying-settings.ts'
import type { Tx } from './client.ts'
import { ratesOn } from './offer-price.ts'
import { approvalRequire, goodsAtHome, mayApproveGoods } from './order-approval.ts'
import { orderEvent } from './order-event.ts'
import { type LineWanted, orderLinesSold } from './order-line.ts'
import { partTyped } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

export type Reasons = ReadonlyMap<number, string>
const NONE: Reasons = new Map()

async function supplierOf(tx: Tx, supplierId: number) {
  const supplier = await tx.supplier.findUnique({ where: { id: supplierId } })
  if (!supplier) throw new Refusal('input/invalid', { what: 'there is no such supplier' })
  return supplier
}

/**
 * The draft for an act, in the state that the act asks for. Refuses with 'buying/no-such-draft', 'buying/draft-changed' when the
 * person saw an older version, and 'buying/draft-state'.
 */
export async function draftFor(tx: Tx, asked: { draftId: number; version?: number }, act: DraftAct) {
  const draft = await tx.orderDraft.findUnique({
    where: { id: asked.draftId },
    include: { supplier: true, lines: { include: { part: true }, orderBy: { id: 'asc' } } },
  })
  if (!draft) throw new Refusal('buying/no-such-draft', { draft: asked.draftId })
  const state = draft.state as DraftState
  const to = draftAfter(state, act)
  if (to === null) throw new Refusal('buying/draft-state', { draft: draft.id, state: DRAFT_STATES[state].says })
  if (asked.version !== undefined && asked.version !== draft.version)
    throw new Refusal('buying/draft-changed', { draft: draft.id })
  return { draft, to }
}
export type DraftRow = Awaited<ReturnType<typeof draftFor>>['draft']

/** Goods of a draft at the prices of its lines; money minor units of its currency, without carriage and deposits. */
export function goodsOf(
  lines: readonly { priceMinor: number; amountMinor: number | null; quantity: number; part: { unit: string } }[],
): number {
  return lines.reduce((sum, line) => sum + lineAmount(line, line.part.unit as StockUnit), 0)
}

/** ISO 4217; null for the workshop's own. */
function currencyOf(supplier: { currency: string | null }): string | null {
  return supplier.currency === settingsRead().currency ? null : supplier.currency
}

/** Goods of a draft in the workshop's money. Refuses with 'price/no-rate'. */
async function homeGoods(tx: Tx, context: WriteContext, draft: DraftRow): Promise<number> {
  const { currency, supplier, lines } = draft
  const homeMinor = await goodsAtHome(tx, goodsOf(lines), currency, dateOf(context.now))
  if (homeMinor === null) throw new Refusal('price/no-rate', { supplier: supplier.name, currency: currency ?? '' })
  return homeMinor
}

/** When an order that is placed on a day should come: the supplier's next order day and its lead time. */
export function orderDue(
  day: PlainDate,
  { orderDays, leadTimeDays }: { orderDays: string | null; leadTimeDays: number },
): PlainDate {
  return daysAdd(orderDayNext(day, orderDaysRead(orderDays)), leadTimeDays)
}

/** Makes a draft of lines at the offers of this moment, inside a write; answers its id. */
export async function draftMake(
  tx: Tx,
  context: WriteContext,
  input: { supplierId: number; lines: readonly LineWanted[] },
  reasons: Reasons = NONE,
  words?: string,
): Promise<number> {
  const lines = input.lines.filter((line) => line.quantity > 0)
  if (lines.length === 0) throw new Refusal('buying/nothing-chosen')
  const supplier = await supplierOf(tx, input.supplierId)
  const draft = await tx.orderDraft.create({
    data: {
      ...{ supplierId: supplier.id, currency: currencyOf(supplier) },
      ...{ createdAt: context.now, personId: context.personId },
    },
  })
  for (const line of await orderLinesSold(tx, supplier, lines, dateOf(context.now)))
    await tx.orderDraftLine.create({ data: { draftId: draft.id, ...line, reason: reasons.get(line.partId) ?? '' } })
  await orderEvent(tx, context, { draftId: draft.id, kind: 'drafted', ...(words ? { words } : {}) })
  return draft.id
}

/** Keeps lines of the order list as a draft: nothing of it is on order. */
export function draftKeep(
  context: WriteContext,
  input: OrderPlaceInput,
  reasons: Reasons = NONE,
): Promise<{ draftId: number }> {
  return write(context, 'buying.draft', input, async (tx) => ({
    draftId: await draftMake(tx, context, input, reasons),
  }))
}

/** Approves a draft inside a write. Refuses with 'buying/above-limit' and 'price/no-rate'. */
async function approve(tx: Tx, context: WriteContext, draft: DraftRow): Promise<void> {
  await approvalRequire(tx, context, await homeGoods(tx, context, draft))
  await tx.orderDraft.update({ where: { id: draft.id }, data: { state: 'approved', version: { increment: 1 } } })
  await orderEvent(tx, context, { draftId: draft.id, kind: 'approved' })
}

/** The next number: without gaps over orders and drafts that a try to send gave one, as no row of either is ever deleted. */
export async function orderNumberNext(tx: Tx): Promise<number> {
  const [order, draft] = await Promise.all([
    tx.purchaseOrder.findFirst({ orderBy: { number: 'desc' }, select: { number: true } }),
    tx.orderDraft.findFirst({
      where: { number: { not: null } },
      orderBy: { number: 'desc' },
      select: { number: true },
    }),
  ])
  return Math.max(order?.number ?? 1000, draft?.number ?? 1000) + 1
}

/** Refuses with 'buying/discontinued' what is no longer made since the draft was saved, and with 'buying/currency-changed'. */
export function stillSold(draft: DraftRow): DraftRow {
  const gone = draft.lines.find(({ part }) => part.discontinuedOn !== null)?.part
  if (gone) throw new Refusal('buying/discontinued', { part: gone.number, note: gone.discontinuedNote ?? '' })
  if (currencyOf(draft.supplier) !== draft.currency)
    throw new Refusal('buying/currency-changed', { supplier: draft.supplier.name, draft: draft.id })
  return draft
}

/**
 * Makes an order of an approved draft inside a write: from now on its lines count as on order, and the rate of another currency is
 * fixed, as are carriage and the rate of tax; what was split off an order of a winter plan counts against it. `words` says how it was sent. Refuses with 'price/no-rate'.
 */
export async function draftSend(
  tx: Tx,
  context: WriteContext,
  draft: DraftRow,
  words?: string,
): Promise<{ orderId: number; number: number }> {
  const { currency, supplier } = draft
  const day = dateOf(context.now)
  const rateMicro = currency === null ? null : ((await ratesOn(tx, day)).get(currency) ?? null)
  if (currency !== null && rateMicro === null) throw new Refusal('price/no-rate', { supplier: supplier.name, currency })
  const number = draft.number ?? (await orderNumberNext(tx))
  const carriageMinor = carriageOn(goodsOf(draft.lines), supplier)
  const order = await tx.purchaseOrder.create({
    data: {
      ...{ number, supplierId: draft.supplierId, currency, rateMicro, note: draft.note },
      ...{ carriageMinor, taxThousandths: await taxRate(tx, supplier) },
      ...{ orderedAt: context.now, dueOn: orderDue(day, supplier), personId: context.personId },
    },
  })
  for (const { id: _, draftId: _draft, part: _part, ...line } of draft.lines)
    await tx.purchaseOrderLine.create({ data: { orderId: order.id, ...line } })
  if (draft.winterPlanId !== null)
    await tx.winterOrder.create({
      data: {
        ...{ planId: draft.winterPlanId, orderId: order.id },
        carriageMinor: rateTurn(carriageMinor, rateMicro ?? RATE_ONE),
      },
    })
  await tx.orderDraft.update({
    where: { id: draft.id },
    data: { state: 'sent', number, orderId: order.id, version: { increment: 1 } },
  })
  await orderEvent(tx, context, { draftId: draft.id, orderId: order.id, kind: 'sent', ...(words ? { words } : {}) })
  return { orderId: order.id, number }
}

export interface OrderMade {
  draftId: number
  /** Null while it waits for somebody who may approve it. */
  order: { orderId: number; number: number } | null
}

/**
 * Draft, approval and sending in one press, for whoever may do all of it. What is above their limit is kept as a draft that waits for
 * approval, or refused with 'buying/above-limit' where it `must` be ordered at once. `reasons` is kept with the lines.
 */
export async function orderMakeIn(
  tx: Tx,
  context: WriteContext,
  input: OrderPlaceInput,
  reasons: Reasons,
  above: 'waits' | 'must',
): Promise<OrderMade> {
  const draftId = await draftMake(tx, context, input, reasons)
  const { draft } = await draftFor(tx, { draftId }, 'approve')
  if (above === 'waits' && !(await mayApproveGoods(tx, context, await homeGoods(tx, context, draft))))
    return { draftId, order: null }
  await approve(tx, context, draft)
  return { draftId, order: await draftSend(tx, context, draft) }
}

/** The same as a write of its own; `reasons` is no part of what makes two sendings of a form the same. */
export function orderMake(context: WriteContext, input: OrderPlaceInput, reasons: Reasons = NONE): Promise<OrderMade> {
  return write(context, 'buying.order', input, (tx) => orderMakeIn(tx, context, input, reasons, 'waits'))
}

/** Saves quantities and words inside a write. A form sent as it came changes nothing, prices apart, and leaves no line in the record. */
async function change(tx: Tx, context: WriteContext, input: DraftChangeInput): Promise<void> {
  const { draft } = await draftFor(tx, input, 'change')
  const lines = input.lines.filter((line) => line.quantity > 0)
  if (lines.length === 0) throw new Refusal('buying/draft-empty')
  const known = lines.filter((line) => draft.lines.some((old) => old.partId === line.partId))
  const sold = await orderLinesSold(tx, draft.supplier, known, dateOf(context.now))
  const said: string[] = []
  for (const old of draft.lines) {
    const line = sold.find((one) => one.partId === old.partId)
    const unit = old.part.unit as StockUnit
    if (!line) {
      await tx.orderDraftLine.delete({ where: { id: old.id } })
      said.push(`${old.part.number} taken off`)
      continue
    }
    await tx.orderDraftLine.update({ where: { id: old.id }, data: line })
    if (line.quantity !== old.quantity)
      said.push(`${old.part.number} ${quantityFormat(old.quantity, unit)} to ${quantityFormat(line.quantity, unit)}`)
    if (line.priceMinor !== old.priceMinor) said.push(`${old.part.number} at the price of today`)
  }
  const note = input.note === '' ? null : input.note
  if (note !== draft.note) said.push('words to the supplier')
  const currency = currencyOf(draft.supplier)
  if (currency !== draft.currency) said.push('in another currency')
  if (said.length === 0) return
  await tx.orderDraft.update({ where: { id: draft.id }, data: { note, currency, version: { increment: 1 } } })
  await orderEvent(tx, context, { draftId: draft.id, kind: 'changed', words: said.join('; ') })
}

/**
 * Saves a draft as its form stands; a line at zero is taken off, prices are those of the offers at this moment. With `as` it is
 * approved, or approved and ordered, in the same press: nothing is ordered that was typed otherwise. Refuses as either does.
 */
export function draftChange(
  context: WriteContext,
  input: DraftChangeInput,
): Promise<{ draftId: number; version: number; order: OrderMade['order'] }> {
  return write(context, 'buying.draft-change', input, async (tx) => {
    const { draftId } = input
    await change(tx, context, input)
    if (input.as !== 'save') await approve(tx, context, (await draftFor(tx, { draftId }, 'approve')).draft)
    const order =
      input.as === 'order' ? await draftSend(tx, context, (await draftFor(tx, { draftId }, 'send')).draft) : null
    const { version } = await tx.orderDraft.findUniqueOrThrow({ where: { id: draftId }, select: { version: true } })
    return { draftId, version, order }
  })
}

/** The part of a number, ours or the supplier's own, among what the supplier offers. */
async function partOffered(tx: Tx, supplier: { id: number; name: string }, number: string) {
  const offers = await tx.offer.findMany({
    where: {
      supplierId: supplier.id,
      OR: [{ part: { numberKey: partNumberKey(number) } }, { supplierNumber: number }],
    },
    include: { part: true },
  })
  if (offers.length === 1) return offers[0]!.part
  const part = await partTyped(tx, { number })
  throw new Refusal(
    'buying/no-offer',
    { supplier: supplier.name, part: part.number },
    { fields: { number: 'not offered by this supplier' } },
  )
}

/** Adds a line by its part number. Refuses with 'stock/unknown-part', 'buying/no-offer' and as a line of the order list is. */
export function draftLineAdd(context: WriteContext, input: DraftLineAddInput): Promise<null> {
  return write(context, 'buying.draft-add', input, async (tx) => {
    const { draft } = await draftFor(tx, input, 'change')
    const part = await partOffered(tx, draft.supplier, input.number)
    const unit = part.unit as StockUnit
    const quantity = quantityParse(input.quantity, unit)
    if (quantity === null || quantity <= 0)
      throw new Refusal(
        'input/invalid',
        { what: `the quantity of ${part.number}` },
        { fields: { quantity: 'enter a number above zero' } },
      )
    const line = { partId: part.id, quantity }
    if (currencyOf(draft.supplier) !== draft.currency)
      throw new Refusal('buying/currency-changed', { supplier: draft.supplier.name, draft: draft.id })
    const twice = draft.lines.some((old) => old.partId === line.partId) ? [line, line] : [line]
    const [sold] = await orderLinesSold(tx, draft.supplier, twice, dateOf(context.now))
    await tx.orderDraftLine.create({ data: { draftId: draft.id, ...sold!, reason: 'added by hand' } })
    await tx.orderDraft.update({ where: { id: draft.id }, data: { version: { increment: 1 } } })
    const words = `${quantityFormat(quantity, unit)} of ${part.number} added`
    await orderEvent(tx, context, { draftId: draft.id, kind: 'changed', words })
    return null
  })
}

/** Marks an approved draft as ordered: it was sent some other way. */
export function draftOrder(context: WriteContext, input: DraftAsked): Promise<{ orderId: number; number: number }> {
  return write(context, 'buying.draft-order', input, async (tx) =>
    draftSend(tx, context, stillSold((await draftFor(tx, input, 'send')).draft)),
  )
}

/** Takes the approval back, so that the draft can be changed. */
export function draftReopen(context: WriteContext, input: DraftAsked): Promise<null> {
  return step(context, 'buying.draft-reopen', input, 'reopen', 'reopened')
}

/** Gives a draft up; its record stays, and a number that a try to send gave it stays with it. */
export function draftDiscard(context: WriteContext, input: DraftAsked): Promise<null> {
  return step(context, 'buying.draft-discard', input, 'discard', 'discarded')
}

function step(
  context: WriteContext,
  writeKind: string,
  input: DraftAsked,
  act: DraftAct,
  kind: 'reopened' | 'discarded',
): Promise<null> {
  return write(context, writeKind, input, async (tx) => {
    const { draft, to } = await draftFor(tx, input, act)
    await tx.orderDraft.update({ where: { id: draft.id }, data: { state: to, version: { increment: 1 } } })
    await orderEvent(tx, context, { draftId: draft.id, kind })
    return null
  })
}
