import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { gs1Read } from '../../lib/label/gs1-element.ts'
import { scannedBatch, scannedRead } from '../../lib/label/scanned.ts'
import {
  batchRule,
  batchSays,
  daysBetween,
  daysLater,
  isExpired,
  type Lot,
  lotOrder,
  lotsTake,
  monthsLater,
  usableWithin,
  useByOf,
} from '../../lib/stock/batch.ts'

const TODAY = '2027-02-10'
const day = fc.integer({ min: -60, max: 400 }).map((days) => daysLater(TODAY, days))
const lots = fc
  .array(fc.record({ expiresOn: fc.option(day, { nil: null }), quantity: fc.integer({ min: 0, max: 40 }) }), {
    maxLength: 9,
  })
  .map((list): Lot[] => list.map((lot, at) => ({ ...lot, batchId: at + 1 })))

describe('first expired, first out (common practice, no source)', () => {
  test('no later day is touched while an earlier one that is still good is left', () => {
    fc.assert(
      fc.property(lots, fc.integer({ min: 1, max: 200 }), (there, wanted) => {
        const { taken } = lotsTake(there, wanted, TODAY, 'stay')
        const gone = new Map(taken.map((lot) => [lot.batchId, lot.quantity]))
        const left = there.filter(
          (lot) => !isExpired(lot.expiresOn, TODAY) && lot.quantity > (gone.get(lot.batchId) ?? 0),
        )
        for (const lot of taken) for (const one of left) expect(lotOrder(lot, one)).toBeLessThanOrEqual(0)
      }),
    )
  })

  test('what is taken, what is short and what is left add up, and nothing expired is taken for use', () => {
    fc.assert(
      fc.property(lots, fc.integer({ min: 1, max: 200 }), (there, wanted) => {
        const { taken, short, expired } = lotsTake(there, wanted, TODAY, 'stay')
        const sum = (list: readonly Lot[]) => list.reduce((all, lot) => all + lot.quantity, 0)
        expect(sum(taken) + short).toBe(wanted)
        expect(expired).toBe(sum(there.filter((lot) => isExpired(lot.expiresOn, TODAY))))
        expect(short).toBe(Math.max(0, wanted - (sum(there) - expired)))
        expect(taken.filter((lot) => isExpired(lot.expiresOn, TODAY))).toEqual([])
        const moved = lotsTake(there, wanted, TODAY, 'too')
        expect(moved.short).toBe(Math.max(0, wanted - sum(there)))
      }),
    )
  })

  test('the use-by day itself is still good, the day after is not', () => {
    expect([isExpired(TODAY, TODAY), isExpired('2027-02-09', TODAY), isExpired(null, TODAY)]).toEqual([
      false,
      true,
      false,
    ])
    expect(useByOf('2027-03-12', TODAY, 30)).toBe('soon')
    expect(useByOf('2027-03-13', TODAY, 30)).toBe('later')
    expect(useByOf('2027-02-09', TODAY, 30)).toBe('expired')
    expect(useByOf(null, TODAY, 30)).toBe('never')
  })

  test('of one day the older batch goes first, what never spoils last', () => {
    const there = [
      { batchId: 4, expiresOn: null, quantity: 5 },
      { batchId: 3, expiresOn: '2027-04-01', quantity: 2 },
      { batchId: 2, expiresOn: '2027-04-01', quantity: 3 },
    ]
    expect(lotsTake(there, 6, TODAY, 'stay').taken.map((lot) => [lot.batchId, lot.quantity])).toEqual([
      [2, 3],
      [3, 2],
      [4, 1],
    ])
  })
})

