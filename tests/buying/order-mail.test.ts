import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { orderList } from '../../lib/db/buying.ts'
import { draftChange, draftDiscard, draftKeep, draftOrder } from '../../lib/db/order-draft.ts'
import { draftRead } from '../../lib/db/order-draft-read.ts'
import { orderRecord } from '../../lib/db/order-event.ts'
import { draftMail, draftMailSettle, type Send } from '../../lib/db/order-mail.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { smtpMailer } from '../../lib/mail/smtp.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { smtpSink } from '../support/smtp-sink.ts'

useWorkshop()

const NOW = new Date('2026-11-02T10:00:00Z')
let buyer: string
let factors: number
let partId: number
let sink: Awaited<ReturnType<typeof smtpSink>>
let send: Send
const settings = { host: '127.0.0.1', tls: 'none', user: null, password: null, from: 'orders@orchard.example' } as const

beforeAll(async () => {
  buyer = await aPerson('Nell Harrow')
  sink = await smtpSink()
  send = smtpMailer({ ...settings, port: sink.port })!
  const name = 'Marlpit Farm Factors'
  partId = await aPart({ number: 'TP-4410', description: 'Return spring' })
  factors = await inTransaction(async (tx) => {
    const { id } = await tx.supplier.create({
      data: { name, nameKey: nameKey(name), leadTimeDays: 3, email: 'desk@marlpit.example', customerNumber: '7781' },
    })
    await tx.offer.create({ data: { supplierId: id, partId, priceMinor: 1250, supplierNumber: 'MFF/882' } })
    return id
  })
})
afterAll(() => sink.close())

/** An approved draft of four return springs. */
async function approved() {
  const lines = [{ partId, quantity: 4 }]
  const { draftId } = await draftKeep(asWriter(buyer), { supplierId: factors, lines })
  const { version } = await draftChange(asWriter(buyer), {
    draftId,
    version: 1,
    note: 'Leave it at the gate',
    lines,
    as: 'approve',
  })
  return { draftId, version }
}
const asked = async (draftId: number) => ({ draftId, version: (await draftRead(draftId, NOW)).version })
const steps = async (draftId: number) => (await orderRecord({ draftId })).map(({ kind }) => kind).slice(2)
const state = async (draftId: number) => (await draftRead(draftId, NOW)).state

describe('an order by e-mail', () => {
  test('goes to the supplier once with its number, its lines and the order sheet; a second press finds it gone', async () => {
    sink.manner = 'takes'
    const draft = await approved()
    const writer = asWriter(buyer)
    const [one, two] = await Promise.all([draftMail(writer, draft, send), draftMail(writer, draft, send)])
    const sent = one.order ?? two.order
    expect(await draftMail(writer, draft, send)).toEqual({ draftId: draft.draftId, order: sent })
    await expect(draftMail(asWriter(buyer), draft, send)).rejects.toMatchObject({ code: 'buying/draft-state' })
    expect(sink.mails).toHaveLength(1)
    const { to, message } = sink.mails[0]!
    expect(to).toEqual(['desk@marlpit.example'])
    expect(message).toContain(`Subject: Order ${sent!.number}`)
    expect(message).toContain('From: orders@orchard.example')
    const text = message.replaceAll('=\r\n', '')
    expect(text).toContain('1. 4 of TP-4410 (your MFF/882)')
    expect(text).toContain('Our customer number: 7781')
    expect(text).toContain('Leave it at the gate')
    expect(text).toContain(`filename=order-${sent!.number}.pdf`)
    // "%PDF-" in base64.
    expect(text).toContain('JVBERi0')
    expect(await steps(draft.draftId)).toEqual(['approved', 'sending', 'sent'])
  })

  test('that is refused, or finds no server, stays approved and unsent, keeps its number and says why', async () => {
    sink.manner = 'refuses'
    const draft = await approved()
    const before = sink.mails.length
    expect((await draftMail(asWriter(buyer), draft, send)).order).toBeNull()
    const { state: stands, number } = await draftRead(draft.draftId, NOW)
    expect([stands, sink.mails.length]).toEqual(['approved', before])
    expect((await orderRecord({ draftId: draft.draftId })).at(-1)?.words).toMatch(/550 no such box here/)
    const nobody = smtpMailer({ ...settings, port: 1 })!
    expect((await draftMail(asWriter(buyer), await asked(draft.draftId), nobody)).order).toBeNull()
    expect(await steps(draft.draftId)).toEqual(['approved', 'sending', 'not-sent', 'sending', 'not-sent'])
    expect((await draftOrder(asWriter(buyer), await asked(draft.draftId))).number).toBe(number)
    await expect(draftMail(asWriter(buyer), await approved(), null)).rejects.toMatchObject({ code: 'buying/no-mail' })
  })

  test('of which the server says nothing once it has all of it is neither sent again nor taken for sent until a person says so', async () => {
    sink.manner = 'hangs-up'
    const draft = await approved()
    expect((await draftMail(asWriter(buyer), draft, send)).order).toBeNull()
    expect(await state(draft.draftId)).toBe('sending')
    expect(await steps(draft.draftId)).toEqual(['approved', 'sending', 'unknown'])
    await expect(draftMail(asWriter(buyer), await asked(draft.draftId), send)).rejects.toMatchObject({
      code: 'buying/draft-state',
    })
    const settled = await draftMailSettle(asWriter(buyer), { ...(await asked(draft.draftId)), went: true })
    expect(settled.order).not.toBeNull()

    const lost = await approved()
    await draftMail(asWriter(buyer), lost, send)
    await draftMailSettle(asWriter(buyer), { ...(await asked(lost.draftId)), went: false })
    expect(await state(lost.draftId)).toBe('approved')
    await draftDiscard(asWriter(buyer), await asked(lost.draftId))
    expect((await orderList()).flatMap(({ lines }) => lines)).toEqual([])
  })
})
