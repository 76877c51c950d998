import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type ChainMember, chainFitsBack, chainNeed } from '../../lib/buying/chain-need.ts'
import { orderNeed } from '../../lib/replenish/order-list.ts'

/** Part 2 replaces part 1; each with what lies on the shelf, is on order and is wanted by jobs. */
type Counts = [onHand: number, onOrder: number, wantedByJobs: number]
const stockOf = ([onHand, onOrder, wantedByJobs]: Counts) => ({ onHand, onOrder, wantedByJobs })

function successor(counts: Counts, level: ChainMember['level'] = null): ChainMember {
  return { partId: 2, ratio: 1, fitsBack: true, stock: stockOf(counts), level }
}

function old(counts: Counts, more: Partial<ChainMember> = {}): ChainMember {
  return { partId: 1, ratio: 1, fitsBack: false, stock: stockOf(counts), level: null, ...more }
}

// Interchangeability one way and both ways as parts lists state it (S1000D, MIL-STD-40051); the counting is common practice.
describe('a part and the one it replaces', () => {
  test('what lies of a part that fits either way is used before the new one is bought', () => {
    const both = [successor([0, 0, 4]), old([3, 0, 0], { fitsBack: true })]
    expect(chainNeed(both)).toMatchObject({ need: 1, onHand: 3, counted: [2, 1] })
  })

  test('what lies of the old part does not help a job that asks for the new one', () => {
    expect(chainNeed([successor([0, 0, 4]), old([3, 0, 0])])).toMatchObject({ need: 4, onHand: 0, counted: [2] })
  })

  test('a job that asks for the old part takes what is left of it, and the new one for the rest', () => {
    expect(chainNeed([successor([0, 0, 0]), old([3, 0, 5])])).toMatchObject({ need: 2, onHand: 3 })
    expect(chainNeed([successor([1, 0, 0]), old([3, 0, 5])])).toMatchObject({ need: 1 })
    expect(chainNeed([successor([2, 0, 0]), old([3, 0, 5])])).toMatchObject({ need: 0 })
  })

  test('two old ones on order serve the job before any is bought', () => {
    expect(chainNeed([successor([0, 0, 0]), old([1, 2, 4])])).toMatchObject({ need: 1, onHand: 1, onOrder: 2 })
  })

  test('where two new ones do the work of an old one, twice as many are bought', () => {
    expect(chainNeed([successor([1, 0, 0]), old([0, 0, 3], { ratio: 2 })])).toMatchObject({ need: 5, wantedByJobs: 6 })
  })

  test('the level of the new part counts before that of the old one', () => {
    const level = { reorderPoint: 2, orderUpTo: 7 }
    const oldLevel = { reorderPoint: 5, orderUpTo: 20 }
    expect(chainNeed([successor([1, 0, 0], level), old([0, 0, 0], { level: oldLevel })])).toMatchObject({
      need: 6,
      reorderPoint: 2,
      orderUpTo: 7,
    })
  })

  test('the level of the old part is kept up from what lies of both, until the new one has its own', () => {
    const level = { reorderPoint: 2, orderUpTo: 6 }
    expect(chainNeed([successor([1, 0, 0]), old([2, 0, 0], { level })])).toMatchObject({ need: 0 })
    expect(chainNeed([successor([1, 0, 0]), old([1, 0, 0], { level })])).toMatchObject({ need: 4 })
    // Nine old ones above the level are of no use to a job that asks for the new one.
    expect(chainNeed([successor([1, 0, 3]), old([9, 0, 0], { level })])).toMatchObject({ need: 2 })
  })

  test('replaced both ways all along fits back; one step that is one way breaks it', () => {
    const links = [
      { oldPartId: 1, interchange: 'both-ways' as const },
      { oldPartId: 2, interchange: 'one-way' as const },
      { oldPartId: 3, interchange: 'both-ways' as const },
    ]
    expect(chainFitsBack([1, 2], links)).toBe(true)
    expect(chainFitsBack([1, 2, 3], links)).toBe(false)
    expect(chainFitsBack([3, 4], links)).toBe(true)
    expect(chainFitsBack([4], links)).toBe(true)
  })
})

describe('laws', () => {
  const counts = fc.tuple(fc.nat(60), fc.nat(60), fc.nat(60))
  const level = fc.option(
    fc
      .tuple(fc.nat(40), fc.integer({ min: 1, max: 40 }))
      .map(([s, more]) => ({ reorderPoint: s, orderUpTo: s + more })),
    { nil: null },
  )
  const chain = fc
    .record({ end: counts, endLevel: level, before: counts, beforeLevel: level, fitsBack: fc.boolean() })
    .map(({ end, endLevel, before, beforeLevel, fitsBack }) => [
      successor(end, endLevel),
      old(before, { level: beforeLevel, fitsBack }),
    ])

  test('a part that replaces nothing needs what the order list says', () => {
    fc.assert(
      fc.property(counts, level, (shelf, own) => {
        const facts = { partId: 2, ...stockOf(shelf), reorderPoint: null, orderUpTo: null, ...own }
        expect(chainNeed([successor(shelf, own)]).need).toBe(orderNeed(facts))
      }),
    )
  })

  test('once the need has come, every job is served: its own part where it is left, the new one else', () => {
    fc.assert(
      fc.property(chain, ([end, before]) => {
        const { need } = chainNeed([end!, before!])
        const newOnes = end!.stock.onHand + end!.stock.onOrder + need
        const oldOnes = before!.stock.onHand + before!.stock.onOrder
        const oldForOld = Math.min(oldOnes, before!.stock.wantedByJobs)
        const oldForNew = before!.fitsBack ? oldOnes - oldForOld : 0
        const stillWanted = before!.stock.wantedByJobs - oldForOld + end!.stock.wantedByJobs - oldForNew
        expect(newOnes).toBeGreaterThanOrEqual(stillWanted)
      }),
    )
  })

  test('a part that fits back is never worth less than one that does not', () => {
    fc.assert(
      fc.property(chain, ([end, before]) => {
        const either = chainNeed([end!, { ...before!, fitsBack: true }]).need
        expect(either).toBeLessThanOrEqual(chainNeed([end!, { ...before!, fitsBack: false }]).need)
      }),
    )
  })
})
