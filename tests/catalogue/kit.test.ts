import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type KitFacts, type KitNeed, kitHints } from '../../lib/catalogue/kit.ts'

fc.configureGlobal({ seed: 20260105 })

const kit = (priceMinor: number | null, ...quantities: number[]): KitFacts => ({
  kitId: 90,
  number: 'TX-K',
  description: 'Kit, filters',
  priceMinor,
  contents: quantities.map((quantity, at) => ({
    partId: at + 1,
    number: `TX-${at + 1}`,
    description: `Filter ${at + 1}`,
    quantity,
  })),
})
const need = (partId: number, priceMinor: number | null, quantity = 1): KitNeed => ({
  partId,
  quantity,
  priceMinor,
  unit: 'each',
})

// Sums worked by hand; that half of a kit must be wanted before it is spoken of: common practice, no source.
describe('cheaper as a kit', () => {
  test('three of four filters at 9.00, 12.00 and 30.00 are 51.00, the kit is 45.00 and brings the fourth', () => {
    const [hint] = kitHints([need(1, 900), need(2, 1200), need(3, 3000)], [kit(4500, 1, 1, 1, 1)])
    expect(hint).toMatchObject({ kits: 1, singlyMinor: 5100, asKitMinor: 4500, spare: [{ number: 'TX-4' }] })
  })

  test('the kit that costs as much, or more, is not spoken of', () => {
    const needs = [need(1, 900), need(2, 1200), need(3, 3000)]
    expect(kitHints(needs, [kit(5100, 1, 1, 1, 1)])).toEqual([])
    expect(kitHints(needs, [kit(5099, 1, 1, 1, 1)])).toHaveLength(1)
  })

  test('fewer than half of the contents, or one alone, is no reason for a kit, however cheap', () => {
    expect(kitHints([need(1, 900), need(2, 900)], [kit(10, 1, 1, 1, 1, 1)])).toEqual([])
    expect(kitHints([need(1, 900), need(2, 900)], [kit(10, 1, 1, 1, 1)])).toHaveLength(1)
    expect(kitHints([need(1, 900)], [kit(10, 1, 1)])).toEqual([])
  })

  test('where a price is not known nothing is said', () => {
    expect(kitHints([need(1, null), need(2, 900)], [kit(10, 1, 1)])).toEqual([])
    expect(kitHints([need(1, 900), need(2, 900)], [kit(null, 1, 1)])).toEqual([])
  })

  test('two axles are two kits; what the second would bring beyond the need is bought singly where that is less', () => {
    const facts = [kit(2000, 4, 2)]
    expect(kitHints([need(1, 400, 8), need(2, 300, 4)], facts)).toMatchObject([
      { kits: 2, singlyMinor: 4400, asKitMinor: 4000 },
    ])
    expect(kitHints([need(1, 400, 5), need(2, 300, 2)], facts)).toMatchObject([
      { kits: 1, singlyMinor: 2600, asKitMinor: 2400, wanted: [{ rest: 1 }, { rest: 0 }] },
    ])
  })

  test('grease in a kit is counted by the gram: 80 g at 12.00 a kilogram are 0.96', () => {
    const facts: KitFacts = { ...kit(100, 1, 80) }
    const grease: KitNeed = { partId: 2, quantity: 80, priceMinor: 1200, unit: 'kilogram' }
    expect(kitHints([need(1, 500), grease], [facts])).toMatchObject([{ singlyMinor: 596, asKitMinor: 100 }])
  })

  test('a hint always saves money, never leaves a need open, and no other number of kits is cheaper', () => {
    const contents = fc.array(fc.integer({ min: 1, max: 5 }), { minLength: 2, maxLength: 5 })
    fc.assert(
      fc.property(
        contents,
        fc.integer({ min: 1, max: 5000 }),
        fc.array(fc.tuple(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 2000 })), {
          minLength: 1,
          maxLength: 5,
        }),
        (quantities, price, wishes) => {
          const needs = wishes.map(([quantity, priceMinor], at) => need(at + 1, priceMinor, quantity))
          for (const hint of kitHints(needs, [kit(price, ...quantities)])) {
            expect(hint.asKitMinor).toBeLessThan(hint.singlyMinor)
            const cost = (kits: number) =>
              kits * price +
              needs
                .filter((one) => one.partId <= quantities.length)
                .reduce(
                  (sum, one) => sum + Math.max(0, one.quantity - kits * quantities[one.partId - 1]!) * one.priceMinor!,
                  0,
                )
            const costs = Array.from({ length: 13 }, (_, kits) => cost(kits))
            expect(hint.asKitMinor).toBe(Math.min(...costs))
            for (const want of hint.wanted)
              expect(want.rest + hint.kits * quantities[want.partId - 1]!).toBeGreaterThanOrEqual(want.quantity)
          }
        },
      ),
    )
  })
})
