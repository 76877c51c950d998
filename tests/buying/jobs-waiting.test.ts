import { expect, test } from 'vitest'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobsWaiting } from '../../lib/db/jobs-waiting.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { stockReceive } from '../../lib/db/stock.ts'
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
