import type { CountState } from './count.ts'

/** A first count of a part in a bin. */
export interface FirstCount {
  /** Calendar month, 2026-11. */
  month: string
  binId: number
  state: CountState
}

export interface MonthAccuracy {
  month: string
  lines: number
  right: number
  bins: number
  binsRight: number
}

/**
 * How many counted lines were exactly right at the first count, by month, and how many bins had no line that was not.
 * Months without a count are left out. Oldest first.
 */
export function countAccuracy(counts: Iterable<FirstCount>): MonthAccuracy[] {
  const months = new Map<string, { lines: number; right: number; bins: Map<number, boolean> }>()
  for (const { month, binId, state } of counts) {
    const one = months.get(month) ?? { lines: 0, right: 0, bins: new Map<number, boolean>() }
    const isRight = state === 'right'
    one.lines += 1
    one.right += isRight ? 1 : 0
    one.bins.set(binId, isRight && (one.bins.get(binId) ?? true))
    months.set(month, one)
  }
  return [...months]
    .map(([month, { lines, right, bins }]) => ({
      month,
      lines,
      right,
      bins: bins.size,
      binsRight: [...bins.values()].filter(Boolean).length,
    }))
    .sort((a, b) => (a.month < b.month ? -1 : 1))
}
