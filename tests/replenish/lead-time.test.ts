import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type LeadObserved, leadBook, leadTime, leadTimeSays } from '../../lib/replenish/lead-time.ts'

/** Deliveries of one supplier: days by part. */
function came(byPart: Record<number, readonly number[]>): LeadObserved[] {
  return Object.entries(byPart).flatMap(([partId, days]) =>
    days.map((one) => ({ supplierId: 1, partId: Number(partId), days: one })),
  )
}

// Credibility estimate after Bühlmann & Gisler ch. 3 and 4 (from memory); the numbers are worked by hand beside each step.
describe('lead time of a part from a supplier', () => {
  test('is what the supplier says until something has come', () => {
    const lead = leadTime(leadBook([], 14), 7)
    expect(lead).toMatchObject({ meanDays: 14, from: 'stated', receipts: 0, plainDays: null, weight: 0 })
    // Three tenths of the mean: common practice, no source.
    expect(lead.sdDays).toBeCloseTo(4.2, 12)
    expect(leadTimeSays(lead)).toBe('14 days, mostly 10 to 18 (as the supplier says, too few deliveries yet)')
  })

  test('draws a part to the supplier as far as its parts are alike', () => {
    // Means 15, 25, 15 of 18 1/3; variance within 50; between (133 1/3 - 2 * 50) / (6 - 12 / 6) = 8 1/3; k = 50 / 8 1/3 = 6.
    const book = leadBook(came({ 1: [10, 20], 2: [20, 30], 3: [10, 20] }), 14)
    expect(book.weightOfSupplier).toBeCloseTo(6, 12)
    // (6 * 18 1/3 + 3 * 14) / 9
    expect(book.supplierDays).toBeCloseTo(152 / 9, 12)
    const lead = leadTime(book, 2)
    // Z = 2 / (2 + 6)
    expect(lead.weight).toBeCloseTo(0.25, 12)
    expect(lead.meanDays).toBeCloseTo(0.25 * 25 + 0.75 * (152 / 9), 12)
    // Within, pooled: (150 + 3 * 4.2^2) / (3 + 3) = 33.82; of the part: (50 + 6 * 33.82) / (1 + 6)
    expect(lead.sdDays).toBeCloseTo(Math.sqrt((50 + 6 * 33.82) / 7), 12)
    expect(leadTime(book, 99).meanDays).toBeCloseTo(152 / 9, 12)
    expect(leadTimeSays(leadTime(book, 99))).toContain('(6 deliveries of the supplier, 0 of them of this part)')
  })

  test('believes a part whose deliveries are unlike those of the others', () => {
    const unlike = leadTime(leadBook(came({ 1: [10, 11], 2: [40, 41], 3: [20, 21] }), 14), 2)
    const alike = leadTime(leadBook(came({ 1: [5, 41], 2: [40, 41], 3: [1, 41] }), 14), 2)
    expect(unlike.weight).toBeGreaterThan(alike.weight)
    expect(Math.abs(unlike.meanDays - 40.5)).toBeLessThan(Math.abs(alike.meanDays - 40.5))
  })

  test('comes to rest at what its deliveries took', () => {
    const lead = leadTime(
      leadBook(came({ 1: Array.from({ length: 400 }, (_, at) => (at % 2 === 0 ? 19 : 21)) }), 90),
      1,
    )
    expect(lead.meanDays).toBeCloseTo(20, 0)
    expect(lead.sdDays).toBeLessThan(3.5)
    expect(lead.from).toBe('receipts')
  })

  test('grows with a line that is long overdue, and not with one that may still be in time', () => {
    const observed = came({ 1: [10, 10, 10] })
    const open = (days: number) =>
      leadTime(leadBook([...observed, { supplierId: 1, partId: 1, days, open: true }], 10), 1)
    expect(open(4).meanDays).toBeCloseTo(10, 12)
    expect(open(60).meanDays).toBeGreaterThan(15)
    expect(open(60).receipts).toBe(3)
  })

  test('lies between the least and the most that was seen or stated', () => {
    const days = fc.integer({ min: 0, max: 400 })
    const observed = fc.array(
      fc.record({ supplierId: fc.constant(1), partId: fc.integer({ min: 1, max: 4 }), days, open: fc.boolean() }),
    )
    fc.assert(
      fc.property(observed, days, fc.integer({ min: 1, max: 5 }), (seen, stated, partId) => {
        const { meanDays, sdDays, weight } = leadTime(leadBook(seen, stated), partId)
        const all = [stated, ...seen.map((one) => one.days)]
        expect(meanDays).toBeGreaterThanOrEqual(Math.min(...all) - 1e-9)
        expect(meanDays).toBeLessThanOrEqual(Math.max(...all) + 1e-9)
        expect(sdDays).toBeGreaterThanOrEqual(0)
        expect(Number.isFinite(sdDays)).toBe(true)
        expect(weight).toBeGreaterThanOrEqual(0)
        expect(weight).toBeLessThan(1)
      }),
    )
  })
})
