import { describe, expect, it } from 'vitest'
import { type LineListed, lineMissing } from '../../lib/service/line-fit.ts'

const listed = (more: Partial<LineListed> = {}): LineListed => ({
  breaks: [],
  side: null,
  stations: undefined,
  ...more,
})
const from2250 = listed({ breaks: [{ from: '2250', to: null }] })
const upTo2000 = listed({ breaks: [{ from: null, to: '2000' }] })
const TEN = { item: '10', positions: [] }
const SIDES = ['LH', 'RH']

describe('a line of a service is left out, and why', () => {
  it.each([
    ['2249', 'serial number 2249 is outside S/N from 2250'],
    ['2250', null],
    // A serial number that nobody wrote down shuts nothing out.
    [null, null],
  ])('of a part fitted from 2250 on, machine %s: %s', (serial, why) => {
    expect(lineMissing(TEN, [from2250], serial, SIDES)).toBe(why)
  })

  it('two lines of one item are looked at together: only the gap between them has none', () => {
    const at = (serial: string) => lineMissing(TEN, [upTo2000, from2250], serial, SIDES)
    expect([at('2000'), at('2250')]).toEqual([null, null])
    expect(at('2001')).toBe('serial number 2001 is outside S/N up to 2000; S/N from 2250')
  })

  it('a newer edition of the figure may have dropped the item', () => {
    expect(lineMissing(TEN, [], '2250', SIDES)).toBe('the figure no longer lists item 10')
  })

  it('a part of one hand is none for the other side, however the serial number is', () => {
    const left = listed({ side: 'LH' })
    expect(lineMissing({ item: '3', positions: ['RH'] }, [left], '2250', SIDES)).toBe('this machine has none at RH')
    expect(lineMissing({ item: '3', positions: ['LH'] }, [left], '2250', SIDES)).toBeNull()
    expect(lineMissing({ item: '3', positions: ['RH'] }, [left, listed({ side: 'RH' })], '2250', SIDES)).toBeNull()
  })

  it('a rotor has its stations, and an assembly that sits once needs no position', () => {
    expect(lineMissing({ item: '5', positions: ['RH'] }, [listed({ stations: 24 })], null, ['LH'])).toBeNull()
    expect(lineMissing({ item: '5', positions: [] }, [listed()], null, [])).toBeNull()
  })
})
