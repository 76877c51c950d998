import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { needAdd } from '../../lib/db/job.ts'
import { jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { stockCount, stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const MISSING = 999_999
let nell = ''
let owen = ''
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
})

/** A fresh part with `quantity` in a fresh bin. */
async function stocked(quantity: number, wish: Parameters<typeof aPart>[0] = {}) {
  const partId = await aPart(wish)
  const binId = await aBin()
  if (quantity > 0) await stockReceive(asWriter(nell), { partId, binId, quantity })
  return { partId, binId }
}

let jobs = 0
/** An open job that wants `quantity` of the part. */
async function aJobWanting(partId: number, quantity: number) {
  const machineId = await aMachine()
  jobs += 1
  const number = 70 + jobs
  const jobId = await inTransaction(async (tx) => {
    const openedAt = new Date('2026-03-04T08:00:00Z')
    const job = await tx.job.create({
      data: { number, machineId, complaint: 'pump drips', openedAt, openedById: nell },
    })
    return job.id
  })
  await needAdd(asWriter(nell), { jobId, partId, quantity })
  const need = await database().jobNeed.findFirstOrThrow({ where: { jobId, partId } })
  return {
    jobId,
    number,
    needId: need.id,
    need: () => database().jobNeed.findUniqueOrThrow({ where: { id: need.id } }),
  }
}

const onHand = async (partId: number, binId: number) =>
  (await database().balance.findUnique({ where: { partId_binId: { partId, binId } } }))?.quantity ?? 0

describe('taking from the shelf is refused in this order:', () => {
  // Each row keeps every later fault, so the first one named must win.
  test('unknown part, unknown bin, wrong quantity, not enough', async () => {
    const { partId, binId } = await stocked(2)
    const take = (change: object) =>
      stockIssue(asWriter(nell), { partId, binId, quantity: 5, reason: 'yard use', ...change })
    await expect(take({ partId: MISSING, binId: MISSING, quantity: 0 })).rejects.toMatchObject({
      code: 'stock/unknown-part',
    })
    await expect(take({ binId: MISSING, quantity: 0 })).rejects.toMatchObject({ code: 'stock/unknown-bin' })
    for (const quantity of [0, 1.5, -3, Number.NaN])
      await expect(take({ quantity })).rejects.toMatchObject({ code: 'stock/wrong-quantity' })
    await expect(take({})).rejects.toMatchObject({ code: 'stock/not-enough' })
    expect(await onHand(partId, binId)).toBe(2)
    expect(await take({ quantity: 2 })).toMatchObject({ balanceAfter: 0 })
  })

  test('a delivery of a negative number is no way to take', async () => {
    const { partId, binId } = await stocked(4)
    await expect(stockReceive(asWriter(nell), { partId, binId, quantity: -2 })).rejects.toMatchObject({
      code: 'stock/wrong-quantity',
    })
    expect(await onHand(partId, binId)).toBe(4)
  })
})

describe('when the shelf cannot give it', () => {
  test('the refusal says what is left, who took the last ones, and that none is on order', async () => {
    const { partId, binId } = await stocked(3, { number: 'QX-310', description: 'Hose', unit: 'metre' })
    await stockReceive(asWriter(nell), { partId, binId, quantity: 4000 })
    await stockIssue(asWriter(owen), { partId, binId, quantity: 3500, reason: 'yard tap' })
    const { code } = await database().bin.findUniqueOrThrow({ where: { id: binId } })
    await expect(
      stockIssue(asWriter(nell), { partId, binId, quantity: 1200, reason: 'wash-down' }),
    ).rejects.toMatchObject({
      code: 'stock/not-enough',
      happened: `Only 503 mm of QX-310 Hose left in ${code}; 1.2 m wanted. Last taken by Owen Tarrant, 3.5 m. None on order.`,
    })
  })

  test('and some are on order, it says how many are still due and when', async () => {
    const { partId, binId } = await stocked(0)
    await inTransaction(async (tx) => {
      const supplier = await tx.supplier.create({
        data: { name: 'Marl Supplies', nameKey: 'marl supplies', leadTimeDays: 6 },
      })
      await tx.purchaseOrder.create({
        data: {
          number: 55,
          supplierId: supplier.id,
          state: 'ordered',
          orderedAt: new Date('2026-10-01T00:00:00Z'),
          dueOn: '2026-11-09',
          personId: nell,
          lines: { create: [{ partId, quantity: 9, received: 2, cancelled: 1, priceMinor: 120, reason: 'winter' }] },
        },
      })
    })
    await expect(stockIssue(asWriter(nell), { partId, binId, quantity: 1, reason: 'yard use' })).rejects.toMatchObject({
      happened: expect.stringContaining('6 on order 55, due 2026-11-09.'),
    })
  })
})

