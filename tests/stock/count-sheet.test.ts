import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { countSheetOfBin, countSheetOfStore, countSheetSave } from '../../lib/db/count-sheet.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell: string
beforeAll(async () => {
  nell = await aPerson('Nell Arkwood')
})

async function lies(binId: number, quantity: number) {
  const partId = await aPart()
  await stockReceive(asWriter(nell), { partId, binId, quantity })
  return partId
}
const onHand = async (partId: number, binId: number) =>
  (await database().balance.findUnique({ where: { partId_binId: { partId, binId } } }))?.quantity
const counts = (binId: number) => database().movement.findMany({ where: { binId, kind: 'count-difference' } })

describe('a count sheet', () => {
  test('books each line by itself: right, put right with its reason, or sent back with what to do', async () => {
    const binId = await aBin()
    const [right, short, noReason, unread] = [
      await lies(binId, 4),
      await lies(binId, 5),
      await lies(binId, 6),
      await lies(binId, 7),
    ]
    const saved = await countSheetSave(asWriter(nell), [
      { binId, partId: right, expected: 4, counted: 4, reason: '' },
      { binId, partId: short, expected: 5, counted: 3, reason: 'two were broken' },
      { binId, partId: noReason, expected: 6, counted: 9, reason: '' },
      { binId, partId: unread, expected: 7, counted: null, reason: '' },
    ])
    expect(saved.map(({ state, code }) => [state, code])).toEqual([
      ['right', null],
      ['put-right', null],
      ['refused', 'stock/no-reason'],
      ['refused', 'input/invalid'],
    ])
    expect(await Promise.all([right, short, noReason, unread].map((partId) => onHand(partId, binId)))).toEqual([
      4, 3, 6, 7,
    ])
    expect((await counts(binId)).map(({ partId, quantity, reason }) => ({ partId, quantity, reason }))).toEqual([
      { partId: short, quantity: -2, reason: 'two were broken' },
    ])
  })

  test('a line that was overtaken is refused alone, and does not tell what the books say', async () => {
    const binId = await aBin()
    const [overtaken, other] = [await lies(binId, 8), await lies(binId, 2)]
    await stockIssue(asWriter(nell), { partId: overtaken, binId, quantity: 1, reason: 'yard gate' })
    const sheet = [
      { binId, partId: overtaken, expected: 8, counted: 8, reason: '' },
      { binId, partId: other, expected: 2, counted: 1, reason: 'one was bent' },
    ]
    const [first, second] = await countSheetSave(asWriter(nell), sheet)
    expect(first).toMatchObject({ state: 'refused', code: 'stock/moved-since' })
    expect(first!.says).not.toMatch(/\d/)
    expect(second).toMatchObject({ state: 'put-right' })
    expect([await onHand(overtaken, binId), await onHand(other, binId)]).toEqual([7, 1])
    // Counted again on a sheet made after the taking, the line goes through.
    const { bins } = await countSheetOfBin(binId)
    const line = bins[0]!.lines.find(({ partId }) => partId === overtaken)!
    const again = { binId, partId: overtaken, expected: line.expected, counted: 7, reason: '' }
    expect(await countSheetSave(asWriter(nell), [again])).toMatchObject([{ state: 'right' }])
  })

  test('sent twice under one key it books nothing twice', async () => {
    const binId = await aBin()
    const parts = [await lies(binId, 3), await lies(binId, 4)]
    const sheet = parts.map((partId, at) => ({ binId, partId, expected: 3 + at, counted: 1, reason: 'moths' }))
    const context = asWriter(nell)
    const first = await countSheetSave(context, sheet)
    expect(await countSheetSave(context, sheet)).toEqual(first)
    expect(await counts(binId)).toHaveLength(2)
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
    expect(two!.bins.map(({ code, lines }) => [code, lines[0]!.expected])).toEqual([['Z9', 5]])
    expect(two!.next).toBeNull()
    expect(await countSheetOfStore(empty.id + 999_999, 0)).toBeNull()
  })
})
