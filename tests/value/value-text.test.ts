import { expect, test } from 'vitest'
import { monthsCsv, worthCsv } from '../../lib/value/value-text.ts'

test('months as CSV: what went out is a number with a minus, not a text, and the row adds up', () => {
  const row = { month: '2026-05', openingMinor: 100_000, received: 2550, taken: -1275, counted: -5, scrapped: -70 }
  const [head, line] = monthsCsv([{ ...row, closingMinor: 101_200 }], 'GBP').split('\r\n')
  expect(head).toContain('month,opening,received,taken,counted,scrapped,closing,currency')
  expect(line).toBe('2026-05,1000.00,25.50,-12.75,-0.05,-0.70,1012.00,GBP')
  const [opening, ...moved] = line!.split(',').slice(1, 6).map(Number)
  expect(moved.reduce((sum, one) => sum + one, opening!)).toBeCloseTo(1012, 2)
})

test('parts as CSV: quantities in the stock unit, and a name that begins like a formula is kept a text', () => {
  const row = {
    number: '=TX-1',
    maker: 'Thornley & Pike',
    description: 'Oil, thin',
    partClass: 'other',
    unit: 'litre' as const,
    store: 'Long barn',
    quantity: 2500,
    valueMinor: 2003,
  }
  const [, line] = worthCsv([row], { day: '2026-03-31', method: 'fifo', currency: 'GBP' }).split('\r\n')
  expect(line).toBe(`2026-03-31,fifo,'=TX-1,Thornley & Pike,"Oil, thin",other,Long barn,2.5,litre,20.03,GBP`)
})
