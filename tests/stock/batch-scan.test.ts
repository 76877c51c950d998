import { describe, expect, test } from 'vitest'
import { scannedBatch, scannedRead } from '../../lib/label/scanned.ts'
import { lotFirst, lotScanned } from '../../lib/stock/batch-scan.ts'

const OLD = { id: 3, code: 'L22', expiresOn: '2026-12-31' }
const NEXT = { id: 7, code: 'L23', expiresOn: '2027-03-31' }
const LATE = { id: 4, code: 'L24', expiresOn: '2027-09-30' }
const PLAIN = { id: 9, code: 'X1', expiresOn: null }
const LOTS = [OLD, NEXT, LATE, PLAIN]
const TODAY = '2027-02-10'

/** A pack as its GS1 code says it: 10 is the batch, 17 the last day (GS1 General Specifications, section 3.4). */
const pack = (symbol: string) => scannedBatch(scannedRead(symbol, 2027))!

describe('the pack in the hand, held against the batches in the bin', () => {
  test('the first to expire goes; for use the first that is still good', () => {
    expect(lotFirst(LOTS, TODAY, false)).toBe(OLD)
    expect(lotFirst(LOTS, TODAY, true)).toBe(NEXT)
    expect(lotFirst([OLD], TODAY, true)).toBeUndefined()
  })

  test.each([
    ['(17)270331(10)L23', 7, ''],
    ['(10)l-23', 7, ''],
    ['(17)270331', 7, ''],
    ['L23', 7, ''],
  ])('%s is the one to go', (symbol, id, says) => {
    expect(lotScanned(LOTS, NEXT, pack(symbol))).toEqual({ id, says })
  })

  test('a later one may be chosen, and is told that another should go first', () => {
    expect(lotScanned(LOTS, NEXT, pack('(17)270930(10)L24'))).toEqual({
      id: 4,
      says: 'Chosen, but L23, use by 2027-03-31 should go first.',
    })
    const same = { id: 11, code: 'L23B', expiresOn: '2027-03-31' }
    expect(lotScanned([NEXT, same], NEXT, pack('(10)L23B'))).toEqual({ id: 11, says: '' })
  })

  test('the wrong one is not chosen, and is told why', () => {
    expect(lotScanned(LOTS, NEXT, pack('(10)L99'))).toMatchObject({
      id: null,
      says: expect.stringContaining('none of it lies here'),
    })
    expect(lotScanned(LOTS, NEXT, pack('(17)270430(10)L23'))).toMatchObject({
      id: null,
      says: expect.stringContaining('to be used by 2027-03-31'),
    })
    expect(lotScanned(LOTS, NEXT, pack('(17)270430(10)X1'))).toMatchObject({
      id: null,
      says: expect.stringContaining('without a use-by date'),
    })
    const twin = { ...LATE, id: 12, code: 'L24B' }
    expect(lotScanned([...LOTS, twin], NEXT, pack('(17)270930'))).toMatchObject({
      id: null,
      says: expect.stringContaining('choose one'),
    })
  })
})
