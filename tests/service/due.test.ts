import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DUE_STATES, dueCompare, type ServiceEvery, type ServiceLast, serviceDue } from '../../lib/service/due.ts'
import { dueAtSays, everySays, fromSays, leftSays } from '../../lib/service/due-text.ts'
import { daysAdd, monthsAdd } from '../../lib/service/plain-date.ts'
import { hoursRan, type Reading, trendPerDay } from '../../lib/service/running.ts'

const at = (date: string) => new Date(`${date}T10:00:00Z`)
const read = (date: string, hours: number, reason?: string): Reading => ({
  at: at(date),
  hourTenths: Math.round(hours * 10),
  ...(reason ? { reason } : {}),
})
const done = (date: string, hours: number): ServiceLast => ({ at: at(date), hourTenths: hours * 10 })
const every = (hours: number | null, months: number | null, more: Partial<ServiceEvery> = {}): ServiceEvery => ({
  everyTenths: hours === null ? null : hours * 10,
  everyMonths: months,
  toleranceTenths: 0,
  toleranceDays: 0,
  ...more,
})

// Worked examples: common practice, no source.
describe('when a service is due', () => {
  it('every 250 h or 12 months: 230 h after the last one, at 2.5 h a day, it is due by hours in eight days', () => {
    const due = serviceDue({
      every: every(250, 12, { toleranceTenths: 250 }),
      last: done('2026-03-01', 1000),
      readings: [read('2025-12-01', 775), read('2026-06-01', 1230)],
      today: '2026-06-01',
    })
    // 455 h in 182 days are 2.5 h a day; 20 h left are 8 days.
    expect(due.perDay).toBe(25)
    expect(due).toMatchObject({ state: 'soon', by: 'hours', leftTenths: 200, dueAtTenths: 12_500, dueOn: '2027-03-01' })
    expect(due.projectedOn).toBe('2026-06-09')
    expect(leftSays(due)).toBe('20.0 h left')
    expect(dueAtSays(due)).toBe('at 1,250.0 h or on 1 Mar 2027')
    expect(fromSays(due)).toBe('last done 1 Mar 2026 at 1,000.0 h')
  })

  it('a machine that hardly runs is due by the calendar', () => {
    const due = serviceDue({
      every: every(250, 12),
      last: done('2025-11-30', 400),
      readings: [read('2026-10-30', 440)],
      today: '2026-11-30',
    })
    expect(due).toMatchObject({ state: 'due', by: 'date', daysLeft: 0, projectedOn: '2026-11-30' })
    expect(leftSays(due)).toBe('today')
  })

  it.each([
    [1199.9, 'not-due'],
    [1200, 'soon'],
    [1249.9, 'soon'],
    [1250, 'due'],
    [1300, 'due'],
    [1300.1, 'overdue'],
  ])('every 250 h with 50 h of tolerance, done at 1000 h: at %d h it is %s', (hours, state) => {
    const due = serviceDue({
      every: every(250, null, { toleranceTenths: 500 }),
      last: done('2026-03-01', 1000),
      readings: [read('2026-06-01', hours)],
      today: '2026-06-01',
    })
    expect(due.state).toBe(state)
    expect(due.by).toBe('hours')
  })

  it.each([
    ['2027-01-28', 'not-due'],
    ['2027-01-29', 'soon'],
    ['2027-02-27', 'soon'],
    ['2027-02-28', 'due'],
    ['2027-03-30', 'due'],
    ['2027-03-31', 'overdue'],
  ])('every 6 months from 31 August with a month of tolerance: on %s it is %s', (today, state) => {
    const due = serviceDue({
      every: every(null, 6, { toleranceDays: 30 }),
      last: done('2026-08-31', 1000),
      readings: [],
      today,
    })
    expect(due.dueOn).toBe('2027-02-28')
    expect(due.state).toBe(state)
  })

  it('never serviced, it counts from the first reading; never read, from nowhere', () => {
    const never = { every: every(250, 12), last: null, today: '2026-06-01' }
    const due = serviceDue({ ...never, readings: [read('2025-06-01', 3000), read('2026-05-20', 3100)] })
    expect(due).toMatchObject({ state: 'due', by: 'date', leftTenths: 1500, from: { isDone: false } })
    expect(fromSays(due)).toBe('counted from the first reading 1 Jun 2025 at 3,000.0 h')
    const blank = serviceDue({ ...never, readings: [] })
    expect(blank).toMatchObject({ state: 'no-start', by: null, projectedOn: null, leftTenths: null })
    expect(fromSays(blank)).toContain('read its meter once')
  })

  it('a new meter starts again at nought, and the hours before it still count', () => {
    const readings = [
      read('2026-03-01', 1000),
      read('2026-04-01', 1150),
      read('2026-04-03', 6, 'meter replaced'),
      read('2026-05-01', 60),
    ]
    const due = serviceDue({ every: every(250, null), last: done('2026-03-01', 1000), readings, today: '2026-05-01' })
    // 150 h on the old meter and 60 h on the new one; 40 h are left, at 100 h of the new one.
    expect(due).toMatchObject({ leftTenths: 400, dueAtTenths: 1000, state: 'not-due' })
  })

  it('a used meter put in does not count what another machine ran', () => {
    const readings = [read('2026-03-01', 100), read('2026-04-03', 5000, 'meter replaced'), read('2026-05-01', 5030)]
    expect(hoursRan(readings).at(-1)!.ranTenths).toBe(300)
  })

  it('a service written down with the reading of a new meter counts from that reading, once', () => {
    const readings = [read('2026-03-01', 100), read('2026-04-03', 5, 'meter replaced'), read('2026-05-01', 45)]
    const due = serviceDue({ every: every(250, null), last: done('2026-04-03', 5), readings, today: '2026-05-01' })
    expect(due.leftTenths).toBe(2100)
  })

  it('a reading that was wrong counts for nothing', () => {
    const readings = [
      read('2026-03-01', 1000),
      read('2026-04-01', 1900),
      read('2026-04-02', 1090, 'last reading was wrong'),
    ]
    expect(hoursRan(readings).map((one) => one.ranTenths)).toEqual([0, 900])
  })

  it('what says how much a machine runs is the last year with its seasons, and two weeks at least', () => {
    const ran = hoursRan([read('2024-01-01', 0), read('2025-06-01', 5000), read('2026-06-01', 5365)])
    expect(trendPerDay(ran, '2026-06-01')).toBe(10)
    expect(trendPerDay(ran, '2028-06-01')).toBeNull()
    expect(trendPerDay(hoursRan([read('2026-06-01', 10), read('2026-06-10', 90)]), '2026-06-10')).toBeNull()
  })

  it('overdue stands first, then what is reached first', () => {
    const of = (id: number, state: (typeof DUE_STATES)[number], projectedOn: string | null) => ({
      id,
      due: { state, projectedOn },
    })
    const list = [
      of(1, 'no-start', null),
      of(2, 'not-due', '2026-01-01'),
      of(3, 'soon', '2026-12-02'),
      of(4, 'soon', '2026-12-01'),
      of(5, 'overdue', null),
      of(6, 'due', '2026-11-01'),
      of(7, 'overdue', '2026-10-01'),
    ]
    expect(list.sort(dueCompare).map((one) => one.id)).toEqual([7, 5, 6, 4, 3, 2, 1])
  })

  it.each([
    [every(250, 12), 'every 250.0 h or 12 months, whichever comes first'],
    [every(500, null), 'every 500.0 h'],
    [every(null, 1), 'every month'],
  ])('says how often: %#', (often, says) => {
    expect(everySays(often)).toBe(says)
  })
})

