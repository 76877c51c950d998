import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { halfAway, taxInput, taxOn, taxParse, taxSays, totalsOf } from '../../lib/invoice/tax.ts'

describe('tax', () => {
  // Worked by hand: 19 % of 12.50 is 2.375, of 12.45 is 2.3655, of 12.47 is 2.3693.
  test('is rounded to a minor unit, halves away from zero', () => {
    expect([taxOn(1250, 190), taxOn(1245, 190), taxOn(1247, 190)]).toEqual([238, 237, 237])
    expect([taxOn(-1250, 190), taxOn(50, 10), taxOn(49, 10), taxOn(-50, 10)]).toEqual([-238, 1, 0, -1])
    expect(taxOn(99_999, 0)).toBe(0)
  })

  test('rounding does not know the sign, and is never further off than a half', () => {
    const size = fc.bigInt({ min: 0n, max: 10n ** 15n })
    fc.assert(
      fc.property(size, fc.bigInt({ min: 1n, max: 10n ** 6n }), (p, q) => {
        const rounded = halfAway(p, q)
        expect(halfAway(-p, q)).toBe(rounded === 0 ? 0 : -rounded)
        const off = 2n * (BigInt(rounded) * q - p)
        expect(off > -q && off <= q).toBe(true)
      }),
    )
  })

  test('a rate is read as it is written on invoices, and written so that it is read back', () => {
    expect(['19', '19.0 %', '7,5', '0', ' 20 % '].map(taxParse)).toEqual([190, 190, 75, 0, 200])
    expect(['', '-1', '100', '19.05', 'nineteen'].map(taxParse)).toEqual([null, null, null, null, null])
    expect(taxSays(190)).toBe('19.0 %')
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 999 }), (rate) => {
        expect(taxParse(taxInput(rate))).toBe(rate)
      }),
    )
  })

  test('goods and carriage are taxed, deposits are not; without a rate there is no tax', () => {
    // 53.00 and 8.50 are 61.50, 20 % of them 12.30; with 26.00 of deposits 99.80.
    const of = { goodsMinor: 5300, carriageMinor: 850, depositsMinor: 2600 }
    expect(totalsOf({ ...of, taxThousandths: 200 })).toMatchObject({ taxMinor: 1230, totalMinor: 9980 })
    expect(totalsOf({ ...of, taxThousandths: null })).toMatchObject({ taxMinor: 0, totalMinor: 8750 })
  })
})