describe('what is asked of a part', () => {
  const grease = { asksBatch: true, asksUseBy: true, shelfLifeMonths: 36 }
  test('is what its class asks, unless it says otherwise itself', () => {
    const silent = { asksBatch: null, asksUseBy: null, shelfLifeMonths: null }
    expect(batchRule(silent, grease)).toEqual(grease)
    expect(batchRule(silent, undefined)).toEqual({ asksBatch: false, asksUseBy: false, shelfLifeMonths: null })
    expect(batchRule({ ...silent, shelfLifeMonths: 12 }, grease)).toMatchObject({ shelfLifeMonths: 12 })
    expect(batchRule({ ...silent, asksUseBy: false }, grease)).toEqual({
      asksBatch: true,
      asksUseBy: false,
      shelfLifeMonths: null,
    })
  })

  test('a usual life ends on the last day of a shorter month', () => {
    // Worked by hand on a calendar: 2028 is a leap year.
    expect(monthsLater('2026-08-31', 6)).toBe('2027-02-28')
    expect(monthsLater('2026-08-31', 18)).toBe('2028-02-29')
    expect(monthsLater('2026-12-15', 1)).toBe('2027-01-15')
    expect(daysBetween('2028-02-28', '2028-03-01')).toBe(2)
  })

  test('a batch is said with its day once', () => {
    expect(batchSays({ code: 'L23', expiresOn: '2027-03-31' })).toBe('L23, use by 2027-03-31')
    expect(batchSays({ code: 'use by 2027-03-31', expiresOn: '2027-03-31' })).toBe('use by 2027-03-31')
  })
})

describe('what of the stock is used before it spoils', () => {
  test('is never more than there is, never falls when more is used, and all of it where nothing spoils', () => {
    fc.assert(
      fc.property(lots, fc.integer({ min: 0, max: 9 }), (there, perDay) => {
        const all = there.reduce((sum, lot) => sum + lot.quantity, 0)
        const used = usableWithin(there, TODAY, perDay)
        expect(used).toBeLessThanOrEqual(all)
        expect(usableWithin(there, TODAY, perDay + 1)).toBeGreaterThanOrEqual(used)
        expect(
          usableWithin(
            there.map((lot) => ({ ...lot, expiresOn: null })),
            TODAY,
            perDay,
          ),
        ).toBe(all)
      }),
    )
  })

  test('counts the last day too, and does not count a day twice', () => {
    const there = [
      { batchId: 1, expiresOn: '2027-02-19', quantity: 30 },
      { batchId: 2, expiresOn: '2027-02-24', quantity: 30 },
      { batchId: 3, expiresOn: '2027-02-09', quantity: 9 },
    ]
    // Two a day: 20 in the ten days of the first, 10 more in the five days that the second lasts longer.
    expect(usableWithin(there, TODAY, 2)).toBe(30)
  })
})

describe('the maker’s code on a pack', () => {
  const elements = (text: string, year = 2026) => {
    const scanned = scannedRead(text, year)
    return scannedBatch(scanned)
  }

  test('fills batch number and last day, use-by before best-before', () => {
    // A GS1-128 symbol of AI 01, 15 and 10 as a reader hands it on; the GTIN is that of the specifications' own examples.
    expect(elements(']C1010950110153000315270331' + '10AB-123')).toEqual({ code: 'AB-123', useBy: '2027-03-31' })
    expect(elements('(01)09501101530003(15)270301(17)270331(10)AB-123')).toEqual({
      code: 'AB-123',
      useBy: '2027-03-31',
    })
  })

  test('a day 00 is the last of its month, in leap years too', () => {
    // GS1 General Specifications, section 3.4, from memory: "If only year and month are available, DD must be filled with two zeroes".
    expect(elements('(01)09501101530003(17)280200(10)L7')).toEqual({ code: 'L7', useBy: '2028-02-29' })
    expect(elements('(01)09501101530003(17)270200')).toEqual({ code: '', useBy: '2027-02-28' })
    expect(elements('(01)09501101530003(17)271100')).toEqual({ code: '', useBy: '2027-11-30' })
  })

  test('the century is the one within 49 years behind and 50 ahead', () => {
    // GS1 General Specifications, section 7.12, from memory: 51 to 99 ahead is the century before, 50 to 99 behind the next.
    const year = (digits: string, now: number) => {
      const read = gs1Read(`(17)${digits}0101`, now)
      return 'elements' in read ? read.elements[0]!.value.slice(0, 4) : read.fault
    }
    expect([year('76', 2026), year('77', 2026)]).toEqual(['2076', '1977'])
    expect([year('50', 1999), year('49', 1999), year('48', 1999)]).toEqual(['1950', '2049', '2048'])
  })

  test('a symbol of plain text is a batch number, a part’s own code none', () => {
    expect(elements('L23-B')).toEqual({ code: 'L23-B', useBy: '' })
    expect(elements('(01)09501101530003(21)S-9')).toBeNull()
  })
})
