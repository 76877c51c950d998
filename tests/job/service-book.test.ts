import { expect, test } from 'vitest'
import { serviceBookCost } from '../../lib/job/service-book.ts'

const entry = (day: string, partsCostMinor: number, currency = 'GBP') => ({
  writtenAt: new Date(`${day}T10:00:00Z`),
  content: { partsCostMinor, currency },
})

test('a machine has cost what the jobs of its service book since that day took in parts, a sum a currency', () => {
  const from = new Date('2025-03-01T10:00:00Z')
  const book = [
    entry('2025-02-28', 99_00),
    entry('2025-03-01', 12_50),
    entry('2025-07-12', 7_25),
    // A correction, or a job that only greased: nothing was fitted.
    entry('2025-07-13', 0),
    entry('2025-08-02', 40_00, 'EUR'),
  ]
  expect(serviceBookCost(book, from)).toEqual([
    { currency: 'GBP', minor: 19_75, jobs: 2 },
    { currency: 'EUR', minor: 40_00, jobs: 1 },
  ])
  expect(serviceBookCost([], from)).toEqual([])
})
