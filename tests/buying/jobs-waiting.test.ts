import { expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobsList } from '../../lib/db/job-read.ts'
import { jobsWaiting } from '../../lib/db/jobs-waiting.ts'
import { partStock, supersessionEnter } from '../../lib/db/part.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

test('a job that waits for a late delivery is named until the shelf keeps the part for it', async () => {
  const buyer = await aPerson('Nell Harrow')
  const bin = await aBin('C-1')
  const old = await aPart({ number: 'OLD-11' })
  const partId = await aPart({ number: 'NEW-12' })
  await supersessionEnter(asWriter(buyer), { oldPartId: old, newPartId: partId, ratio: 1, interchange: 'one-way' })
  const { jobId, number } = await jobOpen(asWriter(buyer), {
    machineId: await aMachine(),
    complaint: 'pump does not build pressure',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  expect((await jobsWaiting([partId])).size).toBe(0)
  await needAdd(asWriter(buyer), { jobId, partId: old, quantity: 2 })
  await needAdd(asWriter(buyer), { jobId, partId, quantity: 1 })
  expect(await jobsWaiting([partId])).toEqual(new Map([[partId, [{ id: jobId, number }]]]))
  expect(await jobsWaiting([])).toEqual(new Map())
  await stockReceive(asWriter(buyer), { partId: old, binId: bin, quantity: 2 })
  expect((await jobsWaiting([partId])).get(partId)).toHaveLength(1)
  await stockReceive(asWriter(buyer), { partId, binId: bin, quantity: 1 })
  expect((await jobsWaiting([partId])).size).toBe(0)
})

test('a job that waits tells when the first order for its part should have come, and no longer once that order is through', async () => {
  const buyer = await aPerson('Ada Kell')
  const partId = await aPart({ number: 'LATE-1' })
  const { jobId } = await jobOpen(asWriter(buyer), {
    machineId: await aMachine(),
    complaint: 'chain jumps',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  await needAdd(asWriter(buyer), { jobId, partId, quantity: 1 })
  const row = async () => (await jobsList({ state: 'open' })).find((job) => job.id === jobId)!
  expect(await row()).toMatchObject({ waiting: 1, waitsDueOn: null })
  await inTransaction(async (tx) => {
    const supplier = await tx.supplier.create({ data: { name: 'Kellbrook', nameKey: 'kellbrook', leadTimeDays: 3 } })
    for (const [number, dueOn] of [
      [71, '2026-11-20'],
      [72, '2026-11-12'],
    ] as const)
      await tx.purchaseOrder.create({
        data: {
          number,
          supplierId: supplier.id,
          orderedAt: new Date('2026-11-05T09:00:00Z'),
          dueOn,
          personId: buyer,
          lines: { create: { partId, quantity: 1, priceMinor: 900, reason: 'job' } },
        },
      })
  })
  expect(await row()).toMatchObject({ waitsDueOn: '2026-11-12' })
  expect((await partStock(database(), [partId])).get(partId)).toMatchObject({ onOrder: 2, dueOn: '2026-11-12' })
  await inTransaction((tx) =>
    tx.purchaseOrderLine.updateMany({ where: { order: { number: 72 } }, data: { received: 1 } }),
  )
  expect(await row()).toMatchObject({ waitsDueOn: '2026-11-20' })
})
