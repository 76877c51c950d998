import type { DraftMergeInput, OrderRepeatInput } from '../buying/draft-schema.ts'
import { moneyOfQuantity } from '../measure/money.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { quantityPrice } from '../price/offer-price.ts'
import { Refusal } from '../refusal.ts'
import { orderRound } from '../replenish/order-list.ts'
import { dateOf } from '../service/plain-date.ts'
import type { Tx } from './client.ts'
import { offersNow } from './offer-price.ts'
import { draftFor, draftMake } from './order-draft.ts'
import { orderEvent } from './order-event.ts'
import { type WriteContext, write } from './transaction.ts'

/**
 * A draft of what an order asked for, at the packs and prices of today. What is no longer made, or no longer offered by the supplier,
 * is left out and named in the record. Refuses with 'buying/no-such-order', and 'buying/nothing-chosen' when nothing is left.
 */
export function orderRepeat(context: WriteContext, input: OrderRepeatInput): Promise<{ draftId: number }> {
  return write(context, 'buying.repeat', input, async (tx) => {
    const order = await tx.purchaseOrder.findUnique({
      where: { id: input.orderId },
      include: { lines: { include: { part: true }, orderBy: { id: 'asc' } } },
    })
    if (!order) throw new Refusal('buying/no-such-order', { order: input.orderId })
    const offers = await offersNow(
      tx,
      order.lines.map((line) => line.partId),
      dateOf(context.now),
    )
    const [lines, left]: [{ partId: number; quantity: number }[], string[]] = [[], []]
    for (const { partId, quantity, part } of order.lines) {
      const offer = offers.get(partId)?.find((one) => one.supplierId === order.supplierId)
      if (offer && part.discontinuedOn === null) lines.push({ partId, quantity: orderRound(quantity, offer) })
      else left.push(part.number)
    }
    const words = [`order ${order.number} again`, ...(left.length > 0 ? [`without ${left.join(', ')}`] : [])].join(', ')
    const reasons = new Map(lines.map(({ partId }) => [partId, `as on order ${order.number}`]))
    return { draftId: await draftMake(tx, context, { supplierId: order.supplierId, lines }, reasons, words) }
  })
}

/** A line of which more is taken in: at the price of today for all of it; packs still fit, as both quantities fitted them. */
async function added(
  tx: Tx,
  supplierId: number,
  line: { partId: number; quantity: number; unit: StockUnit },
  day: string,
) {
  const { partId, quantity, unit } = line
  const offer = (await offersNow(tx, [partId], day)).get(partId)?.find((one) => one.supplierId === supplierId)
  if (!offer) return { quantity }
  const { unitMinor, amountMinor } = quantityPrice(offer.on, quantity, quantityScale(unit))
  const isPlain = amountMinor === moneyOfQuantity(unitMinor, quantity, unit)
  return { quantity, priceMinor: unitMinor, amountMinor: isPlain ? null : amountMinor }
}

/**
 * Takes the lines of another draft of the same supplier into this one; the other is merged and past. Quantities of one part add up.
 * Refuses with 'buying/not-merged' for another supplier or the draft itself, with 'buying/merge-plans' where only one of them counts
 * against a winter plan, and as a draft does.
 */
export function draftMerge(context: WriteContext, input: DraftMergeInput): Promise<{ draftId: number }> {
  return write(context, 'buying.merge', input, async (tx) => {
    const { draft } = await draftFor(tx, input, 'change')
    const { draft: other, to } = await draftFor(tx, { draftId: input.fromId, version: input.fromVersion }, 'merge')
    if (other.id === draft.id || other.supplierId !== draft.supplierId || other.currency !== draft.currency)
      throw new Refusal('buying/not-merged', { draft: draft.id, other: other.id })
    if (other.winterPlanId !== draft.winterPlanId)
      throw new Refusal('buying/merge-plans', { draft: draft.id, other: other.id })
    for (const { id, partId, quantity, part, ...line } of other.lines) {
      const mine = draft.lines.find((one) => one.partId === partId)
      if (mine) {
        const whole = { partId, quantity: mine.quantity + quantity, unit: part.unit as StockUnit }
        const data = await added(tx, draft.supplierId, whole, dateOf(context.now))
        await tx.orderDraftLine.update({ where: { id: mine.id }, data })
      } else await tx.orderDraftLine.create({ data: { ...line, partId, quantity, draftId: draft.id } })
    }
    const note = [draft.note, other.note].filter((words) => words !== null).join('; ')
    await tx.orderDraft.update({
      where: { id: draft.id },
      data: { note: note === '' ? null : note.slice(0, 500), version: { increment: 1 } },
    })
    await tx.orderDraft.update({ where: { id: other.id }, data: { state: to, version: { increment: 1 } } })
    await orderEvent(tx, context, { draftId: draft.id, kind: 'merged', words: `took in draft ${other.id}` })
    await orderEvent(tx, context, { draftId: other.id, kind: 'merged', words: `into draft ${draft.id}` })
    return { draftId: draft.id }
  })
}
