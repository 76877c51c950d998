import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { serviceBookCsv } from '../../lib/job/book-text.ts'
import { bookYears } from '../../lib/job/book-year.ts'
import type { EntryContent } from '../../lib/job/service-book.ts'

const at = (day: string) => new Date(`${day}T10:00:00Z`)

describe('the service book by year', () => {
  test('a year has its jobs, its parts and the hours run since the reading before it', () => {
    const years = bookYears(
      [
        { writtenAt: at('2025-03-01'), kind: 'repair', partsCostMinor: 12_000, labourMinutes: 90 },
        { writtenAt: at('2026-02-01'), kind: 'service', partsCostMinor: 8_000, labourMinutes: 120 },
        { writtenAt: at('2026-06-01'), kind: 'repair', partsCostMinor: 4_000, labourMinutes: 30 },
        { writtenAt: at('2026-06-02'), kind: null, partsCostMinor: 0, labourMinutes: 0 },
      ],
      [
        { at: at('2026-06-01'), hourTenths: 1400 },
        { at: at('2025-03-01'), hourTenths: 800 },
        { at: at('2025-12-20'), hourTenths: 1000 },
      ],
    )
    expect(years).toEqual([
      {
        year: 2026,
        repairs: 1,
        services: 1,
        partsCostMinor: 12_000,
        labourMinutes: 150,
        runTenths: 400,
        // 120.00 for 40.0 h
        costPerHourMinor: 300,
      },
      {
        year: 2025,
        repairs: 1,
        services: 0,
        partsCostMinor: 12_000,
        labourMinutes: 90,
        runTenths: 200,
        costPerHourMinor: 600,
      },
    ])
  })
  test('a new meter takes no hours away, and without two readings nothing is known of the hours', () => {
    const entries = [{ writtenAt: at('2026-02-01'), kind: 'repair', partsCostMinor: 100, labourMinutes: 0 }]
    const readings = [
      { at: at('2026-01-01'), hourTenths: 5000 },
      { at: at('2026-02-01'), hourTenths: 10 },
      { at: at('2026-03-01'), hourTenths: 110 },
    ]
    expect(bookYears(entries, readings)[0]?.runTenths).toBe(100)
    expect(bookYears(entries, readings.slice(0, 1))[0]).toMatchObject({ runTenths: null, costPerHourMinor: null })
  })
  test('all years together have what the book has, in any order of entries', () => {
    const entry = fc.record({
      writtenAt: fc.date({ min: at('2020-01-01'), max: at('2026-11-01'), noInvalidDate: true }),
      kind: fc.constantFrom('repair', 'service', null),
      partsCostMinor: fc.nat(1_000_000),
      labourMinutes: fc.nat(600),
    })
    fc.assert(
      fc.property(fc.array(entry), (entries) => {
        const years = bookYears(entries, [])
        const sum = (of: (row: { partsCostMinor: number; labourMinutes: number }) => number, rows: typeof entries) =>
          rows.reduce((total, row) => total + of(row), 0)
        expect(years.reduce((total, row) => total + row.partsCostMinor, 0)).toBe(
          sum((row) => row.partsCostMinor, entries),
        )
        expect(years.reduce((total, row) => total + row.labourMinutes, 0)).toBe(
          sum((row) => row.labourMinutes, entries),
        )
        expect(bookYears([...entries].reverse(), [])).toEqual(years)
      }),
    )
  })
})

describe('the service book as CSV', () => {
  const content: EntryContent = {
    version: 1,
    machine: { fleetNumber: 'M-01', name: 'Flail mower', model: 'Ferncombe FM 180', serialNumber: '1204' },
    job: { number: 12, kind: 'repair', openedAt: '2026-02-01T08:00:00Z', openedBy: 'Jory Penhale' },
    complaint: '=shakes, "badly"',
    cause: '',
    correction: 'Knives renewed',
    labourMinutes: 45,
    fitted: ['2', '5'].map((item) => ({
      partNumber: `FM-${item}`,
      maker: 'Ferncombe',
      description: 'Knife, flail',
      figure: '3-02 Rotor',
      item,
      positions: ['1', '9'],
      quantity: 2,
      unit: 'each',
      costMinor: 1550,
    })),
    acts: [],
    declined: [],
    tests: [],
    partsCostMinor: 3100,
    currency: 'GBP',
  }
  const entry = { id: 3, writtenAt: at('2026-02-01'), person: 'Sam', hourTenths: 8123, correctsId: null, content }

  test('each fitted part has a row; labour stands in the first only; a formula is made harmless', () => {
    const rows = parse(serviceBookCsv([entry]), { columns: true, bom: true }) as Record<string, string>[]
    expect(rows.map((row) => [row.item, row.part_number, row.cost, row.labour_minutes])).toEqual([
      ['2', 'FM-2', '15.50', '45'],
      ['5', 'FM-5', '15.50', ''],
    ])
    expect(rows[0]).toMatchObject({ hours: '812.3', positions: '1 9', complaint: `'=shakes, "badly"`, quantity: '2' })
  })
  test('an entry without parts is a row as well', () => {
    const rows = parse(serviceBookCsv([{ ...entry, content: { ...content, fitted: [] } }]), {
      columns: true,
      bom: true,
    })
    expect(rows).toHaveLength(1)
  })
})
