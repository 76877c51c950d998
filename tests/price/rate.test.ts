import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { currencyFits, type Rate, rateOn, rateParse, rateSays, rateTurn } from '../../lib/price/rate.ts'

describe('rates of other currencies, kept by hand', () => {
  test('they are read as they are quoted', () => {
    expect(['0.8534', '0,8534', '1', '12.345678', '2000'].map(rateParse)).toEqual([
      853_400, 853_400, 1_000_000, 12_345_678, 2_000_000_000,
    ])
    expect(['', '0', '-1', '1.2345678', 'about 1', '2000.1'].map(rateParse)).toEqual([
      null,
      null,
      null,
      null,
      null,
      null,
    ])
    expect([853_400, 1_000_000, 12_345_678, 95_100].map(rateSays)).toEqual(['0.8534', '1.0000', '12.345678', '0.0951'])
  })

  test('what is said of a rate is read as the same rate', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2_000_000_000 }), (micro) => {
        expect(rateParse(rateSays(micro))).toBe(micro)
      }),
    )
  })

  // The irrevocable rates of the euro: Council Regulation (EC) No 2866/98, and 1103/97 for rounding halves up. There rates are
  // national money for one euro: 100 DEM are 51.13 EUR; by the inverse in millionths, 0.511292, it comes to the same cent.
  test('money is turned with halves up', () => {
    expect(rateTurn(10_000, 511_292)).toBe(5113)
    expect([rateTurn(1, 500_000), rateTurn(1, 499_999), rateTurn(-1, 500_000), rateTurn(-1, 500_001)]).toEqual([
      1, 0, 0, -1,
    ])
    expect(rateTurn(1_000_000_000, 2_000_000_000)).toBe(2_000_000_000_000)
  })

  test('the newest that is not after the day counts, of two of one day the later', () => {
    const rates: Rate[] = [
      { currency: 'EUR', rateMicro: 860_000, day: '2026-11-20' },
      { currency: 'EUR', rateMicro: 850_000, day: '2026-11-01' },
      { currency: 'SEK', rateMicro: 75_000, day: '2026-11-21' },
      { currency: 'EUR', rateMicro: 861_000, day: '2026-11-20' },
    ]
    expect(
      ['2026-10-31', '2026-11-01', '2026-11-19', '2026-11-20', '2027-01-01'].map(
        (day) => rateOn(rates, 'EUR', day)?.rateMicro,
      ),
    ).toEqual([undefined, 850_000, 850_000, 861_000, 861_000])
  })

  // ISO 4217: the yen has no minor unit, the Tunisian dinar three decimals.
  test('only currencies of two decimals can be kept', () => {
    expect(['GBP', 'EUR', 'SEK', 'JPY', 'TND', 'XQQ', 'eur', ''].map(currencyFits)).toEqual([
      true,
      true,
      true,
      false,
      false,
      false,
      false,
      false,
    ])
  })
})
