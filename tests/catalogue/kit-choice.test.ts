import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { KitFacts, KitNeed } from '../../lib/catalogue/kit.ts'
import { kitChoices } from '../../lib/catalogue/kit-choice.ts'

fc.configureGlobal({ seed: 20260105 })

const kit = (priceMinor: number | null, ...quantities: number[]): KitFacts => ({
  kitId: 90,
  number: 'TX-K',
  description: 'Kit, brake shoes',
  priceMinor,
  contents: quantities.map((quantity, at) => ({
    partId: at + 1,
    number: `TX-${at + 1}`,
    description: `Part ${at + 1}`,
    quantity,
  })),
})
const need = (partId: number, quantity: number, priceMinor: number | null = 1000): KitNeed => ({
  partId,
  quantity,
  priceMinor,
  unit: 'each',
})

// Sums worked by hand; when a kit is worth taking: common practice, no source.
describe('a kit in place of parts', () => {
  test('three of its four parts are wanted: offered even where it costs more, and it says so by both sums', () => {
    expect(kitChoices([need(1, 4), need(2, 2), need(3, 2)], [kit(9000, 4, 2, 2, 4)])).toMatchObject([
      {
        kits: 1,
        singlyMinor: 8000,
        asKitMinor: 9000,
        covers: [
          { number: 'TX-1', quantity: 4 },
          { number: 'TX-2', quantity: 2 },
          { number: 'TX-3', quantity: 2 },
        ],
        over: [{ number: 'TX-4', quantity: 4 }],
      },
    ])
  })

  test('two of its four parts: only where it is cheaper than those two', () => {
    const needs = [need(1, 4), need(2, 2)]
    expect(kitChoices(needs, [kit(6000, 4, 2, 2, 4)])).toEqual([])
    expect(kitChoices(needs, [kit(5999, 4, 2, 2, 4)])).toMatchObject([{ singlyMinor: 6000, asKitMinor: 5999 }])
    expect(kitChoices(needs, [kit(null, 4, 2, 2, 4)])).toEqual([])
  })

  test('one part alone is no reason for a kit, however cheap', () => {
    expect(kitChoices([need(1, 4)], [kit(1, 4, 2)])).toEqual([])
  })

  test('both axles are two kits; one piece more than two kits hold is three, and then too little of them is used', () => {
    expect(kitChoices([need(1, 8), need(2, 4)], [kit(9000, 4, 2)])).toMatchObject([{ kits: 2, over: [] }])
    expect(kitChoices([need(1, 9), need(2, 4)], [kit(9000, 4, 2)])).toEqual([])
  })

  test('half of what it holds is not three quarters of it: one wheel does not ask for the kit of an axle', () => {
    expect(kitChoices([need(1, 2), need(2, 1)], [kit(9000, 4, 2)])).toEqual([])
  })

  test('where no price is known the share that is used decides, and no sum is made up', () => {
    expect(kitChoices([need(1, 4, null), need(2, 2)], [kit(9000, 4, 2)])).toMatchObject([
      { singlyMinor: null, asKitMinor: 9000 },
    ])
  })

  test('covers what it stands for wholly, and what is left over is what the kits hold beyond it', () => {
    const quantities = fc.array(fc.integer({ min: 1, max: 5 }), { minLength: 2, maxLength: 5 })
    fc.assert(
      fc.property(quantities, fc.array(fc.nat(9), { maxLength: 5 }), fc.nat(4000), (holds, wishes, price) => {
        const needs = wishes.map((quantity, at) => need(at + 1, quantity))
        for (const { kit: of, kits, covers, over } of kitChoices(needs, [kit(price, ...holds)]))
          for (const content of of.contents) {
            const covered = covers.find((one) => one.partId === content.partId)?.quantity ?? 0
            const rest = over.find((one) => one.partId === content.partId)?.quantity ?? 0
            expect(covered + rest).toBe(kits * content.quantity)
            expect(covered).toBe(needs.find((one) => one.partId === content.partId)?.quantity ?? 0)
          }
      }),
    )
  })
})
