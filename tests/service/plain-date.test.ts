import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { dateOf, daysAdd, daysBetween, monthsAdd } from '../../lib/service/plain-date.ts'

const aDate = fc
  .date({ min: new Date('1990-01-01T00:00:00Z'), max: new Date('2090-12-31T00:00:00Z'), noInvalidDate: true })
  .map((at) => at.toISOString().slice(0, 10))

describe('dates of a calendar', () => {
  // ISO 8601, as the runtime's own toISOString writes it.
  it('the date of an instant is written as ISO 8601 has it, from the year 0 to beyond 9999', () => {
    const instants = fc.date({ min: new Date('0000-01-01T00:00:00Z'), max: new Date(9e14), noInvalidDate: true })
    fc.assert(
      fc.property(instants, (at) => {
        expect(dateOf(at)).toBe(at.toISOString().slice(0, 10))
      }),
      {
        examples: [
          [new Date('1000-01-01T00:00:00Z')],
          [new Date('9999-12-31T23:59:59.999Z')],
          [new Date('2026-03-09T04:05:06Z')],
        ],
      },
    )
  })

  // W3C XML Schema part 2, appendix E, from memory: the order of adding a day and a month matters.
  it('a day and then a month after 30 March is 30 April, a month and then a day is 1 May', () => {
    expect(monthsAdd(daysAdd('2000-03-30', 1), 1)).toBe('2000-04-30')
    expect(daysAdd(monthsAdd('2000-03-30', 1), 1)).toBe('2000-05-01')
  })

  // The same appendix: 2000-01 and minus three months is 1999-10; 2000-01-12 and a year, three months and five days is 2001-04-17.
  it('months run over the year in both directions', () => {
    expect(monthsAdd('2000-01-15', -3)).toBe('1999-10-15')
    expect(daysAdd(monthsAdd('2000-01-12', 15), 5)).toBe('2001-04-17')
  })

  // Gregorian leap years (ISO 8601): 2000 and 2024 are, 1900 and 2023 are not.
  it.each([
    ['2024-01-31', 1, '2024-02-29'],
    ['2023-01-31', 1, '2023-02-28'],
    ['1999-12-31', 2, '2000-02-29'],
    ['2024-02-29', 12, '2025-02-28'],
    ['2024-02-29', 48, '2028-02-29'],
    ['2026-08-31', 6, '2027-02-28'],
    ['2026-11-30', 3, '2027-02-28'],
    ['2026-05-31', 1, '2026-06-30'],
  ])('%s and %i months is %s: the last day of a shorter month', (from, months, to) => {
    expect(monthsAdd(from, months)).toBe(to)
  })

  it('a month more is never an earlier date, and reaches the month that is meant', () => {
    fc.assert(
      fc.property(aDate, fc.integer({ min: 0, max: 120 }), (from, months) => {
        const to = monthsAdd(from, months)
        expect(monthsAdd(from, months + 1) > to).toBe(true)
        const [a, b] = [from, to].map((one) => Number(one.slice(0, 4)) * 12 + Number(one.slice(5, 7)))
        expect(b! - a!).toBe(months)
        expect(Number(to.slice(8)) <= Number(from.slice(8))).toBe(true)
      }),
    )
  })

  it('days there and back are the same', () => {
    fc.assert(
      fc.property(aDate, fc.integer({ min: -4_000, max: 4_000 }), (from, days) => {
        expect(daysBetween(from, daysAdd(from, days))).toBe(days)
      }),
    )
  })
})
