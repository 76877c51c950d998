import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import {
  consignmentArrive,
  consignmentDrop,
  consignmentLine,
  consignmentLineOff,
  consignmentLost,
  consignmentPack,
  consignmentSend,
} from '../../lib/db/consignment.ts'
import { consignmentRead, consignmentsList } from '../../lib/db/consignment-read.ts'
import { partStock } from '../../lib/db/part.ts'
import { partBinSet } from '../../lib/db/place.ts'
import { binsList } from '../../lib/db/shelf.ts'
import { stockCount, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { ConsignmentArriveForm, ConsignmentPackInput } from '../../lib/stock/consignment-schema.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let keeper = ''
let barn = { storeId: 0, bin: 0, second: 0 }
let van = { storeId: 0, bin: 0 }
beforeAll(async () => {
  keeper = await aPerson('Ivo Plumtree')
  const storeOf = async (id: number) => (await database().bin.findUniqueOrThrow({ where: { id } })).storeId
  const [bin, second] = [await aBin('A1-03', 'Long barn'), await aBin('A1-04', 'Long barn')]
  const vanBin = await aBin('V-2', 'Field van')
  barn = { storeId: await storeOf(bin), bin, second }
  van = { storeId: await storeOf(vanBin), bin: vanBin }
})

/** A sent consignment of `quantity` from the barn to the van, from a fresh part with `there` on hand. */
async function sent(there: number, quantity: number) {
  const partId = await aPart()
  await stockReceive(asWriter(keeper), { partId, binId: barn.bin, quantity: there })
  const { consignmentId } = await consignmentPack(asWriter(keeper), {
    fromStoreId: barn.storeId,
    toStoreId: van.storeId,
  })
  await consignmentLine(asWriter(keeper), { consignmentId, partId, fromBinId: barn.bin, quantity })
  await consignmentSend(asWriter(keeper), { consignmentId })
  const line = (await consignmentRead(consignmentId)).lines[0]!
  return { partId, consignmentId, lineId: line.id }
}
const onHand = async (partId: number) => (await partStock(database(), [partId])).get(partId)!.onHand
const inBin = async (partId: number, binId: number) =>
  (await database().balance.findUnique({ where: { partId_binId: { partId, binId } } }))?.quantity ?? 0
const wayBin = async () =>
  (await database().bin.findFirstOrThrow({ where: { storeId: van.storeId, kind: 'on-the-way' } })).id

describe('packing', () => {
  test('moves nothing; more of the same is added, a line is taken out, and all of it can be given up', async () => {
    const partId = await aPart()
    await stockReceive(asWriter(keeper), { partId, binId: barn.bin, quantity: 9 })
    const { consignmentId } = await consignmentPack(asWriter(keeper), {
      fromStoreId: barn.storeId,
      toStoreId: van.storeId,
    })
    const line = { consignmentId, partId, fromBinId: barn.bin, quantity: 2 }
    await consignmentLine(asWriter(keeper), line)
    expect(await consignmentLine(asWriter(keeper), { ...line, quantity: 3 })).toEqual({ quantity: 5 })
    await expect(consignmentLine(asWriter(keeper), { ...line, fromBinId: van.bin })).rejects.toMatchObject({
      code: 'consignment/other-store',
    })
    expect(await onHand(partId)).toBe(9)
    expect(await consignmentRead(consignmentId)).toMatchObject({ state: 'packing', lines: [{ sent: 5, open: 0 }] })
    await consignmentLineOff(asWriter(keeper), { lineId: (await consignmentRead(consignmentId)).lines[0]!.id })
    await expect(consignmentSend(asWriter(keeper), { consignmentId })).rejects.toMatchObject({
      code: 'consignment/empty',
    })
    await consignmentDrop(asWriter(keeper), { consignmentId })
    await expect(consignmentRead(consignmentId)).rejects.toMatchObject({ code: 'consignment/unknown' })
  })

  test('goes from one store to another one', () => {
    expect(ConsignmentPackInput.safeParse({ fromStoreId: 2, toStoreId: 2 }).success).toBe(false)
  })
})

describe('goods on the way', () => {
  test('are free for nobody, lie in a bin that nobody fills by hand, and cannot be sent twice', async () => {
    const { partId, consignmentId } = await sent(9, 4)
    expect(await onHand(partId)).toBe(5)
    expect(await inBin(partId, await wayBin())).toBe(4)
    expect((await binsList()).map((bin) => bin.id)).not.toContain(await wayBin())
    await expect(consignmentSend(asWriter(keeper), { consignmentId })).rejects.toMatchObject({
      code: 'consignment/sent',
    })
    const refused = { code: 'stock/on-the-way' }
    const way = await wayBin()
    await expect(
      stockTransfer(asWriter(keeper), { partId, fromBinId: way, toBinId: van.bin, quantity: 1 }),
    ).rejects.toMatchObject(refused)
    await expect(stockReceive(asWriter(keeper), { partId, binId: way, quantity: 1 })).rejects.toMatchObject(refused)
    await expect(
      stockCount(asWriter(keeper), { partId, binId: way, counted: 0, expected: 4, reason: 'not there' }),
    ).rejects.toMatchObject(refused)
    expect((await consignmentsList()).open.find((row) => row.id === consignmentId)).toMatchObject({
      from: 'Long barn',
      to: 'Field van',
      state: 'on-the-way',
      open: 1,
    })
  })

  test('more than lies there is not sent, and then nothing of the consignment is', async () => {
    await expect(sent(3, 4)).rejects.toMatchObject({ code: 'stock/not-enough' })
    const packed = (await consignmentsList()).open.find((row) => row.state === 'packing')!
    expect((await consignmentRead(packed.id)).sentAt).toBeNull()
  })

  test('arrive short: what is missing stays on the way until it comes or is said to be lost, with a reason', async () => {
    const { partId, consignmentId, lineId } = await sent(10, 6)
    const arrive = (quantity: number, binId = van.bin) =>
      consignmentArrive(asWriter(keeper), { consignmentId, lines: [{ lineId, binId, quantity }] })
    await expect(arrive(6, barn.bin)).rejects.toMatchObject({ code: 'consignment/other-store' })
    await expect(arrive(7)).rejects.toMatchObject({ code: 'consignment/more-than-sent' })
    expect(await arrive(3)).toEqual({ lines: 1, missing: 1 })
    expect(await onHand(partId)).toBe(7)
    await expect(arrive(4)).rejects.toMatchObject({ code: 'consignment/more-than-sent' })
    expect(await arrive(1)).toEqual({ lines: 1, missing: 1 })
    await expect(consignmentLost(asWriter(keeper), { lineId, quantity: 3, reason: 'fell off' })).rejects.toMatchObject({
      code: 'consignment/more-than-sent',
    })
    const { movementId } = await consignmentLost(asWriter(keeper), { lineId, quantity: 2, reason: 'box torn open' })
    expect(await consignmentRead(consignmentId)).toMatchObject({
      state: 'short',
      lines: [{ sent: 6, arrived: 4, lost: 2, open: 0, lostReason: 'box torn open' }],
    })
    expect(await inBin(partId, await wayBin())).toBe(0)
    expect(await inBin(partId, van.bin)).toBe(4)
    expect((await database().movement.findUniqueOrThrow({ where: { id: movementId } })).kind).toBe('scrap')
    // The consignment would no longer say what its bin holds.
    await expect(stockReverse(asWriter(keeper), { movementId, reason: 'found it' })).rejects.toMatchObject({
      code: 'stock/on-the-way',
    })
  })

  test('are proposed their fixed bin in the receiving store, and none of another store', async () => {
    const { partId, consignmentId } = await sent(4, 2)
    expect((await consignmentRead(consignmentId)).lines[0]!.into).toEqual([])
    await partBinSet(asWriter(keeper), { partId, binId: van.bin, kind: 'fixed' })
    await partBinSet(asWriter(keeper), { partId, binId: barn.second, kind: 'fixed' })
    expect((await consignmentRead(consignmentId)).lines[0]!.into).toEqual([{ binId: van.bin, why: 'fixed' }])
  })

  test('whatever arrives and is lost in whatever order, the workshop owns what it sent less what it lost', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1, max: 12 }),
        fc.array(fc.record({ quantity: fc.integer({ min: 1, max: 8 }), lost: fc.boolean() }), { maxLength: 5 }),
        async (quantity, steps) => {
          const { partId, consignmentId, lineId } = await sent(12, quantity)
          let [open, arrived, gone] = [quantity, 0, 0]
          for (const step of steps) {
            const run = step.lost
              ? consignmentLost(asWriter(keeper), { lineId, quantity: step.quantity, reason: 'not in the box' })
              : consignmentArrive(asWriter(keeper), {
                  consignmentId,
                  lines: [{ lineId, binId: van.bin, quantity: step.quantity }],
                })
            if (step.quantity > open) {
              await expect(run).rejects.toMatchObject({
                code: 'consignment/more-than-sent',
              })
              continue
            }
            await run
            open -= step.quantity
            if (step.lost) gone += step.quantity
            else arrived += step.quantity
          }
          expect(await inBin(partId, await wayBin())).toBe(open)
          expect(await inBin(partId, van.bin)).toBe(arrived)
          expect(await inBin(partId, barn.bin)).toBe(12 - quantity)
          expect(await onHand(partId)).toBe(12 - open - gone)
        },
      ),
      { numRuns: 12, seed: 20261127 },
    )
  }, 60_000)
})

test('the arrival form reads each line in the unit it was shown in, and a blank line did not arrive', () => {
  expect(
    ConsignmentArriveForm.parse({
      consignmentId: '4',
      'came.7': '250',
      'unit.7': 'millilitre',
      'bin.7': '3',
      'came.8': '0',
      'unit.8': 'each',
      'bin.8': '3',
    }),
  ).toEqual({ consignmentId: 4, lines: [{ lineId: 7, binId: 3, quantity: 250 }] })
  const noBin = ConsignmentArriveForm.safeParse({ consignmentId: '4', 'came.7': '2', 'unit.7': 'each' })
  expect(noBin.error?.issues[0]?.path).toEqual(['bin.7'])
})
