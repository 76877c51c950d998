import { describe, expect, it } from 'vitest'
import { runningShare, windowRunning } from '../../lib/winter/running.ts'

const WINTER = { from: '2026-11-01', until: '2027-02-28' }
const read = (day: string, hours: number, reason: string | null = null) => ({
  at: new Date(`${day}T00:00:00Z`),
  hourTenths: hours * 10,
  reason,
})
/** 40 h in the winter of 2024, 60 h in that of 2025, 600 h in each year between two firsts of November. */
const ORCHARD = [
  read('2024-11-01', 1_000),
  read('2025-03-01', 1_040),
  read('2025-07-01', 1_500),
  read('2025-11-01', 1_600),
  read('2026-03-01', 1_660),
  read('2026-11-01', 2_200),
]

describe('what a machine runs in the winter', () => {
  it('is the mean of the same months of earlier years, far below the trend of the whole year', () => {
    const running = windowRunning(ORCHARD, WINTER, '2026-11-01')
    // 600 h in 365 days are 1.644 h a day; 120 days of that are 197 h.
    expect(running).toMatchObject({ expected: 500, years: 2 })
    expect(running.byYear).toBeCloseTo((6_000 / 365) * 120, 9)
  })

  it('between two readings of some weeks the end of a month lies on a straight line', () => {
    const readings = [
      read('2025-10-22', 100),
      read('2025-11-11', 140),
      read('2026-02-19', 200),
      read('2026-03-11', 220),
    ]
    // Half of 40 h at the beginning, half of 20 h at the end, 60 h between.
    expect(windowRunning(readings, WINTER, '2026-11-01')).toMatchObject({ expected: 900, years: 1 })
  })

  it('readings half a year apart tell nothing of the winter between: then the year as a whole counts', () => {
    const readings = [read('2025-09-01', 100), read('2026-06-01', 400), read('2026-10-30', 700)]
    const running = windowRunning(readings, WINTER, '2026-11-01')
    expect(running.years).toBe(0)
    expect(running.expected).toBe(running.byYear)
    expect(windowRunning([], WINTER, '2026-11-01')).toEqual({ expected: 0, byYear: null, years: 0 })
  })

  it('a meter that was replaced in between starts again, and the hours go on', () => {
    const readings = [read('2025-11-01', 900), read('2026-01-01', 10, 'meter replaced'), read('2026-03-01', 30)]
    expect(windowRunning(readings, WINTER, '2026-11-01').expected).toBe(300)
  })
})

describe('failures of the year that fall into the winter', () => {
  it('go by the piece-hours of all machines that have the part', () => {
    const machine = (fitted: number, expected: number, byYear: number | null, years = 1) => {
      return { fitted, running: { expected, byYear, years } }
    }
    // 4 pieces at 50 of 200 h, one piece at 100 of 100 h: 300 of 900 piece-hours.
    expect(runningShare([machine(4, 500, 2_000), machine(1, 1_000, 1_000)])).toBeCloseTo(1 / 3, 12)
    // A machine of which nothing is known does not count; where none tells anything, nothing is changed.
    expect(runningShare([machine(4, 500, 2_000), machine(9, 0, null, 0)])).toBe(0.25)
    expect(runningShare([machine(9, 0, null, 0)])).toBe(1)
    expect(runningShare([])).toBe(1)
    // One that runs in winter only breaks in winter only.
    expect(runningShare([machine(1, 900, 300)])).toBe(3)
  })
})
