import type { DraftAsked } from '../buying/draft-schema.ts'
import { letterSubject, letterText, type OrderLetter } from '../buying/order-letter.ts'
import { type Mail, MailFailed, SMTP_LONGEST_MS } from '../mail/smtp.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { orderPdf } from '../picture/order-pdf.ts'
import { lineAmount } from '../price/offer-price.ts'
import { Refusal } from '../refusal.ts'
import { carriageOn } from '../replenish/order-list.ts'
import { dateOf } from '../service/plain-date.ts'
import { settingsRead } from '../settings.ts'
import { orderRead } from './buying.ts'
import { taxRate } from './buying-settings.ts'
import { database, type Tx } from './client.ts'
import { type DraftRow, draftFor, draftSend, goodsOf, orderDue, orderNumberNext, stillSold } from './order-draft.ts'
import { orderEvent } from './order-event.ts'
import { type WriteContext, write } from './transaction.ts'
import { workshopName } from './workshop.ts'

/** How a mail leaves: the tests hand in their own. @throws MailFailed */
export type Send = (mail: Mail) => Promise<string>

type OrderFacts = Awaited<ReturnType<typeof orderRead>>

/** What the supplier is told of an order. */
export function letterOf(order: OrderFacts, workshop: string | null): OrderLetter {
  const { number, note, supplier, lines, currency, carriageMinor, taxThousandths } = order
  return {
    ...{ number, workshop, day: dateOf(order.orderedAt), dueOn: order.askedOn, currency, note, supplier, lines },
    ...{ carriageMinor, taxThousandths },
  }
}

/** The same, read. Refuses with 'buying/no-such-order'. */
export async function orderLetter(orderId: number): Promise<OrderLetter> {
  return letterOf(await orderRead(orderId), await workshopName())
}

/** A draft as the order that it is about to be. */
async function draftLetter(tx: Tx, draft: DraftRow, number: number, now: Date): Promise<Omit<OrderLetter, 'workshop'>> {
  const offers = await tx.offer.findMany({
    where: { supplierId: draft.supplierId, partId: { in: draft.lines.map((line) => line.partId) } },
  })
  return {
    number,
    day: dateOf(now),
    dueOn: orderDue(dateOf(now), draft.supplier),
    currency: draft.currency ?? settingsRead().currency,
    note: draft.note,
    supplier: draft.supplier,
    carriageMinor: carriageOn(goodsOf(draft.lines), draft.supplier),
    taxThousandths: await taxRate(tx, draft.supplier),
    lines: draft.lines.map((line) => ({
      number: line.part.number,
      supplierNumber: offers.find((offer) => offer.partId === line.partId)?.supplierNumber ?? null,
      maker: line.part.maker,
      description: line.part.description,
      unit: line.part.unit as StockUnit,
      quantity: line.quantity,
      priceMinor: line.priceMinor,
      costMinor: lineAmount(line, line.part.unit as StockUnit),
      depositMinor: line.depositMinor,
    })),
  }
}

/** A plain address, as the field of the supplier has it: nothing that could become a second one, or a header. */
const ADDRESS = /^[^\s@,;<>"]+@[^\s@,;<>"]+$/

/**
 * Takes the draft for sending, under its number. What was taken is nobody else's until it went or failed; `isFirst` is false for the
 * same form sent again, whose first sending is under way or done.
 */
async function begin(context: WriteContext, input: DraftAsked) {
  const workshop = await workshopName()
  let isFirst = false
  const taken = await write({ ...context, key: `${context.key}:begin` }, 'buying.mail', input, async (tx) => {
    isFirst = true
    const { draft } = await draftFor(tx, input, 'beginSending')
    stillSold(draft)
    const to = draft.supplier.email?.trim() ?? ''
    if (!ADDRESS.test(to))
      throw new Refusal('buying/no-mail', { why: `: ${draft.supplier.name} has no e-mail address` })
    const number = draft.number ?? (await orderNumberNext(tx))
    await tx.orderDraft.update({
      where: { id: draft.id },
      data: { state: 'sending', number, version: { increment: 1 } },
    })
    await orderEvent(tx, context, { draftId: draft.id, kind: 'sending', words: `by e-mail to ${to}` })
    return { to, letter: { ...(await draftLetter(tx, draft, number, context.now)), workshop } }
  })
  return { ...taken, isFirst }
}

