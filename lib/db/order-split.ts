import { isSoldSo, soldIn } from '../buying/sold-in.ts'
import { linesSplit, movesInPacks, type SplitLine, splitSays } from '../buying/split.ts'
import type { DraftSplitInput, OrderSplitInput } from '../buying/split-schema.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { dateOf, type PlainDate } from '../service/plain-date.ts'
import { database, type Tx } from './client.ts'
import { type OfferNow, offersNow } from './offer-price.ts'
import { orderOpen } from './order-confirm.ts'
import { draftFor, draftMake, type Reasons, stillSold } from './order-draft.ts'
import { orderEvent } from './order-event.ts'
import { orderLinesSold } from './order-line.ts'
import { planLinkFollow } from './plan-link.ts'
import { orderSettle } from './receiving.ts'
import { type WriteContext, write } from './transaction.ts'

const lineOf = (line: { partId: number; quantity: number; part: { number: string; unit: string } }): SplitLine => ({
  ...{ partId: line.partId, quantity: line.quantity },
  ...{ number: line.part.number, unit: line.part.unit as StockUnit },
})

/** What one supplier sells of some parts on a day, by part. */
function soldBy(supplierId: number, offers: ReadonlyMap<number, OfferNow[]>): Map<number, OfferNow> {
  return new Map(
    [...offers].flatMap(([partId, all]) => {
      const own = all.find((offer) => offer.supplierId === supplierId)
      return own ? [[partId, own] as const] : []
    }),
  )
}

/** Refuses with 'buying/split-rest' what would stay in a quantity that nobody sells. */
function restFits(supplier: string, stays: readonly SplitLine[], sold: ReadonlyMap<number, OfferNow>): void {
  for (const { partId, number, unit, quantity } of stays) {
    const offer = sold.get(partId)
    if (!offer || isSoldSo(offer, quantity)) continue
    const [rest, how] = [quantityFormat(quantity, unit), soldIn(offer, unit)]
    throw new Refusal(
      'buying/split-rest',
      { part: number, rest, supplier, how },
      { fields: { [`quantity.${partId}.${unit}`]: `${rest} would stay, sold ${how}` } },
    )
  }
}

/**
 * Moves lines, or a part of their quantity, from a draft to a new one: of the same supplier, or of another that sells the parts, at its
 * price and in its packs. What was made of a plan stays tied to it. What moved whole to another supplier leaves the first draft merged into the new one. Refuses as a draft does,
 * with 'buying/split-more', 'buying/split-rest', and 'buying/draft-empty' where all would move to the same supplier.
 */
export function draftSplit(context: WriteContext, input: DraftSplitInput): Promise<{ draftId: number }> {
  return write(context, 'buying.split', input, async (tx) => {
    const draft = stillSold((await draftFor(tx, input, 'change')).draft)
    const before = draft.lines.map(lineOf)
    const { stays, moves } = linesSplit(before, input.lines)
    const isOther = input.supplierId !== draft.supplierId
    if (stays.length === 0 && !isOther) throw new Refusal('buying/draft-empty')
    const day = dateOf(context.now)
    const offers = await offersNow(
      tx,
      before.map((line) => line.partId),
      day,
    )
    const changed = stays.filter((line) => moves.some((one) => one.partId === line.partId))
    restFits(draft.supplier.name, changed, soldBy(draft.supplierId, offers))
    // Within one supplier a draft is split to the piece; what another sells comes in that one's packs.
    const packed = isOther ? movesInPacks(moves, soldBy(input.supplierId, offers)) : { lines: moves, says: [] }
    const words = [`split off draft ${draft.id}`, ...packed.says].join('; ')
    const draftId = await draftMake(
      tx,
      context,
      { supplierId: input.supplierId, lines: packed.lines },
      reasonsOf(draft.lines),
      words,
    )
    await planLinkFollow(tx, { draftId: draft.id }, draftId)
    if (!isOther && draft.note) await tx.orderDraft.update({ where: { id: draftId }, data: { note: draft.note } })

    // A draft that is merged keeps its lines to be read, as one that was taken into another does.
    const isGone = stays.length === 0
    const sold = await orderLinesSold(tx, draft.supplier, changed, day)
    for (const old of isGone ? [] : draft.lines) {
      const line = sold.find((one) => one.partId === old.partId)
      if (line) await tx.orderDraftLine.update({ where: { id: old.id }, data: line })
      else if (moves.some((one) => one.partId === old.partId)) await tx.orderDraftLine.delete({ where: { id: old.id } })
    }
    await tx.orderDraft.update({
      where: { id: draft.id },
      data: { version: { increment: 1 }, ...(isGone ? { state: 'merged' } : {}) },
    })
    const what = isGone ? 'all of it' : splitSays(moves)
    await orderEvent(tx, context, { draftId: draft.id, kind: 'split', words: `${what} to draft ${draftId}` })
    return { draftId }
  })
}

/**
 * Takes back what is still due on an order, whole or in part, and puts it on a draft for the same supplier or another: from now on the
 * first order expects no more of it; the draft belongs to the plan that the order was made of. Refuses with 'buying/no-such-order', 'buying/order-done', 'buying/due-changed' where something
 * came meanwhile, 'buying/split-more', and as lines of an order are refused.
 */
export function orderSplit(context: WriteContext, input: OrderSplitInput): Promise<{ draftId: number }> {
  return write(context, 'buying.order-split', input, async (tx) => {
    const order = await orderOpen(tx, input.orderId)
    const due = order.lines.map((line) => ({
      ...lineOf(line),
      quantity: line.quantity - line.received - line.cancelled,
    }))
    for (const asked of input.lines) dueAsSeen(order.number, due, asked)
    const { moves } = linesSplit(due, input.lines)
    const offers = await offersNow(
      tx,
      moves.map((line) => line.partId),
      dateOf(context.now),
    )
    // What is left of a pack cannot be ordered: here even the same supplier gets whole packs.
    const { lines, says } = movesInPacks(moves, soldBy(input.supplierId, offers))
    const words = [`taken back from order ${order.number}: ${input.why}`, ...says].join('; ')
    const draftId = await draftMake(tx, context, { supplierId: input.supplierId, lines }, reasonsOf(order.lines), words)
    await planLinkFollow(tx, { orderId: order.id }, draftId)
    for (const { partId, quantity } of moves)
      await tx.purchaseOrderLine.update({
        where: { orderId_partId: { orderId: order.id, partId } },
        data: { cancelled: { increment: quantity } },
      })
    await orderEvent(tx, context, {
      orderId: order.id,
      kind: 'split',
      words: `${splitSays(moves)} taken back, ${input.why}; on draft ${draftId}`,
    })
    await orderSettle(tx, order.id)
    return { draftId }
  })
}

function dueAsSeen(order: number, due: readonly SplitLine[], asked: { partId: number; due: number }): void {
  const line = due.find((one) => one.partId === asked.partId)
  if (line && line.quantity === asked.due) return
  const now = line ? quantityFormat(line.quantity, line.unit) : 'nothing'
  throw new Refusal('buying/due-changed', { part: line?.number ?? asked.partId, due: now, order })
}

const reasonsOf = (lines: readonly { partId: number; reason: string }[]): Reasons =>
  new Map(lines.map(({ partId, reason }) => [partId, reason]))

/** Who sells parts on a day, by part: for the choice of where to. */
export function splitOffers(partIds: readonly number[], day: PlainDate): Promise<Map<number, OfferNow[]>> {
  return offersNow(database() as unknown as Tx, partIds, day)
}
