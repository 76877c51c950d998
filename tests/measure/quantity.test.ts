import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  quantityFormat,
  quantityInput,
  quantityMinor,
  quantityParse,
  quantityScale,
  STOCK_UNITS,
} from '../../lib/measure/quantity.ts'

fc.configureGlobal({ seed: 20260105 })

const unit = fc.constantFrom(...STOCK_UNITS)
const minor = fc.oneof(fc.integer({ min: 0, max: 5000 }), fc.integer({ min: 0, max: 999_999_999 }))

describe('a quantity on the shelf', () => {
  // SI prefix milli is 10^-3 (BIPM SI brochure, 9th edition, table 7): millilitre, gram as milli-kilogram, millimetre.
  test('is a thousandth of a litre, kilogram or metre, and a whole piece of each', () => {
    expect(STOCK_UNITS.map(quantityScale)).toEqual([1, 1000, 1000, 1000])
  })

  test('what an input field shows is read back as the same quantity', () => {
    fc.assert(
      fc.property(minor, unit, (quantity, of) => {
        expect(quantityParse(quantityInput(quantity, of), of)).toBe(quantity)
      }),
    )
  })

  test('ten cans of 0.1 litre are one litre to the millilitre, though ten times 0.1 in fractions is not one', () => {
    const can = quantityParse('0.1', 'litre')!
    const shelf = Array.from({ length: 10 }, () => can).reduce((sum: number, one) => sum + one, 0)
    expect(quantityFormat(shelf, 'litre')).toBe('1 l')
    expect(Array.from({ length: 10 }, () => 0.1).reduce((sum, one) => sum + one, 0)).not.toBe(1)
  })

  test('any sum of typed quantities is exact: adding and taking away again leaves the shelf as it was', () => {
    fc.assert(
      fc.property(minor, fc.array(minor, { maxLength: 40 }), unit, (start, moves, of) => {
        const typed = moves.map((move) => quantityParse(quantityInput(move, of), of)!)
        const full = typed.reduce((sum, move) => sum + move, start)
        expect([...typed].reverse().reduce((sum, move) => sum - move, full)).toBe(start)
      }),
    )
  })

  test.each([
    ['12', 'each', 12],
    ['0.25', 'litre', 250],
    ['0,25', 'litre', 250],
    [' 3.007 ', 'kilogram', 3007],
    ['1.500', 'metre', 1500],
    ['4.0', 'each', 4],
    ['0', 'each', 0],
  ] as const)('"%s" %s is read as %i', (text, of, expected) => {
    expect(quantityParse(text, of)).toBe(expected)
  })

  test.each([
    ['1.5', 'each'],
    ['0.0005', 'litre'],
    ['-2', 'each'],
    ['', 'each'],
    ['two', 'each'],
    ['1e3', 'each'],
    ['1.000,5', 'litre'],
    ['12345678901', 'each'],
  ] as const)('"%s" is no quantity of %s', (text, of) => {
    expect(quantityParse(text, of)).toBeNull()
  })

  test.each([
    [12, 'each', '12'],
    [999, 'litre', '999 ml'],
    [1000, 'litre', '1 l'],
    [1500, 'litre', '1.5 l'],
    [40, 'kilogram', '40 g'],
    [2750, 'metre', '2.75 m'],
    [-250, 'litre', '-250 ml'],
    [-3, 'each', '-3'],
  ] as const)('%i of %s is said as "%s"', (quantity, of, says) => {
    expect(quantityFormat(quantity, of)).toBe(says)
  })

  test('a fraction of a minor unit and a number past the exact range are no quantity', () => {
    for (const wrong of [0.5, Number.NaN, Number.POSITIVE_INFINITY, Number.MAX_SAFE_INTEGER + 1])
      expect(() => quantityMinor(wrong)).toThrow(RangeError)
  })
})
