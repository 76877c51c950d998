import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { inTransaction, write } from '../../lib/db/transaction.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let personId = ''
let partId = 0
let binId = 0
beforeAll(async () => {
  personId = await aPerson('Nell Farrow')
  partId = await aPart()
  binId = await aBin()
})

const onHand = async () => (await database().balance.findFirst({ where: { partId, binId } }))?.quantity ?? 0

describe('an idempotency key', () => {
  test('with the same content answers the first answer again and moves nothing', async () => {
    const context = asWriter(personId, { key: 'delivery-note-4711' })
    const first = await stockReceive(context, { partId, binId, quantity: 8 })
    // The same form in another field order, and sent later.
    const again = await stockReceive(
      { ...context, now: new Date('2026-12-24T10:00:00Z') },
      { quantity: 8, binId, partId },
    )
    expect(again).toEqual(first)
    expect(await onHand()).toBe(8)
  })

  test('with other content, or for another act, is refused', async () => {
    const context = asWriter(personId, { key: 'delivery-note-4711' })
    await expect(stockReceive(context, { partId, binId, quantity: 9 })).rejects.toMatchObject({
      code: 'write/key-reused',
    })
    const taking = { partId, binId, quantity: 8, reason: 'yard use' }
    await expect(stockIssue(context, taking)).rejects.toMatchObject({ code: 'write/key-reused' })
    expect(await onHand()).toBe(8)
  })

  test('is free again after a refusal, so that the corrected form may use it', async () => {
    const context = asWriter(personId, { key: 'taking-from-the-phone' })
    const taking = { partId, binId, quantity: 9, reason: 'yard use' }
    await expect(stockIssue(context, taking)).rejects.toMatchObject({ code: 'stock/not-enough' })
    expect(await database().write.findUnique({ where: { key: context.key } })).toBeNull()
    expect(await stockIssue(context, { ...taking, quantity: 3 })).toMatchObject({ balanceAfter: 5 })
    expect(await onHand()).toBe(5)
  })

  test.each(['', 'short', 'with a space in it', 'x'.repeat(201)])('"%s" is no key', (key) => {
    expect(() => stockReceive(asWriter(personId, { key }), { partId, binId, quantity: 1 })).toThrow(
      'input/no-key: The request has no idempotency key.',
    )
  })
})

describe('a transaction', () => {
  test('that fails half way leaves nothing', async () => {
    const before = await database().movement.count()
    const half = write(asWriter(personId), 'test.half', {}, async (tx) => {
      await tx.balance.update({ where: { partId_binId: { partId, binId } }, data: { quantity: 1 } })
      throw new Error('the power went')
    })
    await expect(half).rejects.toThrow('the power went')
    expect(await onHand()).toBe(5)
    expect(await database().movement.count()).toBe(before)
  })

  test('does not reach for the outer client, which would wait for itself', async () => {
    await expect(inTransaction(() => database().part.count())).rejects.toThrow('Use the transaction that was handed in')
  })
})
