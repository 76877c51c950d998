import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { countSheetOfBin, countSheetOfStore, countSheetSave } from '../../lib/db/count-sheet.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { countsVerify } from '../../lib/db/verify-counts.ts'
import type { CountReason } from '../../lib/stock/count-reasons.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell: string
beforeAll(async () => {
  nell = await aPerson('Nell Arkwood')
})

async function lies(binId: number, quantity: number, costMinor = 0) {
  const partId = await aPart({ costMinor })
  await stockReceive(asWriter(nell), { partId, binId, quantity })
  return partId
}
const onHand = async (partId: number, binId: number) =>
  (await database().balance.findUnique({ where: { partId_binId: { partId, binId } } }))?.quantity
const booked = (binId: number) => database().movement.findMany({ where: { binId, kind: 'count-difference' } })
const kept = (binId: number) => database().countLine.findMany({ where: { binId }, orderBy: { id: 'asc' } })

interface Wish {
  asOf?: number
  cutId?: number
  reason?: CountReason
  words?: string
  by?: string
}

/** One line of a sheet that was opened now, or at `asOf`. */
async function line(binId: number, partId: number, counted: number | null, wish: Wish = {}) {
  const asOf = wish.asOf ?? (await countSheetOfBin(binId)).asOf
  const { cutId = null, reason: reasonCode = null, words = '' } = wish
  return { binId, partId, counted, asOf, cutId, reasonCode, words }
}
async function count(binId: number, partId: number, counted: number, wish: Wish = {}) {
  const [saved] = await countSheetSave(asWriter(wish.by ?? nell), [await line(binId, partId, counted, wish)])
  return saved!
}