describe('what is kept for a job', () => {
  test('is not taken by anybody else, and the refusal names the job', async () => {
    const { partId, binId } = await stocked(5, { number: 'QX-44', description: 'Seal' })
    const job = await aJobWanting(partId, 3)
    expect((await job.need()).allocated).toBe(3)
    const take = (quantity: number) => stockIssue(asWriter(owen), { partId, binId, quantity, reason: 'yard use' })
    await expect(take(3)).rejects.toMatchObject({
      code: 'stock/reserved',
      happened: `5 of QX-44 Seal are on the shelf, but 3 of them are kept for job ${job.number}.`,
    })
    // More than there is at all is "not enough", whoever it is kept for.
    await expect(take(6)).rejects.toMatchObject({ code: 'stock/not-enough' })
    expect(await take(2)).toMatchObject({ balanceAfter: 3 })
    const taken = await jobTake(asWriter(nell), {
      jobId: job.jobId,
      lines: [{ needId: job.needId, binId, quantity: 3 }],
    })
    expect(taken.movements).toHaveLength(1)
    expect(await job.need()).toMatchObject({ taken: 3, allocated: 0 })
  })

  test('goes to the older job; the later one is promised what comes in', async () => {
    const { partId, binId } = await stocked(3)
    const older = await aJobWanting(partId, 2)
    const later = await aJobWanting(partId, 4)
    expect([(await older.need()).allocated, (await later.need()).allocated]).toEqual([2, 1])
    await stockReceive(asWriter(nell), { partId, binId, quantity: 2 })
    expect([(await older.need()).allocated, (await later.need()).allocated]).toEqual([2, 3])
    const line = { needId: later.needId, binId, quantity: 4 }
    await expect(jobTake(asWriter(owen), { jobId: later.jobId, lines: [line] })).rejects.toMatchObject({
      code: 'stock/reserved',
    })
    // A line that is refused leaves the others on the shelf as well.
    expect(await onHand(partId, binId)).toBe(5)
  })

  test('shrinks with the shelf when a count finds less', async () => {
    const { partId, binId } = await stocked(4)
    const job = await aJobWanting(partId, 4)
    await stockCount(asWriter(nell), { partId, binId, expected: 4, counted: 1, reason: 'mice' })
    expect((await job.need()).allocated).toBe(1)
  })
})

describe('a count', () => {
  test('books the difference with its reason, and nothing when it agrees', async () => {
    const { partId, binId } = await stocked(7)
    const agreed = await stockCount(asWriter(nell), { partId, binId, expected: 7, counted: 7, reason: '' })
    expect(agreed).toEqual({ movementId: null, balanceAfter: 7 })
    const differs = { partId, binId, expected: 7, counted: 5 }
    await expect(stockCount(asWriter(nell), { ...differs, reason: '' })).rejects.toMatchObject({
      code: 'stock/no-reason',
    })
    expect(await stockCount(asWriter(nell), { ...differs, reason: 'two in the van' })).toMatchObject({
      balanceAfter: 5,
    })
    expect(await database().movement.findFirst({ where: { partId }, orderBy: { id: 'desc' } })).toMatchObject({
      kind: 'count-difference',
      quantity: -2,
      reason: 'two in the van',
    })
  })

  test('begun before somebody took some is refused, in the unit of the part', async () => {
    const { partId, binId } = await stocked(2500, { unit: 'litre' })
    await stockIssue(asWriter(owen), { partId, binId, quantity: 750, reason: 'top up' })
    await expect(
      stockCount(asWriter(nell), { partId, binId, expected: 2500, counted: 2500, reason: 'winter count' }),
    ).rejects.toMatchObject({
      code: 'stock/moved-since',
      happened: expect.stringContaining('held 2.5 l when you began to count and holds 1.75 l'),
      next: expect.stringContaining('Count it again'),
    })
    expect(await onHand(partId, binId)).toBe(1750)
  })

  test('refuses an unknown part before it looks at the bin', async () => {
    await expect(
      stockCount(asWriter(nell), { partId: MISSING, binId: MISSING, expected: 3, counted: 1, reason: '' }),
    ).rejects.toMatchObject({ code: 'stock/unknown-part' })
  })
})

describe('moving parts to another bin', () => {
  test('takes from one and puts into the other in one write', async () => {
    const { partId, binId } = await stocked(6)
    const van = await aBin('V-1', 'Van')
    const moved = await stockTransfer(asWriter(nell), { partId, fromBinId: binId, toBinId: van, quantity: 4 })
    expect([moved.out.balanceAfter, moved.in.balanceAfter]).toEqual([2, 4])
    const lines = await database().movement.findMany({ where: { partId, kind: { startsWith: 'transfer' } } })
    expect(lines.map((line) => [line.kind, line.quantity, line.writeLine])).toEqual([
      ['transfer-out', -4, 0],
      ['transfer-in', 4, 1],
    ])
    expect(lines[0]!.writeKey).toBe(lines[1]!.writeKey)
  })

  test('to a bin that is not there leaves the first bin full', async () => {
    const { partId, binId } = await stocked(6)
    const move = { partId, fromBinId: binId, toBinId: MISSING, quantity: 4 }
    await expect(stockTransfer(asWriter(nell), move)).rejects.toMatchObject({ code: 'stock/unknown-bin' })
    expect(await onHand(partId, binId)).toBe(6)
  })
})

