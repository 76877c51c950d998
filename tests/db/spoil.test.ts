import { beforeAll, describe, expect, test } from 'vitest'
import { batchClassSet } from '../../lib/db/batch.ts'
import { orderList } from '../../lib/db/buying.ts'
import { database } from '../../lib/db/client.ts'
import { needAdd } from '../../lib/db/job.ts'
import { jobFree } from '../../lib/db/job-free.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { partsInQuestion } from '../../lib/db/order-need.ts'
import { partCard } from '../../lib/db/part.ts'
import { partHits } from '../../lib/db/part-hit.ts'
import { partSearch } from '../../lib/db/part-search.ts'
import { searchFilterRead } from '../../lib/db/search-filter.ts'
import { stockIssue, stockReceive, stockSetLevel } from '../../lib/db/stock.ts'
import { stockTableRows } from '../../lib/db/stock-table.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { stockWords } from '../../lib/stock/stock-words.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let keeper = ''
/** The first batch is good up to this day, the day itself included. */
const LAST_DAY = '2027-03-31'
const NEXT_DAY = '2027-04-01'
const on = (day: string) => asWriter(keeper, { now: new Date(`${day}T09:00:00Z`) })
beforeAll(async () => {
  keeper = await aPerson('Ida Marsh')
  await batchClassSet(on(LAST_DAY), { partClass: 'sealant', asksBatch: true, asksUseBy: true })
})

/** Two that spoil after the last day, and so many more in the same bin that do not. */
async function sealant(number: string, good: number) {
  const [partId, binId] = [await aPart({ number, partClass: 'sealant' }), await aBin()]
  await stockReceive(on('2027-02-10'), { partId, binId, quantity: 2, batch: 'L23', useBy: LAST_DAY })
  if (good > 0)
    await stockReceive(on('2027-02-10'), { partId, binId, quantity: good, batch: 'L24', useBy: '2027-09-30' })
  return { partId, binId }
}

async function aJob(day: string, partId: number, quantity: number): Promise<number> {
  const machineId = await aMachine()
  const jobId = await inTransaction(async (tx) => {
    const number = ((await tx.job.aggregate({ _max: { number: true } }))._max.number ?? 0) + 1
    const job = { number, machineId, complaint: 'cover leaks', openedAt: new Date(), openedById: keeper }
    return (await tx.job.create({ data: job })).id
  })
  await needAdd(on(day), { jobId, partId, quantity })
  return jobId
}

// That goods past their use-by day are not counted as available: common practice, no source.
describe('what has spoiled', () => {
  test('is free on its last day and not on the next, and the part card says how much of it lies there', async () => {
    const { partId } = await sealant('SPL-1', 3)
    expect((await partCard(partId, LAST_DAY)).stock).toMatchObject({ onHand: 5, available: 5, spoiled: 0 })
    const { stock } = await partCard(partId, NEXT_DAY)
    expect(stock).toMatchObject({ onHand: 3, available: 3, spoiled: 2 })
    expect(stockWords(stock, 'each', null).words).toBe('3 on shelf, 2 spoiled, not counted')
    const { partId: only } = await sealant('SPL-2', 0)
    const { stock: none } = await partCard(only, NEXT_DAY)
    expect(stockWords(none, 'each', null)).toMatchObject({
      shape: '☐',
      words: 'none to use, 2 spoiled, not counted',
    })
  })

  test('counts neither in the table of the shelf nor in a search for what lies on it', async () => {
    const [{ partId }, { partId: good }] = [await sealant('TBL-1', 0), await sealant('TBL-2', 1)]
    const none = { search: 'TBL', storeId: null, state: 'none', sort: 'number', columns: [] } as const
    expect(await stockTableRows(none, null, LAST_DAY)).toEqual([])
    const rows = await stockTableRows(none, null, NEXT_DAY)
    expect(rows.map((row) => [row.partId, row.stock.spoiled])).toEqual([[partId, 2]])
    const onShelf = async (day: string) => {
      const { filter } = await searchFilterRead({ onShelf: true }, day)
      return (await partSearch('TBL', 20, filter)).map((hit) => hit.id).sort((a, b) => a - b)
    }
    expect(await onShelf(LAST_DAY)).toEqual([partId, good])
    expect(await onShelf(NEXT_DAY)).toEqual([good])
    const [hit] = await partHits([{ id: good, reason: null }], NEXT_DAY)
    expect(hit).toMatchObject({ onHand: 1, available: 1, spoiled: 2 })
  })

  test('is promised to no job, and what a job was promised before is given up with the next movement of the part', async () => {
    const { partId, binId } = await sealant('JOB-1', 1)
    const first = await aJob(LAST_DAY, partId, 3)
    const promised = async (jobId: number) =>
      (await database().jobNeed.findFirstOrThrow({ where: { jobId, partId } })).allocated
    expect(await promised(first)).toBe(3)
    const view = await jobView(first)
    const { freeOf } = await jobFree(first, view.needs, [], NEXT_DAY)
    expect(freeOf.get(partId)).toMatchObject({ state: 'some', free: 1 })
    const second = await aJob(NEXT_DAY, partId, 2)
    expect([await promised(first), await promised(second)]).toEqual([1, 0])
    // The good one is the first job's: nobody takes it for the yard, but the spoiled ones anybody may who says why.
    const yard = { partId, binId, quantity: 1, reason: 'gate in the yard' }
    await expect(stockIssue(on(NEXT_DAY), yard)).rejects.toMatchObject({ code: 'stock/reserved' })
    const { id } = await database().batch.findFirstOrThrow({ where: { partId, code: 'L23' } })
    await stockIssue(on(NEXT_DAY), { ...yard, batchId: id, expiredWhy: 'only to stop the rattle' })
    expect((await partCard(partId, NEXT_DAY)).stock).toMatchObject({ onHand: 1, spoiled: 1 })
  })

  test('is ordered anew, and the order list says why', async () => {
    const { partId } = await sealant('BUY-1', 1)
    await stockSetLevel(on(LAST_DAY), { partId, reorderPoint: 2, orderUpTo: 4, reason: 'set for the test' })
    expect(await partsInQuestion(LAST_DAY)).not.toContain(partId)
    expect(await partsInQuestion(NEXT_DAY)).toContain(partId)
    const line = (await orderList(NEXT_DAY)).flatMap(({ lines }) => lines).find((one) => one.partId === partId)
    expect(line).toMatchObject({ need: 3, reason: expect.stringContaining('2 spoiled, not counted') })
  })
})
