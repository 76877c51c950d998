import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { stockIssue, stockReceive, stockReverse, stockTransfer } from '../../lib/db/stock.ts'
import { partsWorthOn, stockMonths, stockValueOn } from '../../lib/db/stock-value.ts'
import { randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { fifoLayers } from '../../lib/value/fifo.ts'
import { monthsTo, monthValues, valueLines } from '../../lib/value/summary.ts'
import { WorkshopRun } from '../simulation/workshop-run.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let nell = ''
const on = (day: string, more: object = {}) => asWriter(nell, { now: new Date(`${day}T09:00:00Z`), ...more })
const BEFORE = '2025-12-31'
const AFTER = '2026-12-31'

beforeAll(async () => {
  await database().$queryRawUnsafe('PRAGMA journal_mode=WAL')
  nell = await aPerson('Nell Farrow')
  const [barn, van] = [await aBin('A-1', 'Long barn'), await aBin('V-1', 'Van one')]
  const [shoe, oil] = [
    await aPart({ partClass: 'brake-shoe', number: 'TX-9001' }),
    await aPart({ partClass: 'other', unit: 'litre', number: 'TX-9002' }),
  ]
  await stockReceive(on('2026-01-10'), { partId: shoe, binId: barn, quantity: 4, costMinor: 1000 })
  await stockReceive(on('2026-02-10'), { partId: shoe, binId: barn, quantity: 4, costMinor: 2000 })
  await stockIssue(on('2026-02-11'), { partId: shoe, binId: barn, quantity: 3, reason: 'yard use' })
  await stockTransfer(on('2026-03-01'), { partId: shoe, fromBinId: barn, toBinId: van, quantity: 2 })
  const wrong = await stockReceive(on('2026-03-02'), { partId: oil, binId: van, quantity: 2500, costMinor: 801 })
  await stockReverse(on('2026-04-02'), { movementId: wrong.movementId, reason: 'not ours' })
}, 60_000)

const total = (cells: readonly { valueMinor: number }[]) => cells.reduce((sum, cell) => sum + cell.valueMinor, 0)

describe('what the stock was worth on a past day', () => {
  test('follows the ledger by moving average: nothing before the first delivery, then each day its own', async () => {
    expect(await stockValueOn(BEFORE, 'moving-average')).toEqual([])
    expect(total(await stockValueOn('2026-01-09', 'moving-average'))).toBe(0)
    expect(total(await stockValueOn('2026-01-10', 'moving-average'))).toBe(4000)
    // 8 for 120.00, 3 taken at 15.00.
    expect(total(await stockValueOn('2026-02-11', 'moving-average'))).toBe(7500)
    // 2.5 l at 8.01 a litre are there for a month.
    expect(total(await stockValueOn('2026-03-31', 'moving-average'))).toBe(7500 + 2003)
    expect(total(await stockValueOn('2026-04-02', 'moving-average'))).toBe(7500)
  })

  test('by first in, first out the dearer ones are left', async () => {
    // 4 at 10.00 and 4 at 20.00, 3 of the first taken: 10.00 and 80.00 are left.
    expect(total(await stockValueOn('2026-02-11', 'fifo'))).toBe(9000)
    expect(total(await stockValueOn('2026-03-31', 'fifo'))).toBe(9000 + 2003)
    expect(total(await stockValueOn(AFTER, 'fifo'))).toBe(9000)
  })

  test('stands where the pieces lay that day, and moving them to the van moves their share', async () => {
    expect(await stockValueOn('2026-02-28', 'moving-average')).toEqual([
      { store: 'Long barn', partClass: 'brake-shoe', valueMinor: 7500 },
    ])
    const cells = await stockValueOn('2026-03-01', 'moving-average')
    expect(valueLines('store', cells, null)).toEqual([
      { name: 'Long barn', valueMinor: 4500, beforeMinor: null },
      { name: 'Van one', valueMinor: 3000, beforeMinor: null },
    ])
  })

  test('part by part it is the same sum, with what lay there', async () => {
    const rows = await partsWorthOn('2026-03-31', 'moving-average')
    expect(total(rows)).toBe(9503)
    expect(rows.filter((row) => row.number === 'TX-9002')).toMatchObject([
      { store: 'Van one', unit: 'litre', quantity: 2500, valueMinor: 2003 },
    ])
  })
})

describe('month by month', () => {
  test('opening and all that came and went are the closing, and the next month opens with it', async () => {
    const months = await stockMonths('2026-04-30', 4)
    expect(months.map(({ month, received, taken, closingMinor }) => [month, received, taken, closingMinor])).toEqual([
      ['2026-01', 4000, 0, 4000],
      ['2026-02', 8000, -4500, 7500],
      // A reversal counts with what it puts right, in its own month.
      ['2026-03', 2003, 0, 9503],
      ['2026-04', -2003, 0, 7500],
    ])
    expect((await stockMonths('2026-04-01', 2)).at(-1)!.closingMinor).toBe(9503)
  })

  test('months run over the turn of the year', () => {
    expect(monthsTo('2026-02-10', 3)).toEqual(['2025-12', '2026-01', '2026-02'])
    expect(monthsTo('2026-12-31', 1)).toEqual(['2026-12'])
  })

  test('what was counted and scrapped stands apart from what was taken', () => {
    const sums = [
      { month: '2026-05', kind: 'count-difference', valueMinor: -300 },
      { month: '2026-05', kind: 'scrap', valueMinor: -200 },
      { month: '2026-05', kind: 'return', valueMinor: 50 },
    ]
    expect(monthValues(1000, ['2026-05'], sums)).toEqual([
      {
        month: '2026-05',
        openingMinor: 1000,
        received: 0,
        taken: 50,
        counted: -300,
        scrapped: -200,
        closingMinor: 550,
      },
    ])
  })
})

test('two days side by side: a store that was emptied is still named', () => {
  const before = [
    { store: 'Van one', partClass: 'filter', valueMinor: 900 },
    { store: 'Long barn', partClass: 'filter', valueMinor: 100 },
  ]
  const now = [{ store: 'Long barn', partClass: 'filter', valueMinor: 1000 }]
  expect(valueLines('store', now, before)).toEqual([
    { name: 'Long barn', valueMinor: 1000, beforeMinor: 100 },
    { name: 'Van one', valueMinor: 0, beforeMinor: 900 },
  ])
})

test('in a random workshop every day by both methods reconciles to the minor unit with the ledger walked in plain words', async () => {
  const run = new WorkshopRun('valued')
  await run.open()
  await run.work(700)
  const parts = await database().part.findMany()
  const rows = await database().movement.findMany({ orderBy: { id: 'asc' } })
  // The run books a request a minute from 5 January 2026; the shelf above has days of its own later in the year.
  const random = randomSeeded('days to look at')
  const instants = rows.map((row) => row.at.toISOString())
  const days = new Set(['2026-01-05', '2026-02-20', AFTER])
  while (days.size < 6) days.add(instants[randomInteger(random, 0, instants.length - 1)]!.slice(0, 10))
  for (const day of days) {
    const ledger = rows.filter((row) => row.at.toISOString().slice(0, 10) <= day)
    const average = await partsWorthOn(day, 'moving-average')
    const fifo = await partsWorthOn(day, 'fifo')
    for (const { id, unit } of parts) {
      const own = ledger.filter((row) => row.partId === id).map((row) => ({ ...row, valueMinor: row.valueMinor ?? 0 }))
      const of = (all: typeof fifo) => total(all.filter((row) => row.partId === id))
      expect([day, id, of(average)]).toEqual([day, id, own.reduce((sum, row) => sum + row.valueMinor, 0)])
      const layers = fifoLayers(own, unit === 'each' ? 1 : 1000)
      expect([day, id, of(fifo)]).toEqual([day, id, total(layers)])
    }
    for (const [method, all] of [
      ['moving-average', average],
      ['fifo', fifo],
    ] as const)
      expect(total(await stockValueOn(day, method))).toBe(total(all))
    expect((await stockMonths(day, 12)).at(-1)!.closingMinor).toBe(total(average))
  }
}, 120_000)
