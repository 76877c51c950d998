import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  quantityFormat,
  quantityInput,
  quantityMinor,
  quantityParse,
  quantityScale,
  quantityTypedAs,
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

  // SI: 1 g = 0.001 kg and 1 ml = 0.001 l (BIPM SI brochure, 9th edition, tables 7 and 8).
  test.each([
    ['10 g', 'kilogram', 10],
    ['0.01', 'kilogram', 10],
    ['0.01 kg', 'kilogram', 10],
    ['10', 'gram', 10],
    ['10 G', 'gram', 10],
    ['0,01kg', 'gram', 10],
    ['1.5 kg', 'gram', 1500],
    ['10 ml', 'litre', 10],
    ['10', 'millilitre', 10],
    ['0.25 l', 'millilitre', 250],
    ['40 mm', 'metre', 40],
  ] as const)('"%s" in a field of %s is %i thousandths of the stock unit', (text, of, expected) => {
    expect(quantityParse(text, of)).toBe(expected)
  })

  test.each([
    ['0.01', 'gram'],
    ['0.5 ml', 'litre'],
    ['10 ml', 'kilogram'],
    ['10 g', 'litre'],
    ['10 g', 'each'],
    ['10 stone', 'kilogram'],
    ['g', 'kilogram'],
    ['10 g 5', 'kilogram'],
  ] as const)('"%s" in a field of %s is refused, never guessed at', (text, of) => {
    expect(quantityParse(text, of)).toBeNull()
  })

  test('a dab of grease stands in its field as grams, a drum of it as kilograms; both are read back as they were', () => {
    expect(quantityTypedAs(10, 'kilogram')).toEqual({ value: '10', unit: 'gram', sign: 'g' })
    expect(quantityTypedAs(999, 'litre')).toEqual({ value: '999', unit: 'millilitre', sign: 'ml' })
    expect(quantityTypedAs(1000, 'kilogram')).toEqual({ value: '1', unit: 'kilogram', sign: 'kg' })
    expect(quantityTypedAs(3, 'each')).toEqual({ value: '3', unit: 'each', sign: '' })
    fc.assert(
      fc.property(minor, unit, (quantity, of) => {
        const shown = quantityTypedAs(quantity, of)
        expect(quantityParse(shown.value, shown.unit)).toBe(quantity)
        expect(quantityParse(`${shown.value} ${shown.sign}`, shown.unit)).toBe(quantity)
        // Whatever was shown, the sign says what is meant.
        if (shown.sign !== '') expect(quantityParse(`${shown.value} ${shown.sign}`, of)).toBe(quantity)
      }),
    )
  })

  test('a fraction of a minor unit and a number past the exact range are no quantity', () => {
    for (const wrong of [0.5, Number.NaN, Number.POSITIVE_INFINITY, Number.MAX_SAFE_INTEGER + 1])
      expect(() => quantityMinor(wrong)).toThrow(RangeError)
  })
})
