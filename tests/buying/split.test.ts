import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { linesSplit, movesInPacks, type SplitLine } from '../../lib/buying/split.ts'
import { DraftSplitForm, OrderSplitForm } from '../../lib/buying/split-schema.ts'
import { formAsRead } from './form-as-read.ts'

const line = (partId: number, quantity: number): SplitLine => ({
  partId,
  number: `TP-${partId}`,
  unit: 'each',
  quantity,
})
const sum = (lines: readonly { partId: number; quantity: number }[], partId: number) =>
  lines.filter((one) => one.partId === partId).reduce((all, one) => all + one.quantity, 0)

describe('splitting an order', () => {
  test('every piece stays or moves: nothing is lost, nothing is there twice', () => {
    const some = fc
      .uniqueArray(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 8 })
      .chain((ids) =>
        fc.tuple(
          ...ids.map((id) =>
            fc
              .integer({ min: 1, max: 5000 })
              .chain((quantity) =>
                fc.integer({ min: 0, max: quantity }).map((taken) => [line(id, quantity), taken] as const),
              ),
          ),
        ),
      )
      .filter((rows) => rows.some(([, taken]) => taken > 0))
    fc.assert(
      fc.property(some, (rows) => {
        const before = rows.map(([one]) => one)
        const { stays, moves } = linesSplit(
          before,
          rows.map(([{ partId }, quantity]) => ({ partId, quantity })),
        )
        for (const [{ partId, quantity }, taken] of rows) {
          expect([sum(stays, partId), sum(moves, partId)]).toEqual([quantity - taken, taken])
        }
        expect([...stays, ...moves].every(({ quantity }) => quantity > 0)).toBe(true)
      }),
    )
  })

  test('another supplier gets its own whole packs, never less than moves and never a pack too many', () => {
    const quantity = fc.integer({ min: 1, max: 5000 })
    fc.assert(
      fc.property(
        quantity,
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        (moved, pack, minimum) => {
          const { lines, says } = movesInPacks([line(7, moved)], new Map([[7, { pack, minimum }]]))
          const packed = sum(lines, 7)
          expect(packed % pack).toBe(0)
          expect(packed).toBeGreaterThanOrEqual(Math.max(moved, minimum))
          expect(packed).toBeLessThan(Math.max(moved, minimum) + pack)
          expect(says).toHaveLength(packed === moved ? 0 : 1)
        },
      ),
    )
  })

  test('more than is there, a part that is not there, and nothing at all are refused', () => {
    const split = (...taken: [number, number][]) =>
      linesSplit(
        [line(1, 4), line(2, 9)],
        taken.map(([partId, quantity]) => ({ partId, quantity })),
      )
    expect(() => split([1, 5])).toThrow(/4 can be taken off here, 5 entered/)
    expect(() => split([1, 2], [1, 3])).toThrow(/buying\/split-more/)
    expect(() => split([3, 1])).toThrow(/buying\/split-more/)
    expect(() => split([1, 0])).toThrow(/buying\/nothing-chosen/)
  })

  test('only ticked lines move, as many as are typed; of an order with what was seen as due', () => {
    const fields: [string, string][] = [
      ['supplierId', '3'],
      ['chosen', '12'],
      ['quantity.12.litre', '1.5'],
      ['quantity.13.each', '4'],
    ]
    expect(formAsRead(DraftSplitForm, [['draftId', '5'], ['version', '2'], ...fields])).toEqual({
      ...{ draftId: 5, version: 2, supplierId: 3 },
      lines: [{ partId: 12, quantity: 1500 }],
    })
    const order: [string, string][] = [['orderId', '9'], ['due.12.litre', '2000'], ['why', 'none in stock'], ...fields]
    expect(formAsRead(OrderSplitForm, order)).toEqual({
      ...{ orderId: 9, supplierId: 3, why: 'none in stock' },
      lines: [{ partId: 12, quantity: 1500, due: 2000 }],
    })
  })
})
