import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

/** Writes past the domain code, as a tool that opens the file would. */
const bend = (sql: string) => inTransaction((tx) => tx.$executeRawUnsafe(sql))

const entry = { jobId: 0, movementId: 0, entryId: 0, partId: 0, binId: 0 }

beforeAll(async () => {
  const personId = await aPerson('Nell Farrow')
  entry.partId = await aPart()
  entry.binId = await aBin()
  const machineId = await aMachine()
  const placed = await stockReceive(asWriter(personId, { key: 'guards-receive' }), {
    partId: entry.partId,
    binId: entry.binId,
    quantity: 6,
  })
  entry.movementId = placed.movementId
  await inTransaction(async (tx) => {
    const at = new Date('2026-02-03T09:00:00Z')
    const job = await tx.job.create({
      data: { number: 1, machineId, complaint: 'brake binds', openedAt: at, openedById: personId, state: 'closed' },
    })
    const book = await tx.serviceBookEntry.create({
      data: {
        machineId,
        jobId: job.id,
        writtenAt: at,
        personId,
        personName: 'Nell Farrow',
        content: '{}',
        digest: 'x',
      },
    })
    Object.assign(entry, { jobId: job.id, entryId: book.id })
  })
})

describe('the database itself refuses', () => {
  test.each([
    [
      'to change a movement',
      'ledger/append-only',
      () => `UPDATE "Movement" SET "quantity" = 5 WHERE "id" = ${entry.movementId}`,
    ],
    [
      'to change so much as the reason of a movement',
      'ledger/append-only',
      () => `UPDATE "Movement" SET "reason" = 'x'`,
    ],
    ['to delete a movement', 'ledger/append-only', () => `DELETE FROM "Movement" WHERE "id" = ${entry.movementId}`],
    [
      'a movement of nothing',
      'ledger/nothing-moved',
      () =>
        `INSERT INTO "Movement" ("kind","partId","binId","quantity","balanceAfter","at","personId","writeKey","writeLine")
         VALUES ('receive', ${entry.partId}, ${entry.binId}, 0, 6, '2026-01-01', 'x', 'guards-bend', 0)`,
    ],
    [
      'a second movement under one line of a write',
      'UNIQUE|Unique',
      () =>
        `INSERT INTO "Movement" ("kind","partId","binId","quantity","balanceAfter","at","personId","writeKey","writeLine")
         VALUES ('receive', ${entry.partId}, ${entry.binId}, 1, 7, '2026-01-01', 'x', 'guards-receive', 0)`,
    ],
    ['a balance below zero', 'stock/negative', () => `UPDATE "Balance" SET "quantity" = "quantity" - 7`],
    [
      'a new balance below zero',
      'stock/negative',
      () => `INSERT INTO "Balance" ("partId","binId","quantity") VALUES (${entry.partId}, 987654, -1)`,
    ],
    [
      'to change an entry of the service book',
      'service-book/frozen',
      () => `UPDATE "ServiceBookEntry" SET "content" = '{"a":1}'`,
    ],
    ['to delete an entry of the service book', 'service-book/frozen', () => `DELETE FROM "ServiceBookEntry"`],
    ['to change an acknowledged write', 'write/frozen', () => `UPDATE "Write" SET "answer" = 'null'`],
    ['to delete an acknowledged write', 'write/frozen', () => `DELETE FROM "Write"`],
    ['to change a closed job', 'job/closed', () => `UPDATE "Job" SET "complaint" = 'none' WHERE "id" = ${entry.jobId}`],
    ['to open a closed job again', 'job/closed', () => `UPDATE "Job" SET "state" = 'open' WHERE "id" = ${entry.jobId}`],
  ])('%s', async (_, says, sql) => {
    await expect(bend(sql())).rejects.toThrow(new RegExp(says))
  })

  test('and what was there before is there after', async () => {
    const db = database()
    expect(await db.movement.findMany({ select: { id: true, quantity: true, reason: true } })).toEqual([
      { id: entry.movementId, quantity: 6, reason: null },
    ])
    expect(await db.balance.findMany()).toEqual([{ partId: entry.partId, binId: entry.binId, quantity: 6 }])
    expect(await db.serviceBookEntry.count()).toBe(1)
    expect(await db.write.count()).toBe(1)
    expect(await db.job.findFirstOrThrow()).toMatchObject({ state: 'closed', complaint: 'brake binds' })
  })
})
