import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type FifoFact, fifoLayers } from '../../lib/value/fifo.ts'
import { needReference, readHandbook } from '../support/reference.ts'

let next = 0
const fact = (
  kind: string,
  quantity: number,
  costMinor: number | null = null,
  more: Partial<FifoFact> = {},
): FifoFact => {
  next += 1
  return { id: next, kind, quantity, costMinor, valueMinor: 0, reversesId: null, ...more }
}

describe('first in, first out', () => {
  // Wild, Principles of Accounting, ch. 5: the purchases and the sale of the moving average example, by FIFO (handbook.json).
  test('leaves what the textbook leaves', (context) => {
    const row = readHandbook(needReference(context, 'handbook.json')).find((one) => one.id === 'fifo-wild')!
    const movements = row.inputs.movements as [number, number][]
    const { ending, cogs } = row.expected as { ending: number; cogs: number }
    const facts = movements.map(([quantity, price]) =>
      quantity > 0 ? fact('receive', quantity, price * 100) : fact('issue', quantity),
    )
    const left = fifoLayers(facts, 1).reduce((sum, layer) => sum + layer.valueMinor, 0)
    expect(left / 100).toBeCloseTo(ending, 2)
    const bought = movements.reduce((sum, [quantity, price]) => sum + Math.max(0, quantity) * price, 0)
    expect(bought - left / 100).toBeCloseTo(cogs, 2)
  })

  test('takes the oldest first, and of a layer begun keeps the share, half a penny rounded up', () => {
    const facts = [fact('receive', 4, 100), fact('receive', 2, 333), fact('issue', -5)]
    expect(fifoLayers(facts, 1)).toEqual([{ quantity: 1, valueMinor: 333 }])
    // 1.5 l at 0.35 a litre is 0.53; half of it is 0.27.
    const oil = [fact('receive', 1500, 35), fact('issue', -750)]
    expect(fifoLayers(oil, 1000)).toEqual([{ quantity: 750, valueMinor: 27 }])
  })

  test('what was put right is as if it had never been', () => {
    const wrong = fact('receive', 10, 900)
    const facts = [
      fact('receive', 3, 100),
      wrong,
      fact('issue', -2),
      fact('reversal', -10, 900, { reversesId: wrong.id }),
    ]
    expect(fifoLayers(facts, 1)).toEqual([{ quantity: 1, valueMinor: 100 }])
    const taken = fact('issue', -2)
    expect(
      fifoLayers([fact('receive', 3, 100), taken, fact('reversal', 2, null, { reversesId: taken.id })], 1),
    ).toEqual([{ quantity: 3, valueMinor: 300 }])
  })

  test('moving from bin to bin makes no layer and uses none up', () => {
    const facts = [fact('receive', 3, 100), fact('transfer-out', -3, 100), fact('transfer-in', 3, 700)]
    expect(fifoLayers(facts, 1)).toEqual([{ quantity: 3, valueMinor: 300 }])
  })

  test('what came without a cost is worth what the ledger said', () => {
    expect(fifoLayers([fact('receive', 4, null, { valueMinor: 90 }), fact('scrap', -1)], 1)).toEqual([
      { quantity: 3, valueMinor: 68 },
    ])
  })

  test('what is left are the pieces that came last, whatever was taken in between', () => {
    const wish = fc.tuple(fc.integer({ min: -9, max: 12 }), fc.integer({ min: 0, max: 5000 }))
    let begun = 0
    fc.assert(
      fc.property(fc.array(wish, { minLength: 5, maxLength: 40 }), (wishes) => {
        let there = 0
        const facts = wishes.flatMap(([quantity, cost]) => {
          if (quantity === 0 || there + quantity < 0) return []
          there += quantity
          return [quantity > 0 ? fact('receive', quantity, cost) : fact('issue', quantity)]
        })
        const layers = fifoLayers(facts, 1)
        expect(layers.reduce((sum, layer) => sum + layer.quantity, 0)).toBe(there)
        // The other way round: piece by piece from the newest delivery back.
        const pieces = facts.flatMap((one) => Array.from({ length: Math.max(0, one.quantity) }, () => one.costMinor!))
        const left = there === 0 ? [] : pieces.slice(-there)
        if (layers.length > 1) begun += 1
        expect(layers.reduce((sum, layer) => sum + layer.valueMinor, 0)).toBe(left.reduce((sum, cost) => sum + cost, 0))
      }),
      { seed: 20260109, numRuns: 300 },
    )
    expect(begun).toBeGreaterThan(50)
  })
})
