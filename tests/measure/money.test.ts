import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { moneyFormat, moneyMinor, moneyOfQuantity, moneyParse } from '../../lib/measure/money.ts'
import { quantityScale, STOCK_UNITS } from '../../lib/measure/quantity.ts'

fc.configureGlobal({ seed: 20260105 })

const unit = fc.constantFrom(...STOCK_UNITS)

describe('an amount of money', () => {
  test('what is printed is read back as the same amount', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 99_999_999_999 }), (minor) => {
        expect(moneyParse((minor / 100).toFixed(2))).toBe(minor)
      }),
    )
  })

  test.each([
    ['12', 1200],
    ['12.5', 1250],
    ['12,50', 1250],
    [' 0.07 ', 7],
    ['19.99', 1999],
  ])('"%s" is %i pence', (text, minor) => {
    expect(moneyParse(text)).toBe(minor)
  })

  test.each(['', '12.505', '-3', '£4', '1 000', '1e2'])('"%s" is no amount', (text) => {
    expect(moneyParse(text)).toBeNull()
  })

  test('is shown with its currency and two decimals', () => {
    expect(moneyFormat(123_456, 'GBP')).toBe('£1,234.56')
    expect(moneyFormat(5, 'EUR')).toBe('€0.05')
  })

  test('a fraction of a penny is no amount', () => {
    expect(() => moneyMinor(10.5)).toThrow(RangeError)
    expect(() => moneyMinor(2 ** 53)).toThrow(RangeError)
  })
})

describe('what a quantity costs', () => {
  // Worked by hand; rounding half up as ISO 80000-1:2009, annex B, rule B for a remainder of exactly half (from memory):
  // towards plus infinity, so that -2.5 is -2.
  test.each([
    ['250 ml at 12.00 a litre', 1200, 250, 'litre', 300],
    ['7 pieces at 3.49', 349, 7, 'each', 2443],
    ['1 ml at 5.00 a litre is half a penny', 500, 1, 'litre', 1],
    ['1 ml at 4.99 a litre is just below half a penny', 499, 1, 'litre', 0],
    ['5 g at 5.00 a kilogram is two and a half pence', 500, 5, 'kilogram', 3],
    ['333 mm at 10.01 a metre', 1001, 333, 'metre', 333],
    ['5 g given back at 5.00 a kilogram', 500, -5, 'kilogram', -2],
    ['7 g given back at 5.00 a kilogram', 500, -7, 'kilogram', -3],
    ['1 ml given back at 5.01 a litre is just past half a penny', 501, -1, 'litre', -1],
    ['nothing at 9.99', 999, 0, 'litre', 0],
  ] as const)('%s', (_, price, quantity, of, expected) => {
    expect(moneyOfQuantity(price, quantity, of)).toBe(expected)
  })

  test('is the nearest whole penny, and the upper one at the half', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10_000_000 }),
        fc.integer({ min: -1_000_000, max: 1_000_000 }),
        unit,
        (price, quantity, of) => {
          const scale = BigInt(quantityScale(of))
          const twiceOff =
            2n * (BigInt(moneyOfQuantity(price, quantity, of)) * scale - BigInt(price) * BigInt(quantity))
          expect(twiceOff > -scale && twiceOff <= scale).toBe(true)
        },
      ),
    )
  })

  test('whole pieces cost exactly price times number, without drift', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1_000_000 }), fc.integer({ min: -9999, max: 9999 }), (price, pieces) => {
        expect(BigInt(moneyOfQuantity(price, pieces, 'each'))).toBe(BigInt(price) * BigInt(pieces))
      }),
    )
  })

  test('stays exact where price times millilitres leaves the range of exact doubles', () => {
    // 9 007 199.25 a litre times 999 999.999 litres: 900719925 * 999999999 / 1000 = 900719924099280.075 -> rounds down
    expect(moneyOfQuantity(900_719_925, 999_999_999, 'litre')).toBe(900_719_924_099_280)
  })

  test('a cost no whole number can hold is refused, never rounded in silence', () => {
    expect(() => moneyOfQuantity(999_999_999_999, 999_999_999, 'each')).toThrow(RangeError)
  })
})