describe('laws of a service', () => {
  const START = '2025-01-10'
  /** A machine read every few days: gaps in days and tenths of an hour run in each. */
  const runs = fc.array(
    fc.record({ days: fc.integer({ min: 1, max: 40 }), tenths: fc.integer({ min: 0, max: 240 }) }),
    {
      minLength: 1,
      maxLength: 40,
    },
  )
  const often = fc
    .record({
      everyTenths: fc.option(fc.integer({ min: 10, max: 10_000 })),
      everyMonths: fc.option(fc.integer({ min: 1, max: 60 })),
      toleranceTenths: fc.integer({ min: 0, max: 900 }),
      toleranceDays: fc.integer({ min: 0, max: 60 }),
    })
    .filter((one) => one.everyTenths !== null || one.everyMonths !== null)
  function lived(steps: readonly { days: number; tenths: number }[]): Reading[] {
    let [date, hourTenths] = [START, 5_000]
    const readings = [{ at: at(date), hourTenths }]
    for (const { days, tenths } of steps) {
      date = daysAdd(date, days)
      hourTenths += tenths
      readings.push({ at: at(date), hourTenths })
    }
    return readings
  }
  const dateOf = (reading: Reading) => reading.at.toISOString().slice(0, 10)
  const pressing = (state: (typeof DUE_STATES)[number]) => DUE_STATES.indexOf(state)

  it('is never due while neither counter is reached, and always once one is', () => {
    fc.assert(
      fc.property(runs, often, fc.integer({ min: 0, max: 900 }), (steps, how, later) => {
        const readings = lived(steps)
        const today = daysAdd(dateOf(readings.at(-1)!), later)
        const due = serviceDue({ every: how, last: null, readings, today })
        const hours = how.everyTenths !== null && readings.at(-1)!.hourTenths - 5_000 >= how.everyTenths
        const date = how.everyMonths !== null && today >= monthsAdd(START, how.everyMonths)
        expect(pressing(due.state) >= pressing('due')).toBe(hours || date)
      }),
    )
  })

  it('done later is never due earlier', () => {
    fc.assert(
      fc.property(runs, often, fc.nat(), fc.nat(), fc.integer({ min: 0, max: 400 }), (steps, how, a, b, later) => {
        const readings = lived(steps)
        const [early, late] = [a % readings.length, b % readings.length].sort((x, y) => x - y).map((n) => readings[n]!)
        const today = daysAdd(dateOf(readings.at(-1)!), later)
        const [first, second] = [early!, late!].map((last) => serviceDue({ every: how, last, readings, today }))
        expect(pressing(second!.state)).toBeLessThanOrEqual(pressing(first!.state))
        if (how.everyTenths !== null) expect(second!.leftTenths!).toBeGreaterThanOrEqual(first!.leftTenths!)
        if (how.everyMonths !== null) expect(second!.dueOn! >= first!.dueOn!).toBe(true)
      }),
    )
  })

  it('more hours or a later day never make it less pressing', () => {
    fc.assert(
      fc.property(
        runs,
        often,
        fc.integer({ min: 0, max: 240 }),
        fc.integer({ min: 1, max: 90 }),
        (steps, how, more, days) => {
          const readings = lived(steps)
          const today = dateOf(readings.at(-1)!)
          const before = serviceDue({ every: how, last: null, readings, today })
          const next = {
            at: new Date(readings.at(-1)!.at.getTime() + days * 86_400_000),
            hourTenths: readings.at(-1)!.hourTenths + more,
          }
          const after = serviceDue({
            every: how,
            last: null,
            readings: [...readings, next],
            today: daysAdd(today, days),
          })
          expect(pressing(after.state)).toBeGreaterThanOrEqual(pressing(before.state))
        },
      ),
    )
  })

  it('on the day of the service nothing is left of what was due, and the whole interval lies ahead', () => {
    fc.assert(
      fc.property(runs, often, (steps, how) => {
        const readings = lived(steps)
        const last = readings.at(-1)!
        const due = serviceDue({ every: how, last, readings, today: dateOf(last) })
        expect(due.leftTenths).toBe(how.everyTenths)
        expect(pressing(due.state)).toBeLessThanOrEqual(pressing('soon'))
      }),
    )
  })

  it('readings in between change nothing of what is left', () => {
    fc.assert(
      fc.property(runs, often, fc.nat(), (steps, how, drop) => {
        const readings = lived(steps)
        const thin = readings.filter((_, n) => n === 0 || n === readings.length - 1 || n % (2 + (drop % 5)) === 0)
        const today = dateOf(readings.at(-1)!)
        const [whole, some] = [readings, thin].map((list) =>
          serviceDue({ every: how, last: null, readings: list, today }),
        )
        expect(some).toMatchObject({ state: whole!.state, leftTenths: whole!.leftTenths, dueOn: whole!.dueOn })
      }),
    )
  })

  it('replacing the meter, read off at the change, changes nothing of what is left', () => {
    fc.assert(
      fc.property(runs, often, fc.nat(), (steps, how, where) => {
        const readings = lived(steps)
        const change = where % readings.length
        const off = readings[change]!
        const swapped: Reading[] = [
          ...readings.slice(0, change + 1),
          { at: new Date(off.at.getTime() + 1), hourTenths: 0, reason: 'meter replaced' },
          ...readings.slice(change + 1).map((one) => ({ ...one, hourTenths: one.hourTenths - off.hourTenths })),
        ]
        const today = dateOf(readings.at(-1)!)
        const [one, two] = [readings, swapped].map((list) =>
          serviceDue({ every: how, last: null, readings: list, today }),
        )
        expect(two).toMatchObject({ state: one!.state, leftTenths: one!.leftTenths })
      }),
    )
  })
})
