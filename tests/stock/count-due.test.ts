import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { countDue, DUE_SHEET_LINES, partUses } from '../../lib/db/count-due.ts'
import { countsAccuracy, countsKept, countsOpen } from '../../lib/db/count-kept.ts'
import { countSheetOfDue, countSheetSave } from '../../lib/db/count-sheet.ts'
import { stockIssue, stockReceive, stockReverse } from '../../lib/db/stock.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let nell: string
beforeAll(async () => {
  nell = await aPerson('Nell Arkwood')
})

const on = (day: string) => asWriter(nell, { now: new Date(`${day}T08:00:00Z`) })
const NOW = new Date('2026-11-20T08:00:00Z')

/** A part that came into the bin on a day, so many at so much. */
async function came(day: string, binId: number, quantity: number, costMinor: number) {
  const partId = await aPart({ costMinor })
  await stockReceive(on(day), { partId, binId, quantity, costMinor })
  return partId
}
const storeOf = async (binId: number) => (await database().bin.findUniqueOrThrow({ where: { id: binId } })).storeId
const dueIn = async (binId: number) => {
  const storeId = await storeOf(binId)
  return (await countDue(NOW)).stores.find((one) => one.id === storeId)!
}
async function count(day: string, binId: number, partId: number, counted: number) {
  const asOf = (await database().movement.aggregate({ _max: { id: true } }))._max.id!
  await countSheetSave(on(day), [{ binId, partId, counted, asOf, cutId: null, reasonCode: 'lost', words: '' }])
}

describe('what is due to be counted', () => {
  test('use is what was taken less what came back and less what was put right, at cost, over twelve months', async () => {
    const binId = await aBin('U-1', 'Use barn')
    const partId = await came('2025-06-01', binId, 50, 300)
    await stockIssue(on('2025-11-19'), { partId, binId, quantity: 9, reason: 'too long ago' })
    await stockIssue(on('2025-12-01'), { partId, binId, quantity: 7, reason: 'yard' })
    const { movementId } = await stockIssue(on('2026-03-01'), { partId, binId, quantity: 4, reason: 'wrong part' })
    await stockReverse(on('2026-03-01'), { movementId, reason: 'wrong part' })
    await stockIssue(on('2026-10-01'), { partId, binId, quantity: 2, reason: 'yard' })
    expect((await partUses(NOW)).get(partId)).toBe(9 * 300)
  })

  test('a dear part that moves is due four times a year, a cheap one once; counted, it waits for its next turn', async () => {
    const binId = await aBin('D-1', 'Due barn')
    const dear = await came('2026-06-01', binId, 900, 90_000)
    await stockIssue(on('2026-07-01'), { partId: dear, binId, quantity: 600, reason: 'season' })
    const idle = await came('2026-06-01', binId, 10, 5)
    expect((await dueIn(binId)).lines).toMatchObject([{ partId: dear, abc: 'A', lastAt: null }])
    expect((await dueIn(binId)).all).toBe(2)
    // 91 days before the 20th of November is the 21st of August.
    await count('2026-08-22', binId, dear, 300)
    expect((await dueIn(binId)).lines).toEqual([])
    const later = (await countDue(new Date('2026-11-21T08:00:00Z'))).stores.find(({ name }) => name === 'Due barn')!
    expect(later.lines).toMatchObject([{ partId: dear, lastAt: new Date('2026-08-22T08:00:00Z') }])
    const nextSummer = (await countDue(new Date('2027-06-02T08:00:00Z'))).stores.find(
      ({ name }) => name === 'Due barn',
    )!
    expect(nextSummer.lines.map(({ partId }) => partId)).toEqual([dear, idle])
  })

  test('a sheet takes the longest overdue of one store and walks them in the order of the bins', async () => {
    const [near, far] = [await aBin('W-1', 'Walk barn'), await aBin('W-2', 'Walk barn')]
    const young = await came('2025-06-01', near, 5, 10)
    const old: number[] = []
    for (let part = 0; part < DUE_SHEET_LINES - 1; part++) old.push(await came('2024-01-10', far, 5, 10))
    const middle = await came('2025-01-10', near, 5, 10)
    const sheet = (await countSheetOfDue(await storeOf(near), NOW))!
    expect(sheet.bins.map(({ code, lines }) => [code, lines.length])).toEqual([
      ['W-1', 1],
      ['W-2', DUE_SHEET_LINES - 1],
    ])
    expect(sheet.bins[0]!.lines).toMatchObject([{ partId: middle }])
    expect((await dueIn(near)).due).toBe(DUE_SHEET_LINES + 1)
    // Once those are counted, the youngest is what is left.
    for (const partId of old) await count('2026-11-19', far, partId, 5)
    await count('2026-11-19', near, middle, 5)
    expect((await countSheetOfDue(await storeOf(near), NOW))!.bins).toMatchObject([{ lines: [{ partId: young }] }])
  })

  test('bins out of use, and goods between two stores, are not counted', async () => {
    const [closed, between] = [await aBin('X-1', 'Closed barn'), await aBin('X-2', 'Closed barn')]
    await came('2024-01-10', closed, 5, 10)
    await came('2024-01-10', between, 5, 10)
    await database().bin.update({ where: { id: closed }, data: { closedAt: NOW } })
    await database().bin.update({ where: { id: between }, data: { kind: 'on-the-way' } })
    expect((await countDue(NOW)).stores.some(({ name }) => name === 'Closed barn')).toBe(false)
  })
})

test('kept counts do not tell the books of a bin that is still to be counted again', async () => {
  const binId = await aBin('K-1', 'Kept barn')
  const partId = await came('2026-11-01', binId, 40, 10)
  await count('2026-11-10', binId, partId, 20)
  expect((await countsOpen()).filter((line) => line.binId === binId)).toMatchObject([
    { state: 'recount', counted: 20, books: null, person: 'Nell Arkwood' },
  ])
  await count('2026-11-10', binId, partId, 20)
  expect((await countsOpen()).filter((line) => line.binId === binId)).toEqual([])
  const { rows } = await countsKept(null)
  expect(rows.filter((line) => line.binId === binId)).toMatchObject([
    { state: 'booked', round: 2, books: 40, reason: 'Lost, cannot be found' },
    { state: 'recount', round: 1, books: 40 },
  ])
  // A second count makes no month better: only the first one tells how right the books were.
  const november = (await countsAccuracy(NOW)).find(({ month }) => month === '2026-11')!
  expect(november.lines - november.right).toBe(1)
})