function failed(context: WriteContext, draftId: number, why: string): Promise<null> {
  return write({ ...context, key: `${context.key}:failed` }, 'buying.mail-failed', { draftId }, async (tx) => {
    await draftFor(tx, { draftId }, 'failSending')
    await tx.orderDraft.update({ where: { id: draftId }, data: { state: 'approved', version: { increment: 1 } } })
    await orderEvent(tx, context, { draftId, kind: 'not-sent', words: why })
    return null
  })
}

function went(context: WriteContext, draftId: number, words: string) {
  return write({ ...context, key: `${context.key}:went` }, 'buying.mail-went', { draftId }, async (tx) =>
    draftSend(tx, context, (await draftFor(tx, { draftId }, 'finishSending')).draft, words),
  )
}

export type MailOutcome = { draftId: number; order: { orderId: number; number: number } | null }

/**
 * Sends an approved draft by e-mail, text and PDF, and makes an order of it once the mail server has taken it. Nothing is sent
 * twice: whoever sends takes the draft first, and the same form pressed again finds it taken. A mail that failed leaves the draft
 * approved and says why in its record; one of which nobody knows leaves it as being sent, until a person says what became of it.
 * Refuses with 'buying/no-mail' and as a draft does.
 */
export async function draftMail(context: WriteContext, input: DraftAsked, send: Send | null): Promise<MailOutcome> {
  if (send === null) throw new Refusal('buying/no-mail', { why: ': no mail server is set' })
  const { draftId } = input
  const { to, letter, isFirst } = await begin(context, input)
  // Pressed again, or sent again by a network that gave up: what the first one did is the answer.
  if (!isFirst) return { draftId, order: await orderOf(draftId) }
  try {
    const pdf = await orderPdf(letter)
    await send({
      to,
      subject: letterSubject(letter),
      text: letterText(letter),
      attachments: [{ filename: `order-${letter.number}.pdf`, content: pdf, contentType: 'application/pdf' }],
    })
  } catch (error) {
    if (error instanceof MailFailed && error.mayHaveGone) {
      await unknown(context, draftId, error.message)
      return { draftId, order: null }
    }
    await failed(context, draftId, error instanceof MailFailed ? error.message : 'the order sheet could not be made')
    if (!(error instanceof MailFailed)) throw error
    return { draftId, order: null }
  }
  return { draftId, order: await went(context, draftId, `by e-mail to ${to}`) }
}

function unknown(context: WriteContext, draftId: number, why: string): Promise<null> {
  return write({ ...context, key: `${context.key}:unknown` }, 'buying.mail-unknown', { draftId }, async (tx) => {
    await orderEvent(tx, context, { draftId, kind: 'unknown', words: why })
    return null
  })
}

/** Whether a try to send, the last line of a record, may still be running. */
export function mailUnderWay(last: { kind: string; at: Date } | null | undefined, now: Date): boolean {
  return last?.kind === 'sending' && now.getTime() - last.at.getTime() < SMTP_LONGEST_MS
}

async function orderOf(draftId: number): Promise<MailOutcome['order']> {
  const draft = await database().orderDraft.findUnique({ where: { id: draftId }, include: { order: true } })
  return draft?.order ? { orderId: draft.order.id, number: draft.order.number } : null
}

/**
 * What a person found out of a mail that was broken off: it went, or it did not. Refuses with 'buying/being-sent' as long as the try
 * may still be under way.
 */
export function draftMailSettle(
  context: WriteContext,
  input: DraftAsked & { went: boolean },
): Promise<{ draftId: number; order: MailOutcome['order'] }> {
  return write(context, 'buying.mail-settle', input, async (tx) => {
    const { draft } = await draftFor(tx, input, input.went ? 'finishSending' : 'failSending')
    const last = await tx.orderEvent.findFirst({ where: { draftId: draft.id }, orderBy: { id: 'desc' } })
    if (mailUnderWay(last, context.now)) throw new Refusal('buying/being-sent', { draft: draft.id })
    if (input.went)
      return { draftId: draft.id, order: await draftSend(tx, context, draft, 'by e-mail, as the supplier says') }
    await tx.orderDraft.update({ where: { id: draft.id }, data: { state: 'approved', version: { increment: 1 } } })
    await orderEvent(tx, context, { draftId: draft.id, kind: 'not-sent', words: 'the e-mail did not arrive' })
    return { draftId: draft.id, order: null }
  })
}
