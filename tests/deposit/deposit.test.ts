import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  type DepositAct,
  type DepositBook,
  type DepositFact,
  dayAfter,
  depositAct,
  depositPairs,
  depositUrgency,
  type UnitFact,
} from '../../lib/deposit/deposit.ts'
import { depositDueSays, depositSays } from '../../lib/deposit/deposit-text.ts'
import { isRefusal } from '../../lib/refusal.ts'

const deposit = (id: number, more: Partial<DepositFact> = {}): DepositFact => ({
  id,
  partId: 7,
  supplierId: 3,
  owedMinor: 18_000,
  dueOn: '2026-12-20',
  unitId: null,
  ...more,
})
const unit = (id: number, more: Partial<UnitFact> = {}): UnitFact => ({
  id,
  partId: 7,
  state: 'kept',
  depositId: null,
  ...more,
})
const code = (run: () => unknown) => {
  try {
    run()
    return 'done'
  } catch (error) {
    if (isRefusal(error)) return error.code
    throw error
  }
}

// Rules of exchange trade: common practice, no source.
describe('deposits on exchange parts', () => {
  test('an old unit goes back for the deposit that is due first with that supplier', () => {
    const book = {
      deposits: [deposit(1), deposit(2, { dueOn: '2026-12-05' }), deposit(3, { supplierId: 4, dueOn: '2026-11-30' })],
      units: [unit(11)],
    }
    const step = depositAct(book, { act: 'send', unitId: 11, supplierId: 3 })
    expect(step.units).toEqual([unit(11, { state: 'sent', depositId: 2 })])
    expect(step.deposits).toEqual([deposit(2, { dueOn: '2026-12-05', unitId: 11 })])
    expect(step.lines).toEqual([])
    expect(code(() => depositAct(book, { act: 'send', unitId: 11, supplierId: 9 }))).toBe('deposit/none-open')
  })

  test('180.00 owed and 120.00 credited for a broken flange: 60.00 are lost and nothing is owed', () => {
    const book = { deposits: [deposit(1, { unitId: 11 })], units: [unit(11, { state: 'sent', depositId: 1 })] }
    const step = depositAct(book, { act: 'answer', unitId: 11, creditedMinor: 12_000, state: 'accepted' })
    expect(step.lines).toEqual([
      { depositId: 1, kind: 'credited', amountMinor: -12_000 },
      { depositId: 1, kind: 'lost', amountMinor: -6_000 },
    ])
    expect(step.deposits[0]!.owedMinor).toBe(0)
    expect(code(() => depositAct(book, { act: 'answer', unitId: 11, creditedMinor: 18_001, state: 'accepted' }))).toBe(
      'deposit/more-than-owed',
    )
  })

  test('a refused unit with nothing credited loses the whole deposit', () => {
    const book = { deposits: [deposit(1, { unitId: 11 })], units: [unit(11, { state: 'sent', depositId: 1 })] }
    expect(depositAct(book, { act: 'answer', unitId: 11, creditedMinor: 0, state: 'refused' })).toMatchObject({
      units: [{ state: 'refused' }],
      lines: [{ kind: 'lost', amountMinor: -18_000 }],
    })
  })

  test('a scrapped unit loses its deposit, but not while a spare one can go back for it', () => {
    const spare = { deposits: [deposit(1)], units: [unit(11), unit(12)] }
    expect(depositAct(spare, { act: 'discard', unitId: 11, state: 'scrapped' }).lines).toEqual([])
    const last = { deposits: [deposit(1), deposit(2, { partId: 8 })], units: [unit(11), unit(13, { partId: 8 })] }
    expect(depositAct(last, { act: 'discard', unitId: 11, state: 'scrapped' }).lines).toEqual([
      { depositId: 1, kind: 'lost', amountMinor: -18_000 },
    ])
  })

  test('a deposit whose unit went back is neither given up nor reversed', () => {
    const book = { deposits: [deposit(1, { unitId: 11 })], units: [unit(11, { state: 'sent', depositId: 1 })] }
    expect(code(() => depositAct(book, { act: 'give-up', depositId: 1, creditedMinor: 0 }))).toBe('deposit/went-back')
    expect(code(() => depositAct(book, { act: 'reverse', depositId: 1 }))).toBe('deposit/went-back')
  })

  test('the unit kept first is meant for the deposit due first; a deposit without a limit waits longest', () => {
    const pairs = depositPairs({
      deposits: [deposit(1, { dueOn: null }), deposit(2), deposit(3, { partId: 8 })],
      units: [unit(12), unit(11), unit(13)],
    })
    expect([...pairs]).toEqual([
      [11, 2],
      [12, 1],
    ])
  })

  test('thirty days from receipt cross a month and a leap day; soon begins fourteen days before', () => {
    expect(dayAfter('2026-11-20', 30)).toBe('2026-12-20')
    // 2028 is a leap year (Gregorian rule, ISO 8601).
    expect(dayAfter('2028-02-15', 15)).toBe('2028-03-01')
    expect(depositUrgency('2026-12-20', '2026-12-05')).toBe('later')
    expect(depositUrgency('2026-12-20', '2026-12-06')).toBe('soon')
    expect(depositUrgency('2026-12-20', '2026-12-20')).toBe('soon')
    expect(depositUrgency('2026-12-20', '2026-12-21')).toBe('overdue')
    expect(depositUrgency(null, '2026-12-21')).toBe('open-ended')
  })

  test('what is charged and when it must be back is said in words and by shape', () => {
    expect(depositSays({ depositMinor: 6500, returnDays: 60 }, 'GBP')).toBe(
      'and £65.00 deposit, until the old unit is back, within 60 days',
    )
    expect(depositDueSays('2026-11-03', '2026-11-08')).toEqual({
      shape: '▲',
      words: 'overdue since 3 Nov 2026',
      presses: true,
    })
    expect(depositDueSays('2026-11-09', '2026-11-08').words).toBe('due back in 1 day, 9 Nov 2026')
    expect(depositDueSays(null, '2026-11-08').presses).toBe(false)
  })
})

