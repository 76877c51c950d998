import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  EMPTY_POOL,
  movementValue,
  movesWithin,
  type Pool,
  pooled,
  type ValueFact,
} from '../../lib/value/moving-average.ts'
import { needReference, readHandbook } from '../support/reference.ts'

/** The books of one part: what came and went, in order, by pieces. */
function booked(facts: readonly Partial<ValueFact>[], start: Pool = EMPTY_POOL, scale = 1) {
  let pool = start
  const values = facts.map((fact) => {
    const whole: ValueFact = { kind: 'receive', quantity: 1, costMinor: null, reversedMinor: null, ...fact }
    const value = movementValue(pool, whole, scale)
    pool = pooled(pool, whole.kind, whole.quantity, value)
    return value
  })
  return { pool, values }
}

/** Purchases and sales of a worked example: pieces and price in whole currency, sales without a price. */
function worked(movements: readonly (readonly [number, number])[]) {
  return booked(
    movements.map(([quantity, price]) => ({
      kind: quantity > 0 ? 'receive' : 'issue',
      quantity,
      costMinor: quantity > 0 ? Math.round(price * 100) : null,
    })),
  )
}

describe('stock is worth what the textbooks say, by the perpetual moving average:', () => {
  // Kieso, Weygandt & Warfield, Intermediate Accounting, ch. 8; Wild, Principles of Accounting, ch. 5 (handbook.json says where).
  for (const [id, least] of [
    ['moving-average-kieso', 5],
    ['moving-average-wild', 4],
  ] as const)
    test(id, (context) => {
      const row = readHandbook(needReference(context, 'handbook.json')).find((one) => one.id === id)!
      const movements = row.inputs.movements as [number, number][]
      const expected = row.expected as { ending: number; units?: number; cogs?: number }
      const { abs } = row.tolerance as { abs: number }
      expect(movements.length).toBeGreaterThanOrEqual(least)
      const { pool, values } = worked(movements)
      expect(Math.abs(pool.valueMinor / 100 - expected.ending)).toBeLessThanOrEqual(abs)
      if (expected.units !== undefined) expect(pool.quantity).toBe(expected.units)
      const sold = -values.reduce((sum, value) => sum + Math.min(0, value), 0) / 100
      if (expected.cogs !== undefined) expect(Math.abs(sold - expected.cogs)).toBeLessThanOrEqual(abs)
    })
})

const act = fc.oneof(
  { weight: 4, arbitrary: fc.record({ verb: fc.constant('receive'), size: fc.integer({ min: 1, max: 40 }) }) },
  { weight: 6, arbitrary: fc.record({ verb: fc.constant('issue'), size: fc.integer({ min: 1, max: 12 }) }) },
  { weight: 2, arbitrary: fc.record({ verb: fc.constant('return'), size: fc.integer({ min: 1, max: 6 }) }) },
  { weight: 1, arbitrary: fc.record({ verb: fc.constant('scrap'), size: fc.integer({ min: 1, max: 6 }) }) },
  { weight: 2, arbitrary: fc.record({ verb: fc.constant('count-difference'), size: fc.integer({ min: -9, max: 9 }) }) },
  { weight: 2, arbitrary: fc.record({ verb: fc.constant('transfer'), size: fc.integer({ min: 1, max: 9 }) }) },
  { weight: 3, arbitrary: fc.record({ verb: fc.constant('reversal'), size: fc.nat(50) }) },
)
const acts = fc.array(fc.tuple(act, fc.option(fc.integer({ min: 0, max: 90_000 }), { freq: 5 })), {
  minLength: 20,
  maxLength: 60,
})

interface Booked extends ValueFact {
  before: Pool
  after: Pool
  value: number
}

