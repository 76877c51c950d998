import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { notePriceSays, priceNoted, type Receipt } from '../../lib/buying/note-price.ts'
import { OrderReceiveForm } from '../../lib/buying/schema.ts'
import { formAsRead } from './form-as-read.ts'

// Price of the delivery note against that of the order: common practice, no source. Sums are worked by hand.
describe('the price on a delivery note', () => {
  const said = (more: Partial<Parameters<typeof notePriceSays>[0]>) =>
    notePriceSays({ unit: 'each', quantity: 4, notedMinor: 1300, agreedMinor: 1250, currency: 'GBP', ...more })

  test('is said where it is not the agreed one, for a piece and for all that came at it', () => {
    expect(said({})).toBe('£13.00 each on the delivery note, £12.50 agreed: £0.50 more each, £2.00 more for 4')
    expect(said({ notedMinor: 1250 })).toBeNull()
    expect(said({ notedMinor: 0, currency: 'EUR' })).toBe(
      '€0.00 each on the delivery note, €12.50 agreed: €12.50 less each, €50.00 less for 4',
    )
    // 2.5 l at 0.33 less are 0.825.
    expect(said({ unit: 'litre', quantity: 2500, notedMinor: 1217 })).toBe(
      '£12.17 a litre on the delivery note, £12.50 agreed: £0.33 less a litre, £0.83 less for 2.5 l',
    )
  })

  test('as long as nobody counted, only what one is more or less is said', () => {
    expect(said({ quantity: 0 })).toBe('£13.00 each on the delivery note, £12.50 agreed: £0.50 more each')
  })

  test('is what the next invoice is expected to ask, until what came at it is invoiced', () => {
    const receipts: Receipt[] = [
      { quantity: 4, notedMinor: 1300 },
      { quantity: 2, notedMinor: null },
    ]
    expect([0, 3, 4, 6].map((before) => priceNoted(receipts, before))).toEqual([1300, 1300, null, null])
    expect(priceNoted([...receipts, { quantity: 1, notedMinor: 1280 }], 0)).toBe(1280)
    expect(priceNoted([], 0)).toBeNull()
  })

  test('what is invoiced never counts, what is not always does', () => {
    const receipt = fc.record({
      quantity: fc.integer({ min: 1, max: 50 }),
      notedMinor: fc.option(fc.nat({ max: 9000 }), { nil: null }),
    })
    const receipts = fc.array(receipt, { maxLength: 8 })
    fc.assert(
      fc.property(receipts, receipts, (invoiced, open) => {
        const before = invoiced.reduce((sum, { quantity }) => sum + quantity, 0)
        const last = open.filter(({ notedMinor }) => notedMinor !== null).at(-1)?.notedMinor ?? null
        expect(priceNoted([...invoiced, ...open], before)).toBe(last)
      }),
    )
  })

  test('is read off the form as an amount, with how many came at it', () => {
    const read = (price: string, came: string) =>
      formAsRead(OrderReceiveForm, [
        ['orderId', '9'],
        ['receive.21.each', came],
        ['bin.21', '6'],
        ['price.21.each', price],
      ])
    expect(read('13,00', '4')).toMatchObject({ lines: [{ lineId: 21, quantity: 4, notePriceMinor: 1300 }] })
    expect(read('', '4')).toMatchObject({ lines: [expect.not.objectContaining({ notePriceMinor: expect.anything() })] })
    expect(() => read('dear', '4')).toThrow(/enter an amount/)
    expect(() => read('13.00', '')).toThrow(/enter how many came/)
  })
})
