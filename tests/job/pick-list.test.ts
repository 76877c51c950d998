import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type BinHolding, type PickNeed, pickList, pickRowName, pickRows } from '../../lib/job/pick-list.ts'

fc.configureGlobal({ seed: 20260105 })

const sum = (values: readonly number[]) => values.reduce((all, one) => all + one, 0)

const BINS = [
  { binId: 1, bin: 'A-1', store: 'Long barn', storeId: 10, walkOrder: 5 },
  { binId: 2, bin: 'A-2', store: 'Long barn', storeId: 10, walkOrder: 3 },
  { binId: 3, bin: 'A-3', store: 'Long barn', storeId: 10, walkOrder: 5 },
  { binId: 4, bin: 'V-1', store: 'Van', storeId: 20, walkOrder: 1 },
]
const placeOf = new Map(BINS.map((bin) => [bin.binId, [bin.storeId, bin.walkOrder, bin.binId]]))

const shelf = fc
  .array(
    fc.tuple(fc.constantFrom(101, 102, 103), fc.subarray(BINS), fc.array(fc.nat(6), { minLength: 4, maxLength: 4 })),
  )
  .map((rows) => {
    const holdings = new Map<number, BinHolding[]>()
    for (const [partId, bins, quantities] of rows)
      holdings.set(partId, bins.map((bin, at) => ({ ...bin, quantity: quantities[at]! })).reverse())
    return holdings
  })
const needs = fc
  .array(fc.record({ partId: fc.constantFrom(101, 102, 103, 104), stillWanted: fc.nat(9) }), { maxLength: 8 })
  .map((all) => all.map((need, at): PickNeed => ({ needId: 900 + at, ...need })))

describe('a pick list', () => {
  test('never asks a bin for more than it holds', () => {
    fc.assert(
      fc.property(needs, shelf, (wanted, holdings) => {
        const { lines } = pickList(wanted, holdings)
        for (const [partId, bins] of holdings)
          for (const bin of bins) {
            const asked = lines.filter((line) => line.partId === partId && line.binId === bin.binId)
            expect(sum(asked.map((line) => line.quantity))).toBeLessThanOrEqual(bin.quantity)
          }
        expect(lines.every((line) => line.quantity > 0)).toBe(true)
      }),
    )
  })

  test('picked and short together are what each need wants', () => {
    fc.assert(
      fc.property(needs, shelf, (wanted, holdings) => {
        const { lines, short } = pickList(wanted, holdings)
        for (const need of wanted) {
          const of = [...lines, ...short].filter((one) => one.needId === need.needId)
          expect(sum(of.map((one) => one.quantity))).toBe(need.stillWanted)
          expect(of.every((one) => one.partId === need.partId)).toBe(true)
        }
      }),
    )
  })

  test('leaves what is kept for other jobs where it is, and says it is short of it', () => {
    const kept = fc.dictionary(fc.constantFrom('101', '102', '103'), fc.nat(9))
    fc.assert(
      fc.property(needs, shelf, kept, (wanted, holdings, keptOf) => {
        const others = new Map(Object.entries(keptOf).map(([partId, quantity]) => [Number(partId), quantity]))
        const { lines, short } = pickList(wanted, holdings, others)
        for (const [partId, bins] of holdings) {
          const there = sum(bins.map((bin) => bin.quantity))
          const asked = sum(lines.filter((line) => line.partId === partId).map((line) => line.quantity))
          const all = sum(wanted.filter((need) => need.partId === partId).map((need) => need.stillWanted))
          expect(asked).toBe(Math.min(all, Math.max(0, there - (others.get(partId) ?? 0))))
          const missing = sum(short.filter((one) => one.partId === partId).map((one) => one.quantity))
          expect(asked + missing).toBe(all)
        }
      }),
    )
  })

  test('is short of a part only when every bin of it is emptied', () => {
    fc.assert(
      fc.property(needs, shelf, (wanted, holdings) => {
        const { lines, short } = pickList(wanted, holdings)
        for (const { partId } of short) {
          const there = sum((holdings.get(partId) ?? []).map((bin) => bin.quantity))
          expect(sum(lines.filter((line) => line.partId === partId).map((line) => line.quantity))).toBe(there)
        }
      }),
    )
  })

  test('is walked once: store by store, in walking order, no bin visited twice apart', () => {
    fc.assert(
      fc.property(needs, shelf, (wanted, holdings) => {
        const walk = pickList(wanted, holdings).lines.map((line) => placeOf.get(line.binId)!)
        const before = (a: readonly number[], b: readonly number[]) =>
          (a[0]! - b[0]! || a[1]! - b[1]! || a[2]! - b[2]!) <= 0
        for (const [at, place] of walk.slice(1).entries()) expect(before(walk[at]!, place)).toBe(true)
      }),
    )
  })

  test('gives the parts to the need that comes first, from the first bin of the walk', () => {
    const holdings = new Map([[101, BINS.map((bin, at) => ({ ...bin, quantity: [4, 2, 0, 9][at]! }))]])
    const { lines, short } = pickList(
      [
        { needId: 7, partId: 101, stillWanted: 5 },
        { needId: 6, partId: 101, stillWanted: 12 },
      ],
      holdings,
    )
    expect(lines.map((line) => [line.bin, line.needId, line.quantity])).toEqual([
      ['A-2', 7, 2],
      ['A-1', 6, 1],
      ['A-1', 7, 3],
      ['V-1', 6, 9],
    ])
    expect(short).toEqual([{ needId: 6, partId: 101, quantity: 2 }])
  })
})

describe('the rows a person walks by', () => {
  const line = (needId: number, partId: number, binId: number, quantity: number) => ({
    needId,
    partId,
    binId,
    bin: `A-${binId}`,
    store: 'Long barn',
    walkOrder: binId,
    quantity,
  })

  test('one part from one bin is one row for both sides, and names what each side gets', () => {
    const rows = pickRows([line(11, 5, 1, 2), line(12, 6, 1, 1), line(13, 5, 1, 3), line(13, 5, 2, 4)])
    expect(rows.map((row) => [row.partId, row.bin, row.quantity])).toEqual([
      [5, 'A-1', 5],
      [6, 'A-1', 1],
      [5, 'A-2', 4],
    ])
    expect(pickRowName(rows[0]!)).toBe('11:2+13:3.1')
    expect(pickRowName(rows[1]!)).toBe('12:1.1')
  })
})