/** What a workshop books of one part, refusals left out: each movement with the books before and after it. */
function ledgerOf(wishes: readonly (readonly [{ verb: string; size: number }, number | null])[]): Booked[] {
  const ledger: Booked[] = []
  const reversed = new Set<number>()
  let pool: Pool = EMPTY_POOL
  const place = (fact: ValueFact) => {
    const value = movementValue(pool, fact, 1)
    const after = pooled(pool, fact.kind, fact.quantity, value)
    ledger.push({ ...fact, before: pool, after, value })
    pool = after
  }
  for (const [{ verb, size }, costMinor] of wishes) {
    if (verb === 'transfer') {
      // All of it, as a van is filled from a bin.
      if (pool.quantity === 0) continue
      place({ kind: 'transfer-out', quantity: -pool.quantity, costMinor, reversedMinor: null })
      place({ kind: 'transfer-in', quantity: pool.quantity, costMinor, reversedMinor: null })
      continue
    }
    if (verb === 'reversal') {
      const at = ledger.length === 0 ? -1 : size % ledger.length
      const original = ledger[at]
      if (!original || movesWithin(original.kind) || original.kind === 'reversal' || reversed.has(at)) continue
      if (pool.quantity - original.quantity < 0) continue
      reversed.add(at)
      const quantity = -original.quantity
      place({ kind: 'reversal', quantity, costMinor: original.costMinor, reversedMinor: original.value })
      continue
    }
    const quantity = verb === 'issue' || verb === 'scrap' ? -size : size
    if (quantity === 0 || pool.quantity + quantity < 0) continue
    place({ kind: verb, quantity, costMinor, reversedMinor: null })
  }
  return ledger
}

describe('whatever is booked', () => {
  test('stock is never worth less than nothing, nothing is worth nothing, and the movements add up to it', () => {
    let emptied = 0
    let reversals = 0
    fc.assert(
      fc.property(acts, (wishes) => {
        let sum = 0
        for (const { value, after, kind } of ledgerOf(wishes)) {
          sum += value
          expect(Number.isSafeInteger(value)).toBe(true)
          expect(Object.is(value, -0)).toBe(false)
          expect(after.valueMinor).toBe(sum)
          expect(after.valueMinor).toBeGreaterThanOrEqual(0)
          if (after.quantity === 0) {
            emptied += 1
            expect(after.valueMinor).toBe(0)
          }
          if (kind === 'reversal') reversals += 1
        }
      }),
      { seed: 20260105, numRuns: 400 },
    )
    expect(Math.min(emptied, reversals)).toBeGreaterThan(100)
  })

  test('taking, finding, putting back and scrapping leave the average cost as it was, to half a minor unit of the movement', () => {
    let seen = 0
    fc.assert(
      fc.property(acts, (wishes) => {
        for (const { kind, before, after, costMinor, quantity, value } of ledgerOf(wishes)) {
          const atAverage = !movesWithin(kind) && kind !== 'reversal' && !(kind === 'receive' && costMinor !== null)
          if (!atAverage || before.quantity === 0 || after.quantity === 0) continue
          seen += 1
          // |value - quantity x average| <= 1/2, without a fraction anywhere.
          expect(2 * Math.abs(value * before.quantity - quantity * before.valueMinor)).toBeLessThanOrEqual(
            before.quantity,
          )
        }
      }),
      { seed: 20260106, numRuns: 300 },
    )
    expect(seen).toBeGreaterThan(1000)
  })

  test('what is reversed at once leaves quantity and value as they were, to the last minor unit', () => {
    let seen = 0
    fc.assert(
      fc.property(acts, (wishes) => {
        for (const { kind, before, after, quantity, costMinor, value } of ledgerOf(wishes)) {
          if (kind === 'reversal' || movesWithin(kind)) continue
          seen += 1
          const fact = { kind: 'reversal', quantity: -quantity, costMinor, reversedMinor: value }
          expect(pooled(after, 'reversal', -quantity, movementValue(after, fact, 1))).toEqual(before)
        }
      }),
      { seed: 20260107, numRuns: 200 },
    )
    expect(seen).toBeGreaterThan(1000)
  })
})