describe('a reversal', () => {
  test('undoes its movement once, names it, and a second one is refused with the number of the first', async () => {
    const { partId, binId } = await stocked(5)
    const taken = await stockIssue(asWriter(nell), { partId, binId, quantity: 2, reason: 'wrong part' })
    const undo = { movementId: taken.movementId, reason: 'not needed' }
    const back = await stockReverse(asWriter(nell), undo)
    expect(back.balanceAfter).toBe(5)
    expect(await database().movement.findUnique({ where: { id: back.movementId } })).toMatchObject({
      kind: 'reversal',
      quantity: 2,
      reversesId: taken.movementId,
    })
    await expect(stockReverse(asWriter(owen), undo)).rejects.toMatchObject({
      code: 'stock/already-reversed',
      happened: `Movement ${taken.movementId} was put right before by movement ${back.movementId}.`,
    })
  })

  test('of a reversal, of half a transfer and of nothing is refused with the reason', async () => {
    const { partId, binId } = await stocked(5)
    const taken = await stockIssue(asWriter(nell), { partId, binId, quantity: 1, reason: 'wrong part' })
    const back = await stockReverse(asWriter(nell), { movementId: taken.movementId, reason: 'not needed' })
    const moved = await stockTransfer(asWriter(nell), { partId, fromBinId: binId, toBinId: await aBin(), quantity: 1 })
    for (const [movementId, why] of [
      [back.movementId, 'it is itself a reversal'],
      [moved.out.movementId, 'it is half of a transfer; move the parts back instead'],
      [MISSING, 'there is no such movement'],
    ] as const)
      await expect(stockReverse(asWriter(nell), { movementId, reason: 'not needed' })).rejects.toMatchObject({
        code: 'stock/not-reversible',
        happened: `Movement ${movementId} cannot be reversed: ${why}.`,
      })
  })

  test('of a delivery that was taken since is refused: the shelf would fall below zero', async () => {
    const { partId, binId } = await stocked(0)
    const came = await stockReceive(asWriter(nell), { partId, binId, quantity: 3 })
    await stockIssue(asWriter(owen), { partId, binId, quantity: 1, reason: 'yard use' })
    await expect(
      stockReverse(asWriter(nell), { movementId: came.movementId, reason: 'booked twice' }),
    ).rejects.toMatchObject({ code: 'stock/not-enough' })
  })

  test('of what a job took gives it back to the job’s need; after some was put back it is refused', async () => {
    const { partId, binId } = await stocked(6)
    const job = await aJobWanting(partId, 4)
    const take = () =>
      jobTake(asWriter(nell), { jobId: job.jobId, lines: [{ needId: job.needId, binId, quantity: 4 }] })
    const first = await take()
    await stockReverse(asWriter(nell), { movementId: first.movements[0]!.movementId, reason: 'wrong bin' })
    expect(await job.need()).toMatchObject({ taken: 0, allocated: 4 })
    const second = await take()
    await jobPutBack(asWriter(nell), { jobId: job.jobId, needId: job.needId, binId, quantity: 1 })
    await expect(
      stockReverse(asWriter(nell), { movementId: second.movements[0]!.movementId, reason: 'wrong bin' }),
    ).rejects.toMatchObject({
      code: 'stock/not-reversible',
      happened: expect.stringContaining('some of it was put back since'),
    })
    expect(await job.need()).toMatchObject({ taken: 3 })
    expect(await onHand(partId, binId)).toBe(3)
  })
})

test('what is kept for a job serves any of its lines: one line may take what the other was promised', async () => {
  const { partId, binId } = await stocked(3)
  const job = await aJobWanting(partId, 1)
  const second = await inTransaction((tx) =>
    tx.jobNeed.create({
      data: {
        jobId: job.jobId,
        key: 'other-side',
        origin: 'suggestion',
        kind: 'part',
        partId,
        description: 'the other side',
        strength: 'must',
        suggested: 2,
        wanted: 2,
        allocated: 2,
        state: 'accepted',
      },
    }),
  )
  await jobTake(asWriter(nell), { jobId: job.jobId, lines: [{ needId: job.needId, binId, quantity: 2 }] })
  expect(await job.need()).toMatchObject({ taken: 2 })
  expect((await database().jobNeed.findUniqueOrThrow({ where: { id: second.id } })).allocated).toBe(1)
})

test('a bin that is not there cannot be counted, not even as empty', async () => {
  const { partId } = await stocked(0)
  await expect(
    stockCount(asWriter(nell), { partId, binId: MISSING, counted: 0, expected: 0, reason: '' }),
  ).rejects.toMatchObject({ code: 'stock/unknown-bin' })
})
