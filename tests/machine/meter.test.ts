import { describe, expect, test } from 'vitest'
import { meterFault, meterLastSays, meterMostTenths } from '../../lib/machine/meter.ts'

// A day has 24 hours; that nobody keeps the minute at which a meter was read is common practice, no source.
const monday = new Date('2026-03-02T16:40:00Z')
const last = { hourTenths: 42_130, at: monday }

describe('a reading of the hour meter', () => {
  test('the same figure again is no fault, a tenth less is', () => {
    expect(meterFault(last, 42_130, monday)).toBeNull()
    expect(meterFault(last, 42_129, monday)).toBe('below')
  })

  test('on the day of the last reading up to 24 h more are taken, a tenth above them is a jump', () => {
    const evening = new Date('2026-03-02T21:00:00Z')
    expect(meterFault(last, 42_130 + 240, evening)).toBeNull()
    expect(meterFault(last, 42_130 + 241, evening)).toBe('jump')
  })

  test('each day begun since then allows 24 h more', () => {
    expect(meterMostTenths(monday, new Date('2026-03-03T16:39:59Z'))).toBe(240)
    expect(meterMostTenths(monday, new Date('2026-03-03T16:40:00Z'))).toBe(480)
    expect(meterFault(last, 42_130 + 481, new Date('2026-03-03T16:40:00Z'))).toBe('jump')
    expect(meterFault(last, 421_300, new Date('2026-09-02T07:00:00Z'))).toBe('jump')
  })

  test('a clock that was put back allows the one day, never less', () => {
    expect(meterMostTenths(monday, new Date('2026-02-20T08:00:00Z'))).toBe(240)
  })

  test('without the date of the last reading only a lower figure is a fault', () => {
    expect(meterFault({ hourTenths: 300, at: null }, 99_000, monday)).toBeNull()
    expect(meterFault({ hourTenths: 300, at: null }, 299, monday)).toBe('below')
  })

  test('the last reading is said with its date', () => {
    expect(meterLastSays({ hourTenths: 42_130, at: new Date('2026-03-02T12:00:00Z') })).toBe('4,213.0 h on 2 Mar 2026')
    expect(meterLastSays({ hourTenths: 5, at: null })).toBe('0.5 h')
  })
})
