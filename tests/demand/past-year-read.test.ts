import { beforeAll, expect, test } from 'vitest'
import { supersessionPlace } from '../../lib/db/part.ts'
import { pastYearFacts } from '../../lib/db/past-year-read.ts'
import { stockIssue, stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { leadMonths } from '../../lib/demand/past-year.ts'
import { takenIn } from '../../lib/demand/told.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let nell = ''
let binId = 0
const on = (day: string) => asWriter(nell, { now: new Date(`${day}T09:00:00Z`) })

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  binId = await aBin('A1-03', 'Long barn')
})

test('the year of the shelf: what was replaced counts for the part of today, what was never taken stands apart', async () => {
  const machineId = await aMachine()
  const [old, now, idle] = [await aPart(), await aPart(), await aPart()]
  await stockReceive(on('2025-01-05'), { partId: old, binId, quantity: 8, costMinor: 300 })
  await stockReceive(on('2025-01-05'), { partId: idle, binId, quantity: 5 })
  await stockIssue(on('2025-02-10'), { partId: old, binId, quantity: 3, machineId })
  // One of the old takes two of the new.
  await inTransaction((tx) =>
    supersessionPlace(tx, new Date('2025-06-01T00:00:00Z'), {
      oldPartId: old,
      newPartId: now,
      ratio: 2,
      interchange: 'one-way',
    }),
  )
  await stockReceive(on('2025-07-01'), { partId: now, binId, quantity: 4, costMinor: 250 })
  await stockIssue(on('2025-08-31'), { partId: now, binId, quantity: 1, machineId })
  const { months, parts, neverTaken } = await pastYearFacts('2026-02-03', new Date('2026-02-03T09:00:00Z'))
  expect([months[0], months.at(-1)]).toEqual(['2025-02', '2026-01'])
  expect(neverTaken).toBe(1)
  expect(parts.map(({ id }) => id)).toEqual([String(now)])
  const [part] = parts
  expect(part!.months.map((month) => takenIn(month))).toEqual([0, 6, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0])
  // Five of the old are ten of the new; then four more, less the one taken on the last day of August.
  expect(part!.onHand).toEqual([10, 10, 10, 10, 10, 14, 13, 13, 13, 13, 13, 13])
  expect(part).toMatchObject({ price: 250, kept: null, exposure: null, leadMonths: 0 })
})

test('lead times are whole months, as near as they come', () => {
  expect([3, 14, 16, 45, 46, 75].map(leadMonths)).toEqual([0, 0, 1, 1, 2, 2])
})
