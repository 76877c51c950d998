import { beforeAll, describe, expect, test } from 'vitest'
import { batchChange, batchClassSet, batchPartSet } from '../../lib/db/batch.ts'
import { batchRead, partBatches } from '../../lib/db/batch-read.ts'
import { batchesSort } from '../../lib/db/batch-sort.ts'
import { database } from '../../lib/db/client.ts'
import { consignmentArrive, consignmentLine, consignmentPack, consignmentSend } from '../../lib/db/consignment.ts'
import { countSheetSave } from '../../lib/db/count-sheet.ts'
import { needAdd } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { jobPickList, jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { binEmptyInto } from '../../lib/db/place.ts'
import { spoilList } from '../../lib/db/spoil.ts'
import { stockIssue, stockReceive, stockReturn, stockReverse, stockScrap, stockTransfer } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { shelfChecks } from '../../lib/db/verify-shelf.ts'
import { TakeForm } from '../../lib/job/schema.ts'
import { EntryContent, fittedSays } from '../../lib/job/service-book.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
const NOW = new Date('2027-02-10T09:00:00Z')
let keeper = ''
const by = () => asWriter(keeper, { now: NOW })
beforeAll(async () => {
  keeper = await aPerson('Ida Marsh')
  await batchClassSet(by(), { partClass: 'sealant', asksBatch: true, asksUseBy: true, shelfLifeMonths: 18 })
})

/** A sealant with an older and a newer batch in one bin. */
async function sealant() {
  const [partId, binId] = [await aPart({ partClass: 'sealant' }), await aBin()]
  const late = { partId, binId, quantity: 6, batch: 'L24', useBy: '2027-09-30' }
  await stockReceive(by(), late)
  await stockReceive(by(), { partId, binId, quantity: 4, batch: 'L23', useBy: '2027-03-31' })
  return { partId, binId }
}

/** What lies there of each batch, over all bins. */
async function codes(partId: number): Promise<Record<string, number>> {
  const sums: Record<string, number> = {}
  for (const { code, quantity } of (await partBatches(partId)).lines) sums[code] = (sums[code] ?? 0) + quantity
  return sums
}
const idOf = async (partId: number, code: string) =>
  (await database().batch.findFirstOrThrow({ where: { partId, code } })).id

async function aJob(partId: number, quantity: number) {
  const machineId = await aMachine()
  const jobId = await inTransaction(async (tx) => {
    const number = ((await tx.job.aggregate({ _max: { number: true } }))._max.number ?? 0) + 1
    const job = { number, machineId, complaint: 'cover leaks', openedAt: NOW, openedById: keeper }
    return (await tx.job.create({ data: job })).id
  })
  await needAdd(by(), { jobId, partId, quantity })
  const need = await database().jobNeed.findFirstOrThrow({ where: { jobId, partId } })
  return { jobId, needId: need.id, machineId }
}

async function soundShelf() {
  expect((await shelfChecks()).filter((check) => !check.ok)).toEqual([])
}

describe('receiving a part whose batches are kept', () => {
  test('asks for the number, then for the date, and books neither without', async () => {
    const [partId, binId] = [await aPart({ partClass: 'sealant' }), await aBin()]
    const came = { partId, binId, quantity: 3 }
    await expect(stockReceive(by(), came)).rejects.toMatchObject({
      code: 'stock/batch-needed',
      fields: { batch: expect.any(String) },
    })
    await expect(stockReceive(by(), { ...came, batch: 'L1' })).rejects.toMatchObject({ code: 'stock/use-by-needed' })
    expect(await database().movement.count({ where: { partId } })).toBe(0)
    await stockReceive(by(), { ...came, batch: 'L1', useBy: '2027-08-31' })
    // The second box of a batch that is known needs no date.
    await stockReceive(by(), { ...came, batch: 'l-1' })
    expect(await codes(partId)).toEqual({ L1: 6 })
  })

  test('the same batch with another date is refused until the books are put right', async () => {
    const { partId, binId } = await sealant()
    const came = { partId, binId, quantity: 1, batch: 'L23', useBy: '2027-05-31' }
    await expect(stockReceive(by(), came)).rejects.toMatchObject({
      code: 'stock/batch-other-date',
      happened: expect.stringContaining('2027-03-31, not 2027-05-31'),
    })
    const batchId = await idOf(partId, 'L23')
    await batchChange(by(), { batchId, code: 'L23', useBy: '2027-05-31', reason: 'read the print wrongly' })
    await stockReceive(by(), came)
    expect(await codes(partId)).toEqual({ L23: 5, L24: 6 })
  })

  test('what is expired goes into quarantine, or on the shelf when somebody says so', async () => {
    const [partId, binId, held] = [await aPart({ partClass: 'sealant' }), await aBin(), await aBin()]
    await database().bin.update({ where: { id: held }, data: { kind: 'quarantine' } })
    const old = { partId, binId, quantity: 2, batch: 'L9', useBy: '2027-02-09' }
    await expect(stockReceive(by(), old)).rejects.toMatchObject({ code: 'stock/expired-arrived' })
    await stockReceive(by(), { ...old, binId: held })
    await stockReceive(by(), { ...old, expiredKept: true })
    expect((await partBatches(partId)).lines.map((line) => [line.binId, line.quantity])).toEqual([
      [binId, 2],
      [held, 2],
    ])
  })

  test('a part that only has a date is kept by its date', async () => {
    const [partId, binId] = [await aPart({ partClass: 'filter' }), await aBin()]
    await batchPartSet(by(), { partId, asksUseBy: true })
    await expect(stockReceive(by(), { partId, binId, quantity: 1 })).rejects.toMatchObject({
      code: 'stock/use-by-needed',
    })
    await stockReceive(by(), { partId, binId, quantity: 1, useBy: '2028-01-31' })
    await stockReceive(by(), { partId, binId, quantity: 2, useBy: '2028-01-31' })
    expect(await codes(partId)).toEqual({ 'use by 2028-01-31': 3 })
  })

  test('a part that asks for nothing is booked as ever', async () => {
    const [partId, binId] = [await aPart({ partClass: 'bolt' }), await aBin()]
    await stockReceive(by(), { partId, binId, quantity: 5 })
    await stockIssue(by(), { partId, binId, quantity: 2, reason: 'gate' })
    expect((await partBatches(partId)).lines).toEqual([])
  })
})

describe('taking', () => {
  test('goes by the earliest date over the batches of a bin, a line of the ledger each', async () => {
    const { partId, binId } = await sealant()
    await stockIssue(by(), { partId, binId, quantity: 5, reason: 'yard' })
    expect(await codes(partId)).toEqual({ L24: 5 })
    const out = await database().movement.findMany({ where: { partId, kind: 'issue' }, include: { batch: true } })
    expect(out.map((move) => [move.batch!.code, move.quantity])).toEqual([
      ['L23', -4],
      ['L24', -1],
    ])
    await soundShelf()
  })

  test('an expired batch is left, unless it is chosen and somebody says why', async () => {
    const { partId, binId } = await sealant()
    const late = () => asWriter(keeper, { now: new Date('2027-04-01T07:00:00Z') })
    await expect(stockIssue(late(), { partId, binId, quantity: 7, reason: 'yard' })).rejects.toMatchObject({
      code: 'stock/only-expired',
      happened: expect.stringContaining('Only 6 '),
    })
    const chosen = { partId, binId, quantity: 1, reason: 'yard', batchId: await idOf(partId, 'L23') }
    await expect(stockIssue(late(), chosen)).rejects.toMatchObject({ code: 'stock/batch-expired' })
    const { movementId } = await stockIssue(late(), { ...chosen, expiredWhy: 'a trial piece only' })
    expect(await database().movement.findUnique({ where: { id: movementId } })).toMatchObject({
      reason: 'yard; past its use-by date 2027-03-31: a trial piece only',
    })
    await stockReverse(late(), { movementId, reason: 'not tried after all' })
    expect(await codes(partId)).toEqual({ L23: 4, L24: 6 })
  })

  test('more than lies there is refused as for any part', async () => {
    const { partId, binId } = await sealant()
    await expect(stockIssue(by(), { partId, binId, quantity: 11, reason: 'yard' })).rejects.toMatchObject({
      code: 'stock/not-enough',
    })
  })
})

describe('a job', () => {
  test('picks the earliest date wherever it lies, and its batches can be followed to the machine', async () => {
    const { partId } = await sealant()
    const far = await aBin()
    await stockReceive(by(), { partId, binId: far, quantity: 2, batch: 'L22', useBy: '2027-02-28' })
    const { jobId, needId, machineId } = await aJob(partId, 5)
    const list = await jobPickList(jobId, '2027-02-10')
    const picked = list.lines.map((line) => ({ code: line.batch!.code, quantity: line.quantity }))
    expect(picked).toContainEqual({ code: 'L22', quantity: 2 })
    expect(picked).toContainEqual({ code: 'L23', quantity: 3 })
    expect(picked).toHaveLength(2)
    const after = await jobPickList(jobId, '2027-03-01')
    expect(after.lines.map((line) => line.batch!.code).sort()).toEqual(['L23', 'L24'])
    await jobTake(by(), {
      jobId,
      lines: list.lines.map(({ binId, quantity, batch }) => ({ needId, binId, quantity, batchId: batch!.id })),
    })
    const trace = await batchRead(await idOf(partId, 'L23'))
    expect(trace).toMatchObject({ received: 4, uses: [{ machine: { id: machineId }, quantity: 3 }] })
    const back = { jobId, needId, binId: far, quantity: 1 }
    await expect(jobPutBack(by(), back)).rejects.toMatchObject({ code: 'stock/batch-which' })
    const batchId = await idOf(partId, 'L23')
    await expect(jobPutBack(by(), { ...back, quantity: 4, batchId })).rejects.toMatchObject({
      code: 'stock/unknown-batch',
    })
    await jobPutBack(by(), { ...back, batchId })
    expect((await batchRead(batchId)).uses.map((use) => use.quantity)).toEqual([2])
    await jobPutBack(by(), { ...back, quantity: 4 })
    expect(await codes(partId)).toEqual({ L22: 2, L23: 4, L24: 6 })
    await soundShelf()
  })

  test('leaves the batch in the service book, and says so in its words and its list', async () => {
    const { partId, binId } = await sealant()
    const { jobId, needId } = await aJob(partId, 5)
    await jobTake(by(), { jobId, lines: [{ needId, binId, quantity: 5 }] })
    const done = { jobId, cause: 'old joint', correction: 'cover sealed anew', labourMinutes: 30, hours: 12 }
    const { entryId } = await jobClose(by(), done, 'EUR')
    const entry = await database().serviceBookEntry.findUniqueOrThrow({ where: { id: entryId } })
    const { fitted } = EntryContent.parse(JSON.parse(entry.content))
    expect(fitted[0]!.batches).toEqual([
      { code: 'L23', expiresOn: '2027-03-31', quantity: 4 },
      { code: 'L24', expiresOn: '2027-09-30', quantity: 1 },
    ])
    expect(fittedSays(fitted[0]!)).toMatch(/, batch L23, batch L24$/)
  })

  test('the form of the pick list names the batch behind the bin, and the reason for an expired one', () => {
    const form = { jobId: '4', 'take.5.7@3.each': '2', 'take.6.8.each': '1', expiredWhy: 'for the trial stand' }
    expect(TakeForm.parse(form).lines).toEqual([
      { needId: 5, binId: 7, quantity: 2, batchId: 3, expiredWhy: 'for the trial stand' },
      { needId: 6, binId: 8, quantity: 1 },
    ])
    expect(TakeForm.parse({ ...form, only: '5.7@3' }).lines).toHaveLength(1)
  })
})

describe('whatever else is booked keeps the batches right', () => {
  test('moving a bin, sending to a van, scrapping, and coming back', async () => {
    const { partId, binId } = await sealant()
    const [next, van] = [await aBin(), await aBin('V-9', 'Van nine')]
    await stockTransfer(by(), { partId, fromBinId: binId, toBinId: next, quantity: 5 })
    await binEmptyInto(by(), { fromBinId: next, toBinId: binId })
    const stores = await database().bin.findMany({ where: { id: { in: [binId, van] } }, orderBy: { id: 'asc' } })
    const { consignmentId } = await consignmentPack(by(), {
      fromStoreId: stores[0]!.storeId,
      toStoreId: stores[1]!.storeId,
    })
    await consignmentLine(by(), { consignmentId, partId, fromBinId: binId, quantity: 5 })
    await consignmentSend(by(), { consignmentId })
    const line = await database().consignmentLine.findFirstOrThrow({ where: { consignmentId } })
    await consignmentArrive(by(), { consignmentId, lines: [{ lineId: line.id, binId: van, quantity: 5 }] })
    expect((await partBatches(partId)).lines.map(({ code, bin, quantity }) => [code, bin === 'V-9', quantity])).toEqual(
      [
        ['L23', true, 4],
        ['L24', false, 5],
        ['L24', true, 1],
      ],
    )
    await stockScrap(by(), { partId, binId, quantity: 1, reason: 'tube burst' })
    await expect(stockReturn(by(), { partId, binId, quantity: 1, reason: 'left over' })).rejects.toMatchObject({
      code: 'stock/batch-needed',
    })
    await stockReturn(by(), { partId, binId, quantity: 1, reason: 'left over', batch: 'L23' })
    await stockReturn(by(), { partId, binId, quantity: 1, reason: 'label gone', batch: 'Not known' })
    expect(await database().batch.findFirst({ where: { partId, code: 'Not known' } })).toMatchObject({
      expiresOn: null,
    })
    await soundShelf()
  })

  test('a count takes what is missing off the earliest date, and puts what is over under “not known”', async () => {
    const { partId, binId } = await sealant()
    const asOf = (await database().movement.aggregate({ _max: { id: true } }))._max.id!
    const counted = (quantity: number, at: number) =>
      countSheetSave(by(), [
        { partId, binId, counted: quantity, asOf: at, cutId: null, reasonCode: 'other', words: 'looked twice' },
      ])
    await counted(5, asOf)
    // A large difference is counted a second time before it is believed.
    await counted(5, asOf)
    expect(await codes(partId)).toEqual({ L24: 5 })
    await stockReceive(by(), { partId, binId, quantity: 1, batch: 'L25', useBy: '2028-01-31' })
    const now = (await database().movement.aggregate({ _max: { id: true } }))._max.id!
    await counted(8, now)
    await counted(8, now)
    expect(await codes(partId)).toEqual({ L24: 5, L25: 1, 'Not known': 2 })
    await soundShelf()
  })

  test('who looks at the packs says of which batch they are, and nothing is gained', async () => {
    const { partId, binId } = await sealant()
    const [old, young] = [await idOf(partId, 'L23'), await idOf(partId, 'L24')]
    const sort = { partId, binId }
    await expect(batchesSort(by(), { ...sort, lots: [{ batchId: old, quantity: 1 }] })).rejects.toMatchObject({
      code: 'stock/batch-sum',
    })
    await batchesSort(by(), {
      ...sort,
      lots: [
        { batchId: old, quantity: 1 },
        { batchId: young, quantity: 7 },
      ],
      more: { batch: 'L21', useBy: '2027-01-31', quantity: 2 },
    })
    expect(await codes(partId)).toEqual({ L21: 2, L23: 1, L24: 7 })
    await soundShelf()
  })

  test('what lay there before batches were kept stands under “not known” from then on', async () => {
    const [partId, binId] = [await aPart({ partClass: 'grease' }), await aBin()]
    await stockReceive(by(), { partId, binId, quantity: 9 })
    const { movementId } = await stockIssue(by(), { partId, binId, quantity: 2, reason: 'trailer' })
    await batchClassSet(by(), { partClass: 'grease', asksBatch: true, asksUseBy: false })
    expect(await codes(partId)).toEqual({ 'Not known': 7 })
    await stockReverse(by(), { movementId, reason: 'was another grease' })
    expect(await codes(partId)).toEqual({ 'Not known': 9 })
    await batchClassSet(by(), { partClass: 'grease', asksBatch: false, asksUseBy: false })
    await stockReceive(by(), { partId, binId, quantity: 1 })
    await stockIssue(by(), { partId, binId, quantity: 10, reason: 'gate' })
    expect(await codes(partId)).toEqual({})
    await soundShelf()
  })

  test('the list of what spoils is by date, with what it is worth', async () => {
    const [partId, binId] = [await aPart({ partClass: 'sealant' }), await aBin()]
    const came = { partId, binId, costMinor: 450 }
    await stockReceive(by(), { ...came, quantity: 3, batch: 'A2', useBy: '2027-04-30' })
    await stockReceive(by(), { ...came, quantity: 2, batch: 'A1', useBy: '2027-03-15' })
    const own = (await spoilList('2027-04-29')).filter((row) => row.partId === partId)
    expect(own.map((row) => [row.code, row.quantity, row.valueMinor])).toEqual([['A1', 2, 900]])
    const both = (await spoilList('2027-04-30')).filter((row) => row.partId === partId)
    expect(both.map((row) => [row.code, row.valueMinor])).toEqual([
      ['A1', 900],
      ['A2', 1350],
    ])
  })
})
