import { beforeAll, describe, expect, test } from 'vitest'
import { batchPartSet } from '../../lib/db/batch.ts'
import { partBatches } from '../../lib/db/batch-read.ts'
import { database } from '../../lib/db/client.ts'
import {
  consignmentArrive,
  consignmentDrop,
  consignmentLine,
  consignmentLost,
  consignmentPack,
  consignmentSend,
} from '../../lib/db/consignment.ts'
import { consignmentRead } from '../../lib/db/consignment-read.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { shelfChecks } from '../../lib/db/verify-shelf.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let keeper = ''
let [barn, van] = [0, 0]
let stores = { fromStoreId: 0, toStoreId: 0 }
/** L22 is past its day by then, L23 and L24 are not. */
const by = () => asWriter(keeper, { now: new Date('2027-02-10T09:00:00Z') })
beforeAll(async () => {
  keeper = await aPerson('Ivo Plumtree')
  const storeOf = async (id: number) => (await database().bin.findUniqueOrThrow({ where: { id } })).storeId
  barn = await aBin('A1-03', 'Long barn')
  van = await aBin('V-2', 'Field van')
  stores = { fromStoreId: await storeOf(barn), toStoreId: await storeOf(van) }
})

const BATCHES = { L22: '2026-12-31', L23: '2027-03-31', L24: '2027-09-30' }

async function threeBatches(each: number): Promise<number> {
  const partId = await aPart()
  await batchPartSet(by(), { partId, asksBatch: true, asksUseBy: true })
  for (const [batch, useBy] of Object.entries(BATCHES))
    await stockReceive(by(), { partId, binId: barn, quantity: each, batch, useBy, expiredKept: true })
  return partId
}
const idOf = async (partId: number, code: string) =>
  (await database().batch.findFirstOrThrow({ where: { partId, code } })).id

/** Packs so many, of one batch or of whichever goes first, and answers consignment and line. */
async function packed(partId: number, ...lines: { quantity: number; code?: keyof typeof BATCHES }[]) {
  const { consignmentId } = await consignmentPack(by(), stores)
  for (const { quantity, code } of lines) {
    const batchId = code === undefined ? undefined : await idOf(partId, code)
    await consignmentLine(by(), { consignmentId, partId, fromBinId: barn, quantity, batchId })
  }
  const view = await consignmentRead(consignmentId)
  return { consignmentId, lineId: view.lines[0]!.id }
}

async function inBin(partId: number, binId: number): Promise<Record<string, number>> {
  const lines = (await partBatches(partId)).lines.filter((line) => line.binId === binId)
  return Object.fromEntries(lines.map((line) => [line.code, line.quantity]))
}

// First expired, first out: common practice, no source.
describe('a batch sent to another store', () => {
  test('is the earliest that is not past where nobody chose; what has spoiled goes only where somebody chose it', async () => {
    const partId = await threeBatches(2)
    const { consignmentId } = await packed(partId, { quantity: 3 })
    await consignmentSend(by(), { consignmentId })
    expect(await inBin(partId, barn)).toEqual({ L22: 2, L24: 1 })
    const more = await packed(partId, { quantity: 3 })
    await expect(consignmentSend(by(), { consignmentId: more.consignmentId })).rejects.toMatchObject({
      code: 'stock/only-expired',
    })
    await consignmentDrop(by(), { consignmentId: more.consignmentId })
    const spoiled = await packed(partId, { quantity: 2, code: 'L22' })
    await consignmentSend(by(), { consignmentId: spoiled.consignmentId })
    expect(await inBin(partId, barn)).toEqual({ L24: 1 })
  })

  test('is the one that was chosen, and the rest of the line goes by the day', async () => {
    const partId = await threeBatches(2)
    const { consignmentId } = await packed(partId, { quantity: 1, code: 'L24' }, { quantity: 2 })
    await consignmentSend(by(), { consignmentId })
    expect(await inBin(partId, barn)).toEqual({ L22: 2, L24: 1 })
    const { lots } = (await consignmentRead(consignmentId)).lines[0]!
    expect(lots.map(({ says, quantity }) => [says, quantity])).toEqual([
      ['L23, use by 2027-03-31', 2],
      ['L24, use by 2027-09-30', 1],
    ])
  })

  test('cannot be chosen beyond what lies there, nor of another part', async () => {
    const [partId, other] = [await threeBatches(2), await threeBatches(1)]
    await expect(packed(partId, { quantity: 3, code: 'L24' })).rejects.toMatchObject({ code: 'stock/batch-not-there' })
    await expect(packed(partId, { quantity: 1, code: 'L24' }, { quantity: 2, code: 'L24' })).rejects.toMatchObject({
      code: 'stock/batch-not-there',
    })
    const { consignmentId } = await consignmentPack(by(), stores)
    const foreign = { consignmentId, partId, fromBinId: barn, quantity: 1, batchId: await idOf(other, 'L24') }
    await expect(consignmentLine(by(), foreign)).rejects.toMatchObject({ code: 'stock/unknown-batch' })
  })

  test('arrives as what was sent, though another box on the way holds an earlier one of the same part', async () => {
    const partId = await threeBatches(3)
    const late = await packed(partId, { quantity: 3, code: 'L24' })
    const early = await packed(partId, { quantity: 3, code: 'L23' })
    for (const { consignmentId } of [late, early]) await consignmentSend(by(), { consignmentId })
    const { consignmentId, lineId } = late
    await consignmentArrive(by(), { consignmentId, lines: [{ lineId, binId: van, quantity: 2 }] })
    expect(await inBin(partId, van)).toEqual({ L24: 2 })
    await consignmentLost(by(), { lineId, quantity: 1, reason: 'cartridge burst' })
    await consignmentArrive(by(), {
      consignmentId: early.consignmentId,
      lines: [{ lineId: early.lineId, binId: van, quantity: 3 }],
    })
    expect(await inBin(partId, van)).toEqual({ L23: 3, L24: 2 })
    for (const { faults } of await shelfChecks()) expect(faults).toEqual([])
  })
})
