import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { BIN_KINDS_FREE, setAsideSays, walkMoved } from '../../lib/stock/bin-kind.ts'
import { BinMapForm, BinsAddInput } from '../../lib/stock/place-schema.ts'
import { mapSquares } from '../../lib/stock/store-map.ts'

fc.configureGlobal({ seed: 20261127 })

// common practice, no source: what is held for inspection, owed back or in transit is no stock to promise.
describe('what lies where nobody may take it', () => {
  test('only shelf and overflow bins are free to take from', () => {
    expect(BIN_KINDS_FREE).toEqual(['shelf', 'overflow'])
  })

  test('is said by kind, summed over bins, and shelf bins say nothing', () => {
    expect(
      setAsideSays(
        [
          { kind: 'quarantine', quantity: 2 },
          { kind: 'shelf', quantity: 9 },
          { kind: 'on-the-way', quantity: 4 },
          { kind: 'quarantine', quantity: 1 },
          { kind: 'old-units', quantity: 0 },
        ],
        'each',
      ),
    ).toBe('3 in quarantine, 4 on the way')
    expect(setAsideSays([{ kind: 'overflow', quantity: 750 }], 'litre')).toBe('')
    expect(setAsideSays([{ kind: 'old-units', quantity: 750 }], 'litre')).toBe('750 ml to go back')
  })
})

describe('the walk past the bins', () => {
  test('a bin goes a step earlier, a step later, or to a place; beyond the ends nothing changes', () => {
    expect(walkMoved([4, 7, 9], 7, 'earlier')).toEqual([7, 4, 9])
    expect(walkMoved([4, 7, 9], 7, 'later')).toEqual([4, 9, 7])
    expect(walkMoved([4, 7, 9], 4, 'earlier')).toEqual([4, 7, 9])
    expect(walkMoved([4, 7, 9], 9, 'later')).toEqual([4, 7, 9])
    expect(walkMoved([4, 7, 9], 9, 1)).toEqual([9, 4, 7])
    expect(walkMoved([4, 7, 9], 4, 80)).toEqual([7, 9, 4])
  })

  test('no bin is lost or doubled, the others keep their order, and a place asked for is the place it has', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 1, max: 500 }), { minLength: 1, maxLength: 30 }),
        fc.nat(),
        fc.oneof(fc.constantFrom('earlier' as const, 'later' as const), fc.integer({ min: 1, max: 40 })),
        (walk, pick, to) => {
          const bin = walk[pick % walk.length]!
          const moved = walkMoved(walk, bin, to)
          expect(moved.filter((id) => id !== bin)).toEqual(walk.filter((id) => id !== bin))
          expect(moved).toHaveLength(walk.length)
          if (typeof to === 'number') expect(moved.indexOf(bin) + 1).toBe(Math.min(to, walk.length))
        },
      ),
    )
  })
})

describe('the map of a store', () => {
  test('reaches as far as bins stand, and one further while a bin is being put', () => {
    const squares = [
      { column: 5, row: 1 },
      { column: 2, row: 6 },
    ]
    expect(mapSquares(squares, false)).toEqual({ columns: [1, 2, 3, 4, 5], rows: [1, 2, 3, 4, 5, 6] })
    expect(mapSquares(squares, true).columns).toHaveLength(6)
    expect(mapSquares(squares, true).rows).toHaveLength(7)
    expect(mapSquares([], false)).toEqual({ columns: [], rows: [] })
    expect(mapSquares([], true).columns.length).toBeGreaterThan(1)
    expect(mapSquares([{ column: 20, row: 20 }], true).columns).toHaveLength(20)
  })

  test('a square is column and row; the twentieth is the last', () => {
    expect(BinMapForm.parse({ binId: '3', square: '20,7' })).toEqual({ binId: 3, mapColumn: 20, mapRow: 7 })
    expect(BinMapForm.parse({ binId: '3', square: 'off' })).toEqual({ binId: 3, mapColumn: null, mapRow: null })
    expect(BinMapForm.safeParse({ binId: '3', square: '21,7' }).success).toBe(false)
    expect(BinMapForm.safeParse({ binId: '3', square: '0,7' }).success).toBe(false)
  })
})

test('bin codes come one after the other, with commas or on lines of their own', () => {
  const read = (codes: string) => BinsAddInput.safeParse({ storeId: 1, kind: 'shelf', codes })
  expect(read('A1-01, A1-02;\nB 3 ,').data?.codes).toEqual(['A1-01', 'A1-02', 'B 3'])
  expect(read(' , ').success).toBe(false)
  expect(read('--').success).toBe(false)
})
