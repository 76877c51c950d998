import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { balanceKey, ledgerBalances, ledgerFaults } from '../../lib/stock/ledger.ts'
import { MOVEMENT_KINDS, type MovementFact, type MovementKind, movementSignFits } from '../../lib/stock/movement.ts'

fc.configureGlobal({ seed: 20260105 })

/** A sound ledger: deliveries and takings of two parts in two bins, some of them reversed. */
const soundLedger = fc
  .array(
    fc.record({
      partId: fc.constantFrom(31, 32),
      binId: fc.constantFrom(71, 72),
      quantity: fc.integer({ min: -6, max: 9 }),
      reverses: fc.boolean(),
      nth: fc.nat(30),
    }),
    { minLength: 4, maxLength: 30 },
  )
  .map((wishes) => {
    const ledger: MovementFact[] = []
    const balances = new Map<string, number>()
    const reversed = new Set<number>()
    const place = (fact: Omit<MovementFact, 'id' | 'balanceAfter'>) => {
      const key = `${fact.partId}:${fact.binId}`
      const balanceAfter = (balances.get(key) ?? 0) + fact.quantity
      if (fact.quantity === 0 || balanceAfter < 0) return
      balances.set(key, balanceAfter)
      ledger.push({ id: 500 + ledger.length, ...fact, balanceAfter })
      if (fact.reversesId !== null) reversed.add(fact.reversesId)
    }
    for (const { partId, binId, quantity, reverses, nth } of wishes) {
      const original = reverses && ledger.length > 0 ? ledger[nth % ledger.length]! : null
      if (original && original.kind !== 'reversal' && !reversed.has(original.id))
        place({ ...original, kind: 'reversal', quantity: -original.quantity, reversesId: original.id })
      else place({ kind: quantity > 0 ? 'receive' : 'issue', partId, binId, quantity, reversesId: null })
    }
    return ledger
  })

const keyOf = (movement: MovementFact) => balanceKey(movement.partId, movement.binId)
/** What the Balance table would hold: the balance each bin was left with. */
const leftOf = (ledger: readonly MovementFact[]) => new Map(ledger.map((move) => [keyOf(move), move.balanceAfter]))
/** The proof that `verify` gives: the walk finds nothing, and the sums are what is on the shelf. */
function proofFails(ledger: readonly MovementFact[], shelf: ReadonlyMap<string, number>): boolean {
  const sums = ledgerBalances(ledger)
  return ledgerFaults(ledger).length > 0 || [...shelf].some(([key, quantity]) => (sums.get(key) ?? 0) !== quantity)
}

describe('a sound ledger', () => {
  test('has no fault, and its sums are what lies in the bins', () => {
    fc.assert(
      fc.property(soundLedger, (ledger) => {
        expect(ledgerFaults(ledger)).toEqual([])
        expect(ledgerBalances(ledger)).toEqual(leftOf(ledger))
      }),
    )
  })

  test('adds up to the same balances in whatever order it is read', () => {
    fc.assert(
      fc.property(soundLedger, (ledger) => {
        expect(new Map([...ledgerBalances([...ledger].reverse())].sort())).toEqual(
          new Map([...ledgerBalances(ledger)].sort()),
        )
      }),
    )
  })
})

describe('a ledger that was bent is found out:', () => {
  const twins: Record<string, (ledger: MovementFact[], at: number) => MovementFact[] | null> = {
    'one movement forgotten': (ledger, at) => ledger.filter((_, index) => index !== at),
    'one movement booked twice': (ledger, at) => [
      ...ledger.slice(0, at + 1),
      { ...ledger[at]!, id: 9999 },
      ...ledger.slice(at + 1),
    ],
    'one quantity changed by one': (ledger, at) =>
      ledger.map((move, index) => (index === at ? { ...move, quantity: move.quantity + 1 } : move)),
    'one movement booked on the other part': (ledger, at) =>
      ledger.map((move, index) => (index === at ? { ...move, partId: move.partId === 31 ? 32 : 31 } : move)),
    'one movement booked in the other bin': (ledger, at) =>
      ledger.map((move, index) => (index === at ? { ...move, binId: move.binId === 71 ? 72 : 71 } : move)),
    'the next movement of the same bin put before it': (ledger, at) => {
      const next = ledger.findIndex((move, index) => index > at && keyOf(move) === keyOf(ledger[at]!))
      if (next === -1) return null
      return ledger.map((move, index) => (index === at ? ledger[next]! : index === next ? ledger[at]! : move))
    },
    'a delivery booked as a taking': (ledger, at) =>
      ledger[at]!.kind === 'receive'
        ? ledger.map((move, index) => (index === at ? { ...move, kind: 'issue' } : move))
        : null,
  }

  test.each(Object.keys(twins))('%s', (name) => {
    let bent = 0
    fc.assert(
      fc.property(soundLedger, fc.nat(30), (ledger, nth) => {
        if (ledger.length === 0) return
        const twin = twins[name]!([...ledger], nth % ledger.length)
        if (twin === null) return
        bent += 1
        expect(proofFails(twin, leftOf(ledger))).toBe(true)
      }),
    )
    // The faulty twin was really made.
    expect(bent).toBeGreaterThan(20)
  })

  const move = (
    id: number,
    kind: MovementKind,
    quantity: number,
    balanceAfter: number,
    reversesId: number | null = null,
  ) => ({ id, kind, partId: 31, binId: 71, quantity, balanceAfter, reversesId }) satisfies MovementFact

  test('a bin taken below zero', () => {
    expect(ledgerFaults([move(1, 'receive', 2, 2), move(2, 'issue', -3, -1)])).toEqual([
      'movement 2 takes part 31 in bin 71 to -1',
    ])
  })

  test('a running balance that does not follow', () => {
    expect(ledgerFaults([move(1, 'receive', 4, 4), move(2, 'issue', -1, 2)])).toEqual([
      'movement 2 says 2 were left, the sum says 3',
    ])
  })

  test('a reversal that names nothing, undoes another quantity, or comes a second time', () => {
    expect(ledgerFaults([move(1, 'receive', 5, 5), move(2, 'reversal', -1, 4)])).toEqual([
      'reversal 2 names no earlier movement',
    ])
    expect(ledgerFaults([move(1, 'receive', 5, 5), move(2, 'reversal', -4, 1, 1)])).toEqual([
      'reversal 2 does not undo movement 1',
    ])
    const twice = [
      move(1, 'receive', 3, 3),
      move(2, 'receive', 7, 10),
      move(3, 'reversal', -3, 7, 1),
      move(4, 'reversal', -3, 4, 1),
    ]
    expect(ledgerFaults(twice)).toEqual(['movement 1 is reversed twice'])
  })
})

describe('the kinds of movement', () => {
  test('what comes in is above zero, what goes out below; counts and reversals go either way; nothing moves nothing', () => {
    for (const [kind, { sign }] of Object.entries(MOVEMENT_KINDS) as [MovementKind, { sign: number }][]) {
      expect(movementSignFits(kind, 3)).toBe(sign >= 0)
      expect(movementSignFits(kind, -3)).toBe(sign <= 0)
      expect(movementSignFits(kind, 0)).toBe(false)
    }
  })
})
