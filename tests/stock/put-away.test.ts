import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { consignmentState, stillOnTheWay } from '../../lib/stock/consignment.ts'
import { type PutAwayFacts, putAway } from '../../lib/stock/put-away.ts'

fc.configureGlobal({ seed: 20261127 })
const NOTHING: PutAwayFacts = { fixed: [], overflow: [], now: [], last: null, open: new Set([1, 2, 3, 4, 5, 6, 7, 8]) }
const ids = (facts: Partial<PutAwayFacts>) =>
  putAway({ ...NOTHING, ...facts }).map(({ binId, why }) => `${binId} ${why}`)

// common practice, no source: a fixed place first, one place rather than two, overflow last.
describe('a bin to put a part into', () => {
  test('is its fixed bin, then where most of it lies, then where it lay last, then its overflow', () => {
    expect(
      ids({
        fixed: [4],
        overflow: [6],
        now: [
          { binId: 2, quantity: 3 },
          { binId: 3, quantity: 8 },
        ],
        last: 5,
      }),
    ).toEqual(['4 fixed', '3 now', '2 now', '5 last', '6 overflow'])
  })

  test('is proposed once, for its best reason; an emptied bin is no place where it lies', () => {
    expect(ids({ fixed: [3], now: [{ binId: 3, quantity: 2 }], last: 3 })).toEqual(['3 fixed'])
    expect(ids({ now: [{ binId: 2, quantity: 0 }], last: 2 })).toEqual(['2 last'])
    expect(ids({ overflow: [6], now: [{ binId: 6, quantity: 2 }] })).toEqual(['6 overflow'])
    expect(ids({})).toEqual([])
  })

  test('is never a closed one, nor one that nobody takes from, nor one proposed twice', () => {
    const bin = fc.integer({ min: 1, max: 12 })
    fc.assert(
      fc.property(
        fc.array(bin, { maxLength: 3 }),
        fc.array(bin, { maxLength: 3 }),
        fc.array(fc.record({ binId: bin, quantity: fc.integer({ min: 0, max: 9 }) }), { maxLength: 4 }),
        fc.option(bin),
        fc.uniqueArray(bin),
        (fixed, overflow, now, last, open) => {
          const said = putAway({ fixed, overflow, now, last, open: new Set(open) }).map(({ binId }) => binId)
          expect(new Set(said).size).toBe(said.length)
          for (const binId of said) expect(open).toContain(binId)
          if (fixed.some((one) => open.includes(one))) expect(fixed).toContain(said[0])
        },
      ),
    )
  })
})

describe('goods between two stores', () => {
  test('are on the way until they arrive or somebody says that they are lost', () => {
    const line = { sent: 10, arrived: 7, lost: 1 }
    expect(stillOnTheWay(line)).toBe(2)
    expect(consignmentState(false, [line])).toBe('packing')
    expect(consignmentState(true, [line])).toBe('on-the-way')
    expect(consignmentState(true, [{ ...line, arrived: 9 }])).toBe('short')
    expect(consignmentState(true, [{ sent: 10, arrived: 10, lost: 0 }])).toBe('arrived')
  })
})