describe('the borders of a movement', () => {
  test('a delivery at a price comes in at it: 1.5 l at 12.35 a litre is 18.53, half a penny rounded up', () => {
    expect(movementValue(EMPTY_POOL, fact('receive', 1500, 1235), 1000)).toBe(1853)
    expect(movementValue(EMPTY_POOL, fact('receive', 1400, 1235), 1000)).toBe(1729)
  })

  test('half a minor unit goes away from zero, in and out alike', () => {
    expect(movementValue({ quantity: 2, valueMinor: 7 }, fact('issue', -1), 1)).toBe(-4)
    expect(movementValue({ quantity: 2, valueMinor: 7 }, fact('return', 1), 1)).toBe(4)
  })

  test('the last piece takes with it what rounding left', () => {
    // 100 over three pieces: 33, then 34 of the 67 that stay, then the 33 that are left.
    const taken = booked(
      Array.from({ length: 3 }, () => fact('issue', -1)),
      { quantity: 3, valueMinor: 100 },
    )
    expect(taken.values).toEqual([-33, -34, -33])
    expect(taken.pool).toEqual(EMPTY_POOL)
  })

  test('moving from bin to bin changes nothing of what the workshop owns', () => {
    const pool = { quantity: 5, valueMinor: 1234 }
    expect(movementValue(pool, fact('transfer-out', -5), 1)).toBe(0)
    expect(movementValue(pool, fact('transfer-in', 5), 1)).toBe(0)
  })

  test('a find on an empty shelf comes in at the last known cost, at nothing where none is known', () => {
    expect(movementValue(EMPTY_POOL, fact('count-difference', 3, 450), 1)).toBe(1350)
    expect(movementValue(EMPTY_POOL, fact('count-difference', 3), 1)).toBe(0)
    // On a shelf that is not empty the average counts, whatever was paid last.
    expect(movementValue({ quantity: 2, valueMinor: 200 }, fact('count-difference', 3, 450), 1)).toBe(300)
  })

  test('a delivery without a price comes in at the average of what lies there', () => {
    expect(movementValue({ quantity: 4, valueMinor: 1000 }, fact('receive', 2), 1)).toBe(500)
  })

  test('a dear delivery that is reversed after most of it was taken leaves no debt on the shelf', () => {
    // 1 at 1.00 and 1 at 99.00: the average is 50.00; one is taken, and one more arrives free of charge.
    const { pool, values } = booked([
      fact('receive', 1, 100),
      fact('receive', 1, 9900),
      fact('issue', -1),
      fact('receive', 1, 0),
    ])
    expect(pool).toEqual({ quantity: 2, valueMinor: 5000 })
    const back = movementValue(pool, { ...fact('reversal', -1, 9900), reversedMinor: values[1]! }, 1)
    expect(back).toBe(-5000)
  })

  test('large numbers stay exact, held against whole numbers without a limit', () => {
    const big = fc.tuple(fc.integer({ min: 2, max: 1_000_000_000 }), fc.integer({ min: 1, max: 9_000_000_000_000 }))
    let beyond = 0
    fc.assert(
      fc.property(big, fc.integer({ min: 1, max: 999_999_999 }), ([held, valueMinor], wish) => {
        const taken = 1 + (wish % (held - 1))
        const [q, v, of] = [BigInt(taken), BigInt(valueMinor), BigInt(held)]
        if (q * v > BigInt(Number.MAX_SAFE_INTEGER)) beyond += 1
        // Round half up of a positive fraction, by its remainder.
        const exact = (q * v) / of + (2n * ((q * v) % of) >= of ? 1n : 0n)
        expect(movementValue({ quantity: held, valueMinor }, fact('issue', -taken), 1)).toBe(
          exact === 0n ? 0 : -Number(exact),
        )
      }),
      { seed: 20260108, numRuns: 500 },
    )
    expect(beyond).toBeGreaterThan(100)
  })
})

function fact(kind: string, quantity: number, costMinor: number | null = null): ValueFact {
  return { kind, quantity, costMinor, reversedMinor: null }
}
