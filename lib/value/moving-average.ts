import { Refusal } from '../refusal.ts'

/** On hand of a part over all bins, minor units, and what it is worth, money minor units. Never below zero; nothing is worth nothing. */
export interface Pool {
  quantity: number
  valueMinor: number
}

export const EMPTY_POOL: Pool = { quantity: 0, valueMinor: 0 }

/** What the arithmetic needs of a movement. */
export interface ValueFact {
  kind: string
  /** Signed minor units. */
  quantity: number
  /** Paid for one stock unit, money minor units; null where nobody said. */
  costMinor: number | null
  /** What the movement added that this one takes back; null where it takes none back. */
  reversedMinor: number | null
}

const WITHIN = new Set(['transfer-in', 'transfer-out'])

/**
 * What a movement adds to the value of the stock at perpetual moving average cost (IAS 2.25-27, weighted average), signed, money
 * minor units. `scale` is the minor units of one stock unit. A receipt comes in at what was paid; all else moves at the average
 * of that moment, halves rounded away from zero, and the last piece takes with it what rounding left. A reversal takes back what
 * was added, as far as it is still there.
 */
export function movementValue(pool: Pool, movement: ValueFact, scale: number): number {
  const { kind, quantity, costMinor, reversedMinor } = movement
  if (WITHIN.has(kind)) return 0
  const left = pool.quantity + quantity
  if (left === 0) return pool.valueMinor === 0 ? 0 : -pool.valueMinor
  if (reversedMinor !== null) return Math.max(-pool.valueMinor, -reversedMinor) || 0
  if (kind === 'receive' && costMinor !== null) return shareOf(quantity, costMinor, scale)
  if (pool.quantity > 0) return shareOf(quantity, pool.valueMinor, pool.quantity)
  // On an empty shelf there is no average: the last known cost stands in for it.
  return shareOf(quantity, costMinor ?? 0, scale)
}

/** True for what only changes the bin: half a transfer alone would leave pieces without a place and an empty shelf with a value. */
export function movesWithin(kind: string): boolean {
  return WITHIN.has(kind)
}

/**
 * The pool after a movement; a transfer leaves it alone. A mistyped price can be worth more than a whole number holds: refused
 * with 'stock/worth-too-much' before it is booked.
 */
export function pooled(pool: Pool, kind: string, quantity: number, valueMinor: number): Pool {
  if (WITHIN.has(kind)) return pool
  const after = { quantity: pool.quantity + quantity, valueMinor: pool.valueMinor + valueMinor }
  if (!Number.isSafeInteger(valueMinor) || !Number.isSafeInteger(after.valueMinor))
    throw new Refusal('stock/worth-too-much')
  return after
}

/** `times` x `value` / `of` as a whole number, halves away from zero; exact also where the product is beyond what a double holds. */
function shareOf(times: number, value: number, of: number): number {
  const product = Math.abs(times) * value
  const size = Number.isSafeInteger(2 * product)
    ? Math.floor((2 * product + of) / (2 * of))
    : Number((2n * BigInt(Math.abs(times)) * BigInt(value) + BigInt(of)) / (2n * BigInt(of)))
  // Zero has no sign here.
  return size === 0 ? 0 : Math.sign(times) * size
}
