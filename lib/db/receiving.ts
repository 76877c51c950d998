import { DELIVERY_KINDS, type DeliveryKind, deliverySplit } from '../buying/delivery.ts'
import { notePriceSays } from '../buying/note-price.ts'
import type { OrderReceiveInput } from '../buying/schema.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { RATE_ONE, rateTurn } from '../price/rate.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { allocationsRefresh } from './allocation.ts'
import { batchOf } from './batch.ts'
import { database, type Tx } from './client.ts'
import { depositsOpen } from './deposit-book.ts'
import { invoicesRecheck } from './invoice-check.ts'
import { movementPlace, type Placed } from './ledger.ts'
import { orderEvent } from './order-event.ts'
import { personNames } from './part-typed.ts'
import { binInUse } from './stock.ts'
import { type WriteContext, write } from './transaction.ts'

type Entered = OrderReceiveInput['lines'][number]

/**
 * Receives against an order, in part or whole; the order is done when nothing is due any more. What came damaged goes into
 * quarantine, what came beyond the order is booked without the line where somebody keeps it, and whatever was not as ordered is
 * kept as a record of the supplier; `notAsOrdered` says each of it. Stock is worth the agreed price whatever the note has.
 */
export function orderReceive(
  context: WriteContext,
  input: OrderReceiveInput,
): Promise<{ movements: Placed[]; done: boolean; notAsOrdered: string[] }> {
  return write(context, 'buying.receive', input, async (tx) => {
    const order = await tx.purchaseOrder.findUnique({
      where: { id: input.orderId },
      include: { lines: { include: { part: true } } },
    })
    if (!order) throw new Refusal('buying/no-such-order', { order: input.orderId })
    const wanted = input.lines.filter(
      (line) => line.quantity > 0 || (line.damaged ?? 0) > 0 || line.restGivenUp || (line.wrong ?? '') !== '',
    )
    if (wanted.length === 0) throw new Refusal('buying/nothing-came')
    const movements: Placed[] = []
    const notAsOrdered: string[] = []
    const placeFor = (line: (typeof order.lines)[number]) => async (placing: Parameters<typeof movementPlace>[3]) => {
      const placed = await movementPlace(tx, context, movements.length, placing)
      movements.push(placed)
      // Sound, damaged or too many: the deposit is on the invoice for every piece that is kept.
      await depositsOpen(
        tx,
        context,
        { ...line, supplierId: order.supplierId, depositMinor: depositAtHome(line.depositMinor, order.rateMicro) },
        { ...placed, quantity: placing.quantity },
      )
      return placed.movementId
    }
    for (const entered of wanted) {
      const line = order.lines.find((one) => one.id === entered.lineId)
      if (!line) throw new Refusal('buying/no-such-order', { order: order.number })
      const place = placeFor(line)
      const damaged = entered.damaged ?? 0
      const split = deliverySplit({
        due: line.quantity - line.received - line.cancelled,
        good: entered.quantity,
        damaged,
        restGivenUp: entered.restGivenUp ?? false,
        wrong: entered.wrong ?? '',
      })
      const unit = line.part.unit as StockUnit
      if (split.over > 0 && !entered.keepOver)
        throw overReceipt(line.part.number, line.id, line.quantity - line.received - line.cancelled, entered, unit)
      await binsFit(tx, entered, damaged)
      const batchId = await batchCame(tx, context, line.partId, entered)
      // Stock is worth the workshop's money, by the rate that was fixed with the order.
      const costMinor = rateTurn(line.priceMinor, order.rateMicro ?? RATE_ONE)
      const move = { kind: 'receive' as const, partId: line.partId, costMinor, batchId }
      const against = { ...move, orderLineId: line.id }
      const over = { ...move, reason: `more than order ${order.number} asked for` }
      const broken = `damaged on arrival, order ${order.number}`
      const binId = entered.damagedBinId ?? 0
      const booked: number[] = []
      const book = async (placing: Parameters<typeof place>[0]) => booked.push(await place(placing))
      if (split.damagedDue > 0) await book({ ...against, binId, quantity: split.damagedDue, reason: broken })
      const damagedMovement = booked[0] ?? null
      if (split.damagedOver > 0) await book({ ...over, binId, quantity: split.damagedOver, reason: broken })
      if (split.goodDue > 0) await book({ ...against, binId: entered.binId, quantity: split.goodDue })
      if (split.goodOver > 0) await book({ ...over, binId: entered.binId, quantity: split.goodOver })
      await tx.purchaseOrderLine.update({
        where: { id: line.id },
        data: {
          received: { increment: split.goodDue + split.damagedDue },
          cancelled: { increment: split.cancel },
        },
      })
      if (split.goodDue + split.goodOver + damaged > 0)
        await tx.part.update({ where: { id: line.partId }, data: { costMinor } })
      const came = entered.quantity + damaged
      const { notePriceMinor: priceMinor = line.priceMinor } = entered
      const records: Remembered[] = split.records.map(({ kind, quantity }) => ({
        ...{ kind, quantity, priceMinor: null, movementId: kind === 'damaged' ? damagedMovement : null },
        note: (kind === 'wrong-part' ? entered.wrong : kind === 'damaged' ? entered.damage : null) ?? null,
      }))
      if (came > 0 && priceMinor !== line.priceMinor)
        records.push({ kind: 'price', quantity: came, priceMinor, note: null, movementId: booked[0] ?? null })
      for (const record of records) {
        const of = { orderLineId: line.id, supplierId: order.supplierId, partId: line.partId }
        await tx.deliveryRecord.create({
          data: { ...of, ...record, at: context.now, personId: context.personId },
        })
        const { number } = line.part
        const said = recordSaid({ ...record, unit }, { agreedMinor: line.priceMinor, currency: order.currency })
        const what =
          record.quantity > 0 ? `${quantityFormat(record.quantity, unit)} of ${number}` : `in place of ${number}`
        notAsOrdered.push(`${DELIVERY_KINDS[record.kind]}, ${what}${said === null ? '' : `: ${said}`}`)
      }
      await allocationsRefresh(tx, context, line.partId)
    }
    const done = await orderSettle(tx, order.id)
    await invoicesRecheck(tx, order.id)
    await orderEvent(tx, context, { orderId: order.id, kind: done ? 'closed' : 'came' })
    return { movements, done, notAsOrdered }
  })
}

