import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { booksAtCut, countDueAt, countJudge } from '../../lib/stock/count.ts'
import { countAccuracy } from '../../lib/stock/count-accuracy.ts'
import { COUNT_SETTINGS } from '../../lib/stock/count-settings.ts'

fc.configureGlobal({ seed: 20260212 })

describe('counting while goods move', () => {
  test('7 on the books, 2 taken and 3 put away since: they said 6 before both, 4 between, 7 after', () => {
    const moved = [
      { id: 41, quantity: -2 },
      { id: 44, quantity: 3 },
    ]
    expect([40, 41, 44].map((cut) => booksAtCut(7, moved, cut))).toEqual([6, 4, 7])
  })

  test('whenever the person counts, the difference is that of a shelf on which nothing moved', () => {
    const moves = fc.array(fc.integer({ min: -9, max: 9 }), { maxLength: 12 })
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 60 }),
        fc.integer({ min: -20, max: 20 }),
        moves,
        fc.nat(12),
        (books, error, wishes, nth) => {
          let [shelf, ledger] = [Math.max(0, books + error), books]
          const stillDifference = shelf - ledger
          const moved: { id: number; quantity: number }[] = []
          const seen = [{ cut: 900, shelf }]
          for (const wish of wishes) {
            // Nobody takes what is not there, nor books out what the books do not have.
            const quantity = Math.max(wish, -shelf, -ledger)
            if (quantity === 0) continue
            shelf += quantity
            ledger += quantity
            moved.push({ id: 901 + moved.length, quantity })
            seen.push({ cut: 900 + moved.length, shelf })
          }
          const counted = seen[nth % seen.length]!
          const difference = counted.shelf - booksAtCut(ledger, moved, counted.cut)
          expect(difference).toBe(stillDifference)
          // Booked now, the books say what lies there now.
          expect(ledger + difference).toBe(shelf)
        },
      ),
    )
  })

  test('a count held against the wrong moment is caught by the law above', () => {
    expect(8 - booksAtCut(6, [{ id: 12, quantity: -2 }], 12)).not.toBe(
      8 - booksAtCut(6, [{ id: 12, quantity: -2 }], 11),
    )
  })
})

describe('what becomes of a count', () => {
  // Limits: 50.00 and 10 per cent ask for a second count, 200.00 for approval. Common practice, no source.
  const judge = (books: number, counted: number, more: { value?: number; earlier?: number[]; reason?: boolean } = {}) =>
    countJudge(
      { books, counted, valueMinor: more.value ?? 0, earlier: more.earlier ?? [], hasReason: more.reason ?? false },
      COUNT_SETTINGS,
    )

  test('one that agrees is right, whatever was found before', () => {
    expect(judge(12, 12)).toBe('right')
    expect(judge(12, 12, { earlier: [-3] })).toBe('right')
  })

  test('a difference of 10 per cent is believed, one above is counted again', () => {
    expect(judge(30, 27, { reason: true })).toBe('booked')
    expect(judge(30, 26, { reason: true })).toBe('recount')
    expect(judge(0, 1, { reason: true })).toBe('recount')
  })

  test('so is one worth more than 50.00, up or down', () => {
    expect(judge(200, 199, { value: -5000, reason: true })).toBe('booked')
    expect(judge(200, 199, { value: -5001, reason: true })).toBe('recount')
    expect(judge(200, 201, { value: 5001, reason: true })).toBe('recount')
  })

  test('two counts that find the same difference are believed; two that do not are counted a third time', () => {
    expect(judge(30, 20, { earlier: [-10], reason: true })).toBe('booked')
    expect(judge(30, 21, { earlier: [-10], reason: true })).toBe('recount')
    expect(judge(30, 20, { earlier: [-10, -9], reason: true })).toBe('booked')
  })

  test('nothing is booked without a reason, and above 200.00 not without approval', () => {
    expect(judge(30, 28)).toBe('reason')
    expect(judge(30, 10, { earlier: [-20], value: -20_000, reason: true })).toBe('booked')
    expect(judge(30, 10, { earlier: [-20], value: -20_001, reason: true })).toBe('waiting')
  })
})

test('a class counted four times a year is due again after 91 days, twice after 182, once after 365', () => {
  const last = new Date('2026-01-01T08:00:00Z')
  const days = (times: number) => (countDueAt(last, times).getTime() - last.getTime()) / 86_400_000
  expect([4, 2, 1].map(days)).toEqual([91, 182, 365])
})

test('accuracy is the share of lines right at the first count, by month; a bin is right when each of its lines is', () => {
  const count = (month: string, binId: number, state: 'right' | 'booked' | 'recount') => ({ month, binId, state })
  expect(
    countAccuracy([
      count('2026-03', 5, 'right'),
      count('2026-02', 5, 'right'),
      count('2026-02', 5, 'recount'),
      count('2026-02', 6, 'right'),
      count('2026-02', 7, 'booked'),
      count('2026-02', 7, 'right'),
    ]),
  ).toEqual([
    { month: '2026-02', lines: 5, right: 3, bins: 3, binsRight: 1 },
    { month: '2026-03', lines: 1, right: 1, bins: 1, binsRight: 1 },
  ])
})
