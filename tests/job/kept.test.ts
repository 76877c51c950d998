import { beforeEach, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobWhenSet, keptElsewhere, keptMove } from '../../lib/db/job-kept.ts'
import { jobTake } from '../../lib/db/job-parts.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let people = 0
let [sam, bin, partId] = ['', 0, 0]
beforeEach(async () => {
  sam = await aPerson(`Sam Lutterby ${++people}`)
  bin = await aBin()
  partId = await aPart({ description: 'Return spring' })
})

/** A job that wants so many of the part; answers its id and the id of its line. */
async function aJob(wants: number) {
  const machineId = await aMachine()
  const said = { complaint: 'spring broken', kind: 'repair', hours: null, unsafe: false } as const
  const { jobId } = await jobOpen(asWriter(sam), { machineId, ...said, positions: [] })
  await needAdd(asWriter(sam), { jobId, partId, quantity: wants })
  const need = await database().jobNeed.findFirstOrThrow({ where: { jobId, partId } })
  return { jobId, needId: need.id }
}
const kept = async (needId: number) => (await database().jobNeed.findUniqueOrThrow({ where: { id: needId } })).allocated
const notes = (jobId: number) => database().jobNote.findMany({ where: { jobId } })
const receive = (quantity: number) => stockReceive(asWriter(sam), { partId, binId: bin, quantity })
const when = (jobId: number, needOn: string | null, priority: number) =>
  jobWhenSet(asWriter(sam), { jobId, needOn, priority })

describe('who gets what comes in', () => {
  test('the job that matters first, then the one that needs it sooner, then the older; the last gets a part of what it wants', async () => {
    const [older, soon, first] = [await aJob(2), await aJob(2), await aJob(2)]
    await when(soon.jobId, '2026-12-01', 2)
    await when(first.jobId, null, 1)
    await receive(5)
    expect([await kept(first.needId), await kept(soon.needId), await kept(older.needId)]).toEqual([2, 2, 1])
  })

  test('what a job has been promised stays there when another says that it matters more', async () => {
    const [one, other] = [await aJob(2), await aJob(2)]
    await receive(2)
    await when(other.jobId, '2026-12-01', 1)
    expect([await kept(one.needId), await kept(other.needId)]).toEqual([2, 0])
    // The next that comes in is for it.
    await receive(1)
    expect([await kept(one.needId), await kept(other.needId)]).toEqual([2, 1])
  })
})

describe('giving what is kept for one job to another', () => {
  test('moves the promise, and both jobs can read who gave it and why', async () => {
    const [one, other] = [await aJob(2), await aJob(2)]
    await receive(2)
    await keptMove(asWriter(sam), {
      fromNeedId: one.needId,
      toNeedId: other.needId,
      quantity: 1,
      reason: 'mower stands',
    })
    expect([await kept(one.needId), await kept(other.needId)]).toEqual([1, 1])
    const numbers = await database().job.findMany({
      where: { id: { in: [one.jobId, other.jobId] } },
      orderBy: { id: 'asc' },
    })
    const [from, to] = [await notes(one.jobId), await notes(other.jobId)]
    expect(from.map((note) => note.text)).toEqual([
      expect.stringMatching(`went to job ${numbers[1]!.number}: mower stands$`),
    ])
    expect(to.map((note) => note.text)).toEqual([expect.stringContaining(`came from job ${numbers[0]!.number}`)])
    await jobTake(asWriter(sam), { jobId: other.jobId, lines: [{ needId: other.needId, binId: bin, quantity: 1 }] })
    expect((await keptElsewhere(other.jobId, [partId])).get(partId)).toMatchObject([{ jobId: one.jobId, quantity: 1 }])
  })

  test('gives no more than is kept, and no more than is wanted; then nothing is written anywhere', async () => {
    const [one, other] = [await aJob(3), await aJob(1)]
    await receive(2)
    const move = (quantity: number) =>
      keptMove(asWriter(sam), { fromNeedId: one.needId, toNeedId: other.needId, quantity, reason: 'mower stands' })
    await expect(move(3)).rejects.toMatchObject({ code: 'stock/not-kept' })
    await expect(move(2)).rejects.toMatchObject({ code: 'stock/not-wanted' })
    expect([await kept(one.needId), await kept(other.needId)]).toEqual([2, 0])
    expect(await notes(one.jobId)).toEqual([])
  })
})
