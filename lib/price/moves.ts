import { movesByWeight, type PriceMove } from './price-list.ts'

/** Rows that are shown of a comparison. */
export const MOVES_SHOWN = 100

/** What a list of prices changes against what held before. */
export interface Moves {
  dearer: number
  cheaper: number
  same: number
  /** Offers that had no price before. */
  first: number
  /** The largest first, at most MOVES_SHOWN. */
  shown: (PriceMove & { called: string; currency: string })[]
}

/** `move` is null for an offer that had no price before. */
export function movesSum(all: readonly { called: string; currency: string; move: PriceMove | null }[]): Moves {
  const moved = all.flatMap(({ move, ...of }) => (move === null ? [] : [{ ...move, ...of }]))
  const dearer = moved.filter(({ beforeMinor, afterMinor }) => afterMinor > beforeMinor).length
  const cheaper = moved.filter(({ beforeMinor, afterMinor }) => afterMinor < beforeMinor).length
  return {
    dearer,
    cheaper,
    same: moved.length - dearer - cheaper,
    first: all.length - moved.length,
    shown: movesByWeight(moved).slice(0, MOVES_SHOWN),
  }
}