describe('a count sheet', () => {
  test('keeps each line by itself: right, put right with its reason, asked for one, or sent back with what to do', async () => {
    const binId = await aBin()
    const [right, short, noReason, unread] = [
      await lies(binId, 40),
      await lies(binId, 50),
      await lies(binId, 60),
      await lies(binId, 70),
    ]
    const saved = await countSheetSave(asWriter(nell), [
      await line(binId, right, 40),
      await line(binId, short, 48, { reason: 'broken' }),
      await line(binId, noReason, 59),
      await line(binId, unread, null),
    ])
    expect(saved.map(({ state }) => state)).toEqual(['right', 'booked', 'reason', 'refused'])
    expect(await Promise.all([right, short, noReason, unread].map((partId) => onHand(partId, binId)))).toEqual([
      40, 48, 60, 70,
    ])
    expect((await booked(binId)).map(({ partId, quantity, reason }) => ({ partId, quantity, reason }))).toEqual([
      { partId: short, quantity: -2, reason: 'Broken or spoiled' },
    ])
    // The count that agreed is kept like the others; what could not be read is no count.
    expect((await kept(binId)).map(({ partId, books, counted, state }) => [partId, books, counted, state])).toEqual([
      [right, 40, 40, 'right'],
      [short, 50, 48, 'booked'],
      [noReason, 60, 59, 'reason'],
    ])
    expect(await countsVerify()).toEqual([])
  })

  test('the reason that was missing goes to the count it belongs to; "something else" is none without words', async () => {
    const binId = await aBin()
    const partId = await lies(binId, 60)
    expect(await count(binId, partId, 57)).toMatchObject({ state: 'reason' })
    expect(await count(binId, partId, 57, { reason: 'other' })).toMatchObject({ state: 'reason' })
    expect(await count(binId, partId, 57, { reason: 'other', words: 'mice' })).toMatchObject({ state: 'booked' })
    expect(await kept(binId)).toMatchObject([{ round: 1, state: 'booked', counted: 57 }])
    expect(await booked(binId)).toMatchObject([{ quantity: -3, reason: 'mice' }])
  })

  test('a large difference is counted again, and booked when both counts find it', async () => {
    const binId = await aBin()
    const partId = await lies(binId, 20)
    expect(await count(binId, partId, 12, { reason: 'lost' })).toMatchObject({ state: 'recount' })
    expect(await booked(binId)).toEqual([])
    expect((await countSheetOfBin(binId)).bins[0]!.lines).toMatchObject([{ asks: 'recount' }])
    expect(await count(binId, partId, 13, { reason: 'lost' })).toMatchObject({ state: 'recount' })
    // Between the counts two were taken: the difference stays what it was.
    await stockIssue(asWriter(nell), { partId, binId, quantity: 2, reason: 'yard gate' })
    expect(await count(binId, partId, 11, { reason: 'lost' })).toMatchObject({ state: 'booked' })
    expect(await kept(binId)).toMatchObject([
      { round: 1, state: 'recount', counted: 12 },
      { round: 2, state: 'recount', counted: 13 },
      { round: 3, state: 'booked', counted: 11, books: 18 },
    ])
    expect(await onHand(partId, binId)).toBe(11)
    expect((await countSheetOfBin(binId)).bins[0]!.lines).toMatchObject([{ asks: null }])
    expect(await countsVerify()).toEqual([])
  })

  test('what moved while a bin was open is shown on its line alone, and the person says where in between they counted', async () => {
    const binId = await aBin()
    const [overtaken, other] = [await lies(binId, 80), await lies(binId, 30)]
    const { asOf } = await countSheetOfBin(binId)
    const { movementId } = await stockIssue(asWriter(nell), { partId: overtaken, binId, quantity: 10, reason: 'yard' })
    await stockReceive(asWriter(nell), { partId: overtaken, binId, quantity: 4 })
    const [first, second] = await countSheetSave(asWriter(nell), [
      await line(binId, overtaken, 70, { asOf }),
      await line(binId, other, 29, { asOf, reason: 'broken' }),
    ])
    expect(first).toMatchObject({ state: 'moved' })
    expect(first!.moved.map(({ says }) => says)).toEqual(['Taken 10, Nell Arkwood', 'Received 4, Nell Arkwood'])
    expect(second).toMatchObject({ state: 'booked' })
    expect(await kept(binId)).toHaveLength(1)
    // Counted between the taking and the delivery, 70 is right; the books are left at what they say now.
    expect(await count(binId, overtaken, 70, { asOf, cutId: movementId })).toMatchObject({ state: 'right' })
    expect(await onHand(overtaken, binId)).toBe(74)
    // Counted before both, it would have been ten short.
    expect(await count(binId, overtaken, 70, { asOf, cutId: asOf, reason: 'lost' })).toMatchObject({ state: 'recount' })
    expect(await countsVerify()).toEqual([])
  })

  test('two people who count the same bin at the same time find the same difference, and it is booked once', async () => {
    const binId = await aBin()
    const partId = await lies(binId, 90)
    const { asOf } = await countSheetOfBin(binId)
    expect(await count(binId, partId, 86, { asOf, reason: 'lost' })).toMatchObject({ state: 'booked' })
    expect(await count(binId, partId, 86, { asOf, reason: 'lost' })).toMatchObject({ state: 'right' })
    expect(await onHand(partId, binId)).toBe(86)
    expect(await countsVerify()).toEqual([])
  })

  test('no more can have gone since than was counted: such a count is refused', async () => {
    const binId = await aBin()
    const partId = await lies(binId, 9)
    const { asOf } = await countSheetOfBin(binId)
    await stockIssue(asWriter(nell), { partId, binId, quantity: 6, reason: 'yard' })
    const saved = await count(binId, partId, 5, { asOf, cutId: asOf, reason: 'lost' })
    expect(saved).toMatchObject({ state: 'refused' })
    expect(saved.says).not.toMatch(/\d/)
    expect(await onHand(partId, binId)).toBe(3)
    expect(await kept(binId)).toEqual([])
  })

  test('sent twice under one key it counts nothing twice', async () => {
    const binId = await aBin()
    const parts = [await lies(binId, 30), await lies(binId, 40)]
    const sheet = [
      await line(binId, parts[0]!, 29, { reason: 'broken' }),
      await line(binId, parts[1]!, 39, { reason: 'broken' }),
    ]
    const context = asWriter(nell)
    const first = await countSheetSave(context, sheet)
    expect(await countSheetSave(context, sheet)).toEqual(first)
    expect(await booked(binId)).toHaveLength(2)
    expect(await kept(binId)).toHaveLength(2)
  })

  test('what was counted is never changed and never taken away', async () => {
    const binId = await aBin()
    const partId = await lies(binId, 30)
    await count(binId, partId, 30)
    const [{ id } = { id: 0 }] = await kept(binId)
    await expect(database().countLine.update({ where: { id }, data: { counted: 31 } })).rejects.toThrow()
    await expect(database().countLine.update({ where: { id }, data: { state: 'recount' } })).rejects.toThrow()
    await expect(database().countLine.delete({ where: { id } })).rejects.toThrow()
    expect(await kept(binId)).toMatchObject([{ counted: 30, state: 'right' }])
  })

  test('of a store follows the walk, passes by bins in which nothing lay, and goes on where it ended', async () => {
    const store = await database().store.create({ data: { name: 'Press house', nameKey: 'press house' } })
    const bin = (code: string, walkOrder: number) =>
      database().bin.create({ data: { code, codeKey: code.toLowerCase(), walkOrder, storeId: store.id } })
    const [last, first, empty] = [await bin('Z9', 3), await bin('Q1', 1), await bin('E5', 2)]
    for (let part = 0; part < 61; part++) await lies(first.id, 1)
    await lies(last.id, 5)
    const one = await countSheetOfStore(store.id, 0)
    expect(one!.bins.map(({ code }) => code)).toEqual(['Q1'])
    expect(one!.bins[0]!.lines).toHaveLength(61)
    const two = await countSheetOfStore(store.id, one!.next!)
    expect(two!.bins.map(({ code, lines }) => [code, lines.length])).toEqual([['Z9', 1]])
    expect(two!.next).toBeNull()
    expect(await countSheetOfStore(empty.id + 999_999, 0)).toBeNull()
  })
})
