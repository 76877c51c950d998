import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { countsPlace } from '../../lib/db/counts-place.ts'
import { needAdd } from '../../lib/db/job.ts'
import { jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { movementPlace } from '../../lib/db/ledger.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { inTransaction, write } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let nell = ''
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
})

/** What the part is worth as kept, which must be what its movements add up to. */
async function worth(partId: number) {
  const kept = await database().partValue.findUnique({ where: { partId } })
  const sums = await database().movement.aggregate({ where: { partId }, _sum: { quantity: true, valueMinor: true } })
  const says = { quantity: kept?.quantity ?? 0, valueMinor: kept?.valueMinor ?? 0 }
  expect(says).toEqual({ quantity: sums._sum.quantity ?? 0, valueMinor: sums._sum.valueMinor ?? 0 })
  return says
}

const addedBy = async (movementId: number | null) =>
  (await database().movement.findUniqueOrThrow({ where: { id: movementId ?? 0 } })).valueMinor

async function shelved(quantity: number, costMinor: number) {
  const partId = await aPart()
  const binId = await aBin()
  await stockReceive(asWriter(nell), { partId, binId, quantity, costMinor })
  return { partId, binId }
}

describe('what a part is worth follows every booking:', () => {
  test('deliveries at their price, takings at the average', async () => {
    const { partId, binId } = await shelved(10, 200)
    expect(await worth(partId)).toEqual({ quantity: 10, valueMinor: 2000 })
    await stockReceive(asWriter(nell), { partId, binId, quantity: 5, costMinor: 500 })
    expect(await worth(partId)).toEqual({ quantity: 15, valueMinor: 4500 })
    const taken = await stockIssue(asWriter(nell), { partId, binId, quantity: 4, reason: 'yard use' })
    expect(await addedBy(taken.movementId)).toBe(-1200)
    expect(await worth(partId)).toEqual({ quantity: 11, valueMinor: 3300 })
  })

  test('moving all of it to another bin, or some of it, leaves it worth the same', async () => {
    const { partId, binId } = await shelved(7, 333)
    const van = await aBin(undefined, 'Van one')
    await stockTransfer(asWriter(nell), { partId, fromBinId: binId, toBinId: van, quantity: 7 })
    expect(await worth(partId)).toEqual({ quantity: 7, valueMinor: 2331 })
    await stockTransfer(asWriter(nell), { partId, fromBinId: van, toBinId: binId, quantity: 3 })
    expect(await worth(partId)).toEqual({ quantity: 7, valueMinor: 2331 })
  })

  test('a count that finds less or more, of one bin and of a whole list', async () => {
    const { partId, binId } = await shelved(8, 150)
    const less = { partId, binId, counted: 6, expected: 8, reason: 'two were bent' }
    await stockCount(asWriter(nell), less)
    expect(await worth(partId)).toEqual({ quantity: 6, valueMinor: 900 })
    const other = await aBin()
    const context = asWriter(nell)
    await write(context, 'test.counts', {}, async (tx) => {
      await countsPlace(tx, context, [
        { partId, binId, onHand: 6, counted: 0, reason: 'stock list' },
        { partId, binId: other, onHand: 0, counted: 4, reason: 'stock list' },
      ])
      return null
    })
    // The list empties one bin first: what lies in the other is a find at the last known cost.
    expect(await worth(partId)).toEqual({ quantity: 4, valueMinor: 600 })
  })

  test('scrap goes out at the average', async () => {
    const { partId, binId } = await shelved(3, 100)
    const context = asWriter(nell)
    await write(context, 'test.scrap', {}, (tx) =>
      movementPlace(tx, context, 0, { kind: 'scrap', partId, binId, quantity: -1, reason: 'cracked' }),
    )
    expect(await worth(partId)).toEqual({ quantity: 2, valueMinor: 200 })
  })

  test('a reversal takes back what was added, and the value of a part that left comes back whole', async () => {
    const { partId, binId } = await shelved(3, 100)
    const dear = await stockReceive(asWriter(nell), { partId, binId, quantity: 1, costMinor: 900 })
    expect(await worth(partId)).toEqual({ quantity: 4, valueMinor: 1200 })
    await stockReverse(asWriter(nell), { movementId: dear.movementId, reason: 'wrong part' })
    expect(await worth(partId)).toEqual({ quantity: 3, valueMinor: 300 })
    const all = await stockIssue(asWriter(nell), { partId, binId, quantity: 3, reason: 'yard use' })
    expect(await worth(partId)).toEqual({ quantity: 0, valueMinor: 0 })
    await stockReverse(asWriter(nell), { movementId: all.movementId, reason: 'not used' })
    expect(await worth(partId)).toEqual({ quantity: 3, valueMinor: 300 })
  })

  test('what a job takes and puts back', async () => {
    const { partId, binId } = await shelved(6, 250)
    const machineId = await aMachine()
    const job = await inTransaction((tx) =>
      tx.job.create({
        data: {
          number: 4001,
          machineId,
          complaint: 'pump drips',
          openedAt: new Date('2026-03-04T08:00:00Z'),
          openedById: nell,
        },
      }),
    )
    await needAdd(asWriter(nell), { jobId: job.id, partId, quantity: 4 })
    const need = await database().jobNeed.findFirstOrThrow({ where: { jobId: job.id } })
    await jobTake(asWriter(nell), { jobId: job.id, lines: [{ needId: need.id, binId, quantity: 4 }] })
    expect(await worth(partId)).toEqual({ quantity: 2, valueMinor: 500 })
    await jobPutBack(asWriter(nell), { jobId: job.id, needId: need.id, binId, quantity: 1 })
    expect(await worth(partId)).toEqual({ quantity: 3, valueMinor: 750 })
  })

  test('a request sent twice is worth one movement, and a refused one nothing', async () => {
    const { partId, binId } = await shelved(5, 100)
    const context = asWriter(nell)
    const taking = { partId, binId, quantity: 2, reason: 'yard use' }
    await stockIssue(context, taking)
    await stockIssue(context, taking)
    await expect(stockIssue(asWriter(nell), { ...taking, quantity: 9 })).rejects.toMatchObject({
      code: 'stock/not-enough',
    })
    expect(await worth(partId)).toEqual({ quantity: 3, valueMinor: 300 })
  })

  test('of a batch as of loose pieces, and the batch is the sum of its movements', async () => {
    const { partId, binId } = await shelved(2, 100)
    const batch = await inTransaction((tx) => tx.batch.create({ data: { partId, code: 'L-7', codeKey: 'l7' } }))
    const context = asWriter(nell)
    await write(context, 'test.batch', {}, async (tx) => {
      const line = { partId, binId, batchId: batch.id }
      await movementPlace(tx, context, 0, { kind: 'receive', ...line, quantity: 6, costMinor: 300 })
      return movementPlace(tx, context, 1, { kind: 'issue', ...line, quantity: -4 })
    })
    expect(await worth(partId)).toEqual({ quantity: 4, valueMinor: 1000 })
    const left = await database().batchBalance.findMany({ where: { batchId: batch.id } })
    expect(left.map((row) => row.quantity)).toEqual([2])
  })

  test('a price nobody can mean is refused, and nothing is booked', async () => {
    const { partId, binId } = await shelved(2, 100)
    await expect(
      stockReceive(asWriter(nell), { partId, binId, quantity: 1_000_000, costMinor: 90_000_000_000 }),
    ).rejects.toMatchObject({ code: 'stock/worth-too-much' })
    expect(await worth(partId)).toEqual({ quantity: 2, valueMinor: 200 })
  })
})