/** A plain tally that shares nothing with the rules: what was charged, credited and lost, by the lines that came out. */
interface Tally {
  charged: number
  credited: number
  lost: number
  reversed: number
}

const act = fc.oneof(
  fc.record({
    act: fc.constant('charge' as const),
    partId: fc.integer({ min: 1, max: 2 }),
    supplierId: fc.integer({ min: 1, max: 2 }),
    owedMinor: fc.integer({ min: 1, max: 9_999 }),
    dueOn: fc.constantFrom(null, '2026-12-01', '2026-12-24', '2027-02-11'),
  }),
  fc.record({ act: fc.constant('keep' as const), partId: fc.integer({ min: 1, max: 2 }) }),
  fc.record({
    act: fc.constant('send' as const),
    unitId: fc.integer({ min: 1, max: 8 }),
    supplierId: fc.integer({ min: 1, max: 2 }),
  }),
  fc.record({
    act: fc.constant('answer' as const),
    unitId: fc.integer({ min: 1, max: 8 }),
    creditedMinor: fc.integer({ min: -1, max: 10_000 }),
    state: fc.constantFrom('accepted' as const, 'refused' as const, 'lost' as const),
  }),
  fc.record({
    act: fc.constant('discard' as const),
    unitId: fc.integer({ min: 1, max: 8 }),
    state: fc.constantFrom('scrapped' as const, 'none' as const),
  }),
  fc.record({
    act: fc.constant('give-up' as const),
    depositId: fc.integer({ min: 1, max: 8 }),
    creditedMinor: fc.integer({ min: 0, max: 10_000 }),
  }),
  fc.record({ act: fc.constant('reverse' as const), depositId: fc.integer({ min: 1, max: 8 }) }),
)

test('in any order of acts owed is charged less credited, lost and reversed, never below zero, and the same act again changes nothing', () => {
  let settledOften = 0
  fc.assert(
    fc.property(fc.array(act, { minLength: 10, maxLength: 60 }), (acts) => {
      const deposits = new Map<number, DepositFact>()
      const units = new Map<number, UnitFact>()
      const tally: Tally = { charged: 0, credited: 0, lost: 0, reversed: 0 }
      const book = (): DepositBook => ({ deposits: [...deposits.values()], units: [...units.values()] })
      const owed = () => [...deposits.values()].reduce((sum, one) => sum + one.owedMinor, 0)
      for (const one of acts) {
        if (one.act === 'charge') {
          const { act: _, ...fact } = one
          const id = deposits.size + 1
          deposits.set(id, { id, unitId: null, ...fact })
          tally.charged += one.owedMinor
          continue
        }
        if (one.act === 'keep') {
          const id = units.size + 1
          units.set(id, { id, partId: one.partId, state: 'kept', depositId: null })
          continue
        }
        const before = owed()
        let step: ReturnType<typeof depositAct>
        try {
          step = depositAct(book(), one as DepositAct)
        } catch (error) {
          if (!isRefusal(error)) throw error
          expect(owed()).toBe(before)
          continue
        }
        for (const row of step.deposits) deposits.set(row.id, row)
        for (const row of step.units) units.set(row.id, row)
        for (const line of step.lines) {
          expect(line.amountMinor).toBeLessThan(0)
          if (line.kind !== 'owed') tally[line.kind] -= line.amountMinor
          settledOften += 1
        }
        expect(Math.min(0, ...[...deposits.values()].map((row) => row.owedMinor))).toBe(0)
        expect(owed()).toBe(tally.charged - tally.credited - tally.lost - tally.reversed)
        // The unit is gone and the deposit settled: a second time it is refused.
        expect(code(() => depositAct(book(), one as DepositAct))).not.toBe('done')
      }
      // Each deposit has at most one unit, and each unit that went back one deposit of its own part.
      const went = [...units.values()].filter((row) => row.depositId !== null)
      expect(new Set(went.map((row) => row.depositId)).size).toBe(went.length)
      for (const row of went) {
        expect(deposits.get(row.depositId!)!.partId).toBe(row.partId)
        expect(deposits.get(row.depositId!)!.owedMinor > 0).toBe(row.state === 'sent')
      }
    }),
    { seed: 20_261_128, numRuns: 300 },
  )
  expect(settledOften, 'the acts settle deposits often enough to mean something').toBeGreaterThan(200)
})
