import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { countSheetOfStore } from '../../lib/db/count-sheet.ts'
import { needAdd } from '../../lib/db/job.ts'
import { jobPickList, jobTake } from '../../lib/db/job-parts.ts'
import { partsInQuestion } from '../../lib/db/order-need.ts'
import { partCard, partStock } from '../../lib/db/part.ts'
import { partSearch } from '../../lib/db/part-search.ts'
import {
  binChange,
  binClose,
  binEmptyInto,
  binMap,
  binReopen,
  binsAdd,
  binWalk,
  partBinSet,
  storeAdd,
  storeChange,
} from '../../lib/db/place.ts'
import { partBins, storeRead, storesToSetUp } from '../../lib/db/place-read.ts'
import { binsList } from '../../lib/db/shelf.ts'
import { stockIssue, stockReceive, stockSetLevel, stockTransfer } from '../../lib/db/stock.ts'
import { stockTableRows } from '../../lib/db/stock-table.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { ledgerFaults } from '../../lib/stock/ledger.ts'
import type { MovementKind } from '../../lib/stock/movement.ts'
import { aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let keeper = ''
beforeAll(async () => {
  keeper = await aPerson('Ivo Plumtree')
})

let stores = 0
/** A store of its own with the bins named, in that order. */
async function aStore(...codes: string[]) {
  stores += 1
  const { storeId } = await storeAdd(asWriter(keeper), { name: `Cart shed ${stores}`, kind: 'building' })
  const { binIds } = await binsAdd(asWriter(keeper), { storeId, kind: 'shelf', codes })
  return { storeId, bins: binIds }
}
const codesOf = async (storeId: number) => (await storeRead(storeId)).bins.map((bin) => bin.code)
const kindSet = (binId: number, code: string, kind: 'shelf' | 'overflow' | 'quarantine' | 'old-units') =>
  binChange(asWriter(keeper), { binId, code, kind, place: 1 })

let jobs = 400
async function aJobWanting(partId: number, quantity: number) {
  const machineId = await aMachine()
  jobs += 1
  const job = await inTransaction((tx) =>
    tx.job.create({
      data: {
        number: jobs,
        machineId,
        complaint: 'drum scores',
        openedAt: new Date('2026-03-04T08:00:00Z'),
        openedById: keeper,
      },
    }),
  )
  await needAdd(asWriter(keeper), { jobId: job.id, partId, quantity })
  const need = await database().jobNeed.findFirstOrThrow({ where: { jobId: job.id, partId } })
  return {
    jobId: job.id,
    needId: need.id,
    allocated: async () => (await database().jobNeed.findUniqueOrThrow({ where: { id: need.id } })).allocated,
  }
}

describe('setting up stores and bins', () => {
  test('two stores cannot share a name, however it is written; a new name is kept', async () => {
    const { storeId } = await storeAdd(asWriter(keeper), { name: 'Press house', kind: 'building' })
    await expect(storeAdd(asWriter(keeper), { name: ' press  HOUSE', kind: 'van' })).rejects.toMatchObject({
      code: 'stock/store-taken',
    })
    await storeChange(asWriter(keeper), { storeId, name: 'Press House', kind: 'container' })
    expect((await storesToSetUp()).find((store) => store.id === storeId)).toMatchObject({
      name: 'Press House',
      kind: 'container',
      bins: 0,
    })
  })

  test('bins stand at the end of the walk in the order they were entered, and a code is there once', async () => {
    const { storeId } = await aStore('A1-01', 'A1-02')
    await binsAdd(asWriter(keeper), { storeId, kind: 'quarantine', codes: ['Q-1'] })
    expect(await codesOf(storeId)).toEqual(['A1-01', 'A1-02', 'Q-1'])
    await expect(binsAdd(asWriter(keeper), { storeId, kind: 'shelf', codes: ['B-9', 'a1 02'] })).rejects.toMatchObject({
      code: 'stock/bin-taken',
    })
    expect(await codesOf(storeId)).toHaveLength(3)
  })

  test('a bin goes a step earlier, a step later and to a place on the walk, which the list of bins follows', async () => {
    const { storeId, bins } = await aStore('K1', 'K2', 'K3', 'K4')
    expect(await binWalk(asWriter(keeper), { binId: bins[2]!, to: 'earlier' })).toEqual({ code: 'K3', place: 2 })
    expect(await codesOf(storeId)).toEqual(['K1', 'K3', 'K2', 'K4'])
    await binWalk(asWriter(keeper), { binId: bins[0]!, to: 'later' })
    await binChange(asWriter(keeper), { binId: bins[3]!, code: 'K4', kind: 'shelf', place: 1 })
    expect(await codesOf(storeId)).toEqual(['K4', 'K3', 'K1', 'K2'])
    expect((await binsList()).filter((bin) => bin.storeId === storeId).map((bin) => bin.code)).toEqual([
      'K4',
      'K3',
      'K1',
      'K2',
    ])
  })

  test('a bin is put on the map and taken off it', async () => {
    const { storeId, bins } = await aStore('M1', 'M2')
    await binMap(asWriter(keeper), { binId: bins[1]!, mapColumn: 3, mapRow: 2 })
    expect((await storeRead(storeId)).bins.map((bin) => bin.square)).toEqual([null, { column: 3, row: 2 }])
    await binMap(asWriter(keeper), { binId: bins[1]!, mapColumn: null, mapRow: null })
    expect((await storeRead(storeId)).bins[1]!.square).toBeNull()
  })

  test('a bin is closed only when empty; closed, it is offered nowhere and takes nothing until it is opened again', async () => {
    const { storeId, bins } = await aStore('C1', 'C2')
    const partId = await aPart()
    const [bin] = bins as [number, number]
    await stockReceive(asWriter(keeper), { partId, binId: bin, quantity: 1 })
    await expect(binClose(asWriter(keeper), { binId: bin })).rejects.toMatchObject({
      code: 'stock/bin-not-empty',
      happened: 'Bin C1 cannot be closed: 1 part lies in it.',
    })
    await stockIssue(asWriter(keeper), { partId, binId: bin, quantity: 1, reason: 'yard gate' })
    await binClose(asWriter(keeper), { binId: bin })
    expect((await binsList()).some((one) => one.id === bin)).toBe(false)
    expect((await countSheetOfStore(storeId, 0))!.bins).toEqual([])
    await expect(stockReceive(asWriter(keeper), { partId, binId: bin, quantity: 1 })).rejects.toMatchObject({
      code: 'stock/bin-closed',
    })
    await binReopen(asWriter(keeper), { binId: bin })
    await stockReceive(asWriter(keeper), { partId, binId: bin, quantity: 1 })
  })

  test('a part has one fixed bin in a store and any number for what does not fit', async () => {
    const { bins } = await aStore('F1', 'F2', 'O1')
    const van = await aStore('V1')
    const partId = await aPart()
    const set = (binId: number, kind: 'fixed' | 'overflow') => partBinSet(asWriter(keeper), { partId, binId, kind })
    await set(bins[0]!, 'fixed')
    await set(bins[2]!, 'overflow')
    await set(van.bins[0]!, 'fixed')
    await set(bins[1]!, 'fixed')
    expect((await partBins(partId)).map(({ bin, kind }) => `${bin} ${kind}`).sort()).toEqual([
      'F2 fixed',
      'O1 overflow',
      'V1 fixed',
    ])
    await binClose(asWriter(keeper), { binId: bins[2]! })
    expect((await partBins(partId)).map(({ bin }) => bin)).not.toContain('O1')
  })
})

describe('moving a whole bin', () => {
  test('takes every part and every batch along in one write, and the ledger stays sound', async () => {
    const { bins } = await aStore('W1', 'W2')
    const [from, to] = bins as [number, number]
    const [shoe, paste] = [await aPart({ number: 'BS-40' }), await aPart({ number: 'SP-7', unit: 'kilogram' })]
    await stockReceive(asWriter(keeper), { partId: shoe, binId: from, quantity: 6 })
    await stockReceive(asWriter(keeper), { partId: paste, binId: from, quantity: 900 })
    const batch = await inTransaction(async (tx) => {
      const made = await tx.batch.create({ data: { partId: paste, code: 'L-31', codeKey: 'l31' } })
      await tx.batchBalance.create({ data: { batchId: made.id, binId: from, quantity: 350 } })
      return made
    })
    expect(await binEmptyInto(asWriter(keeper), { fromBinId: from, toBinId: to })).toEqual({
      from: 'W1',
      to: 'W2',
      parts: 2,
    })
    const there = await database().balance.findMany({ where: { binId: { in: bins }, quantity: { gt: 0 } } })
    expect(there.map((row) => [row.partId, row.binId, row.quantity])).toEqual([
      [shoe, to, 6],
      [paste, to, 900],
    ])
    const lots = await database().batchBalance.findMany({ where: { batchId: batch.id, quantity: { gt: 0 } } })
    expect(lots).toEqual([{ batchId: batch.id, binId: to, quantity: 350 }])
    await expect(binEmptyInto(asWriter(keeper), { fromBinId: from, toBinId: to })).rejects.toMatchObject({
      code: 'stock/nothing-to-move',
    })
    await expect(binEmptyInto(asWriter(keeper), { fromBinId: to, toBinId: to })).rejects.toMatchObject({
      code: 'input/invalid',
    })
  })
})

describe('what lies in quarantine or waits to go back', () => {
  test('is free for nobody: not on the shelf, not promised to a job, not on a pick list, and ordered anew', async () => {
    const { bins } = await aStore('S1', 'Q1')
    const [shelf, held] = bins as [number, number]
    await kindSet(held, 'Q1', 'quarantine')
    const partId = await aPart({ number: 'QRT-12' })
    await stockReceive(asWriter(keeper), { partId, binId: shelf, quantity: 3 })
    await stockReceive(asWriter(keeper), { partId, binId: held, quantity: 4 })
    await stockSetLevel(asWriter(keeper), { partId, reorderPoint: 5, orderUpTo: 8, reason: 'set for the test' })
    expect((await partStock(database(), [partId])).get(partId)).toMatchObject({ onHand: 3, available: 3 })
    expect((await partSearch('QRT-12'))[0]).toMatchObject({ onHand: 3, available: 3 })
    expect(await partsInQuestion('2026-11-27')).toContain(partId)
    const low = { search: 'QRT-12', storeId: null, state: 'low', sort: 'number', columns: [] } as const
    expect((await stockTableRows(low, null)).map((row) => row.partId)).toEqual([partId])
    expect((await partCard(partId)).bins.map(({ kind, quantity }) => [kind, quantity])).toEqual(
      expect.arrayContaining([
        ['shelf', 3],
        ['quarantine', 4],
      ]),
    )

    const job = await aJobWanting(partId, 5)
    expect(await job.allocated()).toBe(3)
    const list = await jobPickList(job.jobId)
    expect(list.lines.map(({ binId, quantity }) => [binId, quantity])).toEqual([[shelf, 3]])
    expect(list.short).toMatchObject([{ quantity: 2 }])
    await expect(
      jobTake(asWriter(keeper), { jobId: job.jobId, lines: [{ needId: job.needId, binId: held, quantity: 1 }] }),
    ).rejects.toMatchObject({ code: 'stock/not-for-use' })
  })

  test('is free again once it is moved to a shelf, and no longer once it is moved away', async () => {
    const { bins } = await aStore('S2', 'R2')
    const [shelf, held] = bins as [number, number]
    await kindSet(held, 'R2', 'old-units')
    const partId = await aPart()
    await stockReceive(asWriter(keeper), { partId, binId: held, quantity: 2 })
    const job = await aJobWanting(partId, 2)
    expect(await job.allocated()).toBe(0)
    await stockTransfer(asWriter(keeper), { partId, fromBinId: held, toBinId: shelf, quantity: 2 })
    expect(await job.allocated()).toBe(2)
    await stockTransfer(asWriter(keeper), { partId, fromBinId: shelf, toBinId: held, quantity: 1 })
    expect(await job.allocated()).toBe(1)
    // What the bin is for may change as well as where the part lies.
    await kindSet(held, 'R2', 'shelf')
    expect(await job.allocated()).toBe(2)
    const lines = await database().movement.findMany({ where: { partId }, orderBy: { id: 'asc' } })
    expect(ledgerFaults(lines.map((line) => ({ ...line, kind: line.kind as MovementKind })))).toEqual([])
  })
})
