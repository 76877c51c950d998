import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { countApprove, countSendBack, countsWaiting } from '../../lib/db/count-approve.ts'
import { countSettings, countSettingsSave } from '../../lib/db/count-settings.ts'
import { countSheetOfBin, countSheetSave } from '../../lib/db/count-sheet.ts'
import { stockCount, stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { countsVerify } from '../../lib/db/verify-counts.ts'
import { COUNT_SETTINGS } from '../../lib/stock/count-settings.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell: string
let marit: string
beforeAll(async () => {
  nell = await aPerson('Nell Arkwood')
  marit = await aPerson('Marit Quillbeck')
  await database().personRole.create({ data: { personId: marit, role: 'manager' } })
})

/** 100 pieces at 10.00 in a bin of their own. */
async function lies() {
  const [binId, partId] = [await aBin(), await aPart({ costMinor: 1000 })]
  await stockReceive(asWriter(nell), { partId, binId, quantity: 100, costMinor: 1000 })
  return { binId, partId }
}
async function count({ binId, partId }: { binId: number; partId: number }, counted: number, by = nell) {
  const { asOf } = await countSheetOfBin(binId)
  const line = { binId, partId, counted, asOf, cutId: null, reasonCode: 'lost' as const, words: '' }
  return (await countSheetSave(asWriter(by), [line]))[0]!.state
}
const onHand = async ({ binId, partId }: { binId: number; partId: number }) =>
  (await database().balance.findUniqueOrThrow({ where: { partId_binId: { partId, binId } } })).quantity
const waitingOf = async ({ partId }: { partId: number }) =>
  (await countsWaiting()).find((one) => one.partId === partId)!

describe('a difference above the limit of value', () => {
  test('waits after the second count, books nothing, and is booked by whoever may approve, with what moved since', async () => {
    const place = await lies()
    expect(await count(place, 79)).toBe('recount')
    expect(await count(place, 79)).toBe('waiting')
    expect(await onHand(place)).toBe(100)
    const line = await waitingOf(place)
    expect(line).toMatchObject({ books: 100, counted: 79, valueMinor: -21_000, round: 2, person: 'Nell Arkwood' })
    await stockIssue(asWriter(nell), { ...place, quantity: 5, reason: 'yard gate' })
    await countApprove(asWriter(marit), { lineId: line.id, words: 'seen it' })
    expect(await onHand(place)).toBe(74)
    expect(await database().countLine.findUnique({ where: { id: line.id } })).toMatchObject({
      state: 'booked',
      personId: nell,
      decidedById: marit,
      decidedWords: 'seen it',
    })
    await expect(countApprove(asWriter(marit), { lineId: line.id, words: '' })).rejects.toMatchObject({
      code: 'stock/count-not-waiting',
    })
    expect(await countsVerify()).toEqual([])
  })

  test('is 200.00 itself still booked at once', async () => {
    const place = await lies()
    await count(place, 80)
    expect(await count(place, 80)).toBe('booked')
  })

  test('sent back, it is counted again; both are kept', async () => {
    const place = await lies()
    await count(place, 70)
    await count(place, 70)
    const line = await waitingOf(place)
    await countSendBack(asWriter(marit), { lineId: line.id, words: 'look behind the rack' })
    expect(await onHand(place)).toBe(100)
    expect((await countSheetOfBin(place.binId)).bins[0]!.lines).toMatchObject([{ asks: 'sent-back' }])
    expect(await count(place, 100)).toBe('right')
    expect(await database().countLine.findMany({ where: place, orderBy: { id: 'asc' } })).toMatchObject([
      { state: 'recount' },
      { state: 'sent-back', decidedById: marit, decidedWords: 'look behind the rack' },
      { state: 'right', round: 3 },
    ])
    expect(await countsVerify()).toEqual([])
  })

  test('is not approved by whoever counted it, while somebody else may', async () => {
    const place = await lies()
    await count(place, 60, marit)
    await count(place, 60, marit)
    const { id: lineId } = await waitingOf(place)
    await expect(countApprove(asWriter(nell), { lineId, words: '' })).resolves.toBeTruthy()
    const other = await lies()
    const sam = await aPerson('Sam Lutterby')
    await database().personRole.create({ data: { personId: sam, role: 'manager' } })
    await count(other, 60, marit)
    await count(other, 60, marit)
    const line = await waitingOf(other)
    await expect(countApprove(asWriter(marit), { lineId: line.id, words: '' })).rejects.toMatchObject({
      code: 'stock/count-own',
      next: expect.stringContaining('Sam Lutterby'),
    })
    await database().person.update({ where: { id: sam }, data: { active: false } })
    await expect(countApprove(asWriter(marit), { lineId: line.id, words: '' })).resolves.toBeTruthy()
  })

  test('is not booked twice when another count of it was booked meanwhile', async () => {
    const place = await lies()
    await count(place, 50)
    await count(place, 50)
    const line = await waitingOf(place)
    await countSettingsSave(asWriter(marit), { ...COUNT_SETTINGS, approveMinor: 90_000 })
    await count(place, 50)
    expect(await count(place, 50)).toBe('booked')
    await countSettingsSave(asWriter(marit), COUNT_SETTINGS)
    await expect(countApprove(asWriter(marit), { lineId: line.id, words: '' })).rejects.toMatchObject({
      code: 'stock/count-overtaken',
    })
    expect(await onHand(place)).toBe(50)
  })

  test('cannot be booked in one step past the sheet', async () => {
    const place = await lies()
    const input = { ...place, expected: 100, counted: 79, reason: 'gone' }
    await expect(stockCount(asWriter(nell), input)).rejects.toMatchObject({ code: 'stock/count-for-approval' })
    await expect(stockCount(asWriter(nell), { ...input, counted: 80 })).resolves.toMatchObject({ balanceAfter: 80 })
    await expect(stockCount(asWriter(nell), { ...input, expected: 80, counted: 80 })).resolves.toMatchObject({
      movementId: null,
    })
    expect(await database().countLine.findMany({ where: place, orderBy: { id: 'asc' } })).toMatchObject([
      { state: 'booked', counted: 80, words: 'gone' },
      { state: 'right', counted: 80 },
    ])
    expect(await countsVerify()).toEqual([])
  })
})

test('where the workshop wants it so, the second count is by somebody else', async () => {
  await countSettingsSave(asWriter(marit), { ...COUNT_SETTINGS, recountByOther: true })
  expect(await countSettings()).toMatchObject({ recountByOther: true, timesA: 4 })
  const place = await lies()
  expect(await count(place, 85)).toBe('recount')
  expect(await count(place, 85)).toBe('refused')
  expect(await count(place, 85, marit)).toBe('booked')
  await countSettingsSave(asWriter(marit), COUNT_SETTINGS)
})