interface Remembered {
  kind: DeliveryKind
  quantity: number
  priceMinor: number | null
  note: string | null
  movementId: number | null
}

/** What is said of a record beyond its kind and quantity: the price in words, else the note; null where neither. */
export function recordSaid(
  { priceMinor, quantity, unit, note }: Pick<Remembered, 'priceMinor' | 'quantity' | 'note'> & { unit: StockUnit },
  order: { agreedMinor: number; currency: string | null },
): string | null {
  if (priceMinor === null) return note === '' ? null : note
  const currency = order.currency ?? settingsRead().currency
  return notePriceSays({ unit, quantity, notedMinor: priceMinor, agreedMinor: order.agreedMinor, currency })
}

/** Deposits are booked in the workshop's money, by the rate of the order. */
function depositAtHome(depositMinor: number | null, rateMicro: number | null): number | null {
  return depositMinor === null ? null : rateTurn(depositMinor, rateMicro ?? RATE_ONE)
}

function overReceipt(part: string, lineId: number, due: number, entered: Entered, unit: StockUnit): Refusal {
  const left = quantityFormat(due, unit)
  return new Refusal(
    'buying/over-receipt',
    { part, left, quantity: quantityFormat(entered.quantity + (entered.damaged ?? 0), unit) },
    { fields: { [`receive.${lineId}.${unit}`]: `${left} due` } },
  )
}

/** Sound parts go into a bin that people fill; damaged ones only where nobody takes them for use. */
async function binsFit(tx: Tx, entered: Entered, damaged: number): Promise<void> {
  if (entered.quantity > 0) await binInUse(tx, entered.binId)
  if (damaged === 0) return
  const bin = entered.damagedBinId === undefined ? null : await binInUse(tx, entered.damagedBinId)
  if (bin?.kind !== 'quarantine')
    throw new Refusal(
      'buying/damaged-where',
      {},
      { fields: { [`damagedBin.${entered.lineId}`]: 'choose a quarantine bin' } },
    )
}

/** The batch that came; damaged ones are of the same. */
async function batchCame(tx: Tx, context: WriteContext, partId: number, entered: Entered): Promise<number | undefined> {
  const { lineId, quantity, damaged = 0, batch, useBy, expiredKept } = entered
  if (quantity + damaged === 0) return undefined
  const place = { partId, binId: quantity > 0 ? entered.binId : (entered.damagedBinId ?? 0), notKnown: false }
  const fields = { batch: `batch.${lineId}`, useBy: `useBy.${lineId}`, expiredKept: `expiredKept.${lineId}` }
  return batchOf(tx, context, place, { batch, useBy, expiredKept }, fields)
}

/** An order with nothing due is received; one with nothing ever received is cancelled. */
export async function orderSettle(tx: Tx, orderId: number): Promise<boolean> {
  const lines = await tx.purchaseOrderLine.findMany({ where: { orderId } })
  if (lines.some((line) => line.quantity > line.received + line.cancelled)) return false
  const state = lines.some((line) => line.received > 0) ? 'received' : 'cancelled'
  await tx.purchaseOrder.update({ where: { id: orderId }, data: { state } })
  return true
}

/** What was not as ordered on the deliveries of an order, oldest first. */
export async function deliveriesOf(orderId: number) {
  const db = database()
  const rows = await db.deliveryRecord.findMany({
    where: { orderLine: { orderId } },
    include: {
      part: { select: { number: true, description: true, unit: true } },
      orderLine: { select: { priceMinor: true, order: { select: { currency: true } } } },
    },
    orderBy: { id: 'asc' },
  })
  const names = await personNames(
    db as unknown as Tx,
    rows.map((row) => row.personId),
  )
  return rows.map((row) => ({
    id: row.id,
    kind: row.kind,
    partId: row.partId,
    number: row.part.number,
    description: row.part.description,
    unit: row.part.unit as StockUnit,
    quantity: row.quantity,
    said: recordSaid(
      { ...row, unit: row.part.unit as StockUnit },
      { agreedMinor: row.orderLine.priceMinor, currency: row.orderLine.order.currency },
    ),
    at: row.at,
    person: names(row.personId),
  }))
}
