import type { Purchase } from './plan-facts.ts'

/** What is decided of an order: not placed, placed with its carriage, or large enough that the supplier pays it. */
export type OrderState = 0 | 1 | 2

/** States of all orders, and what a minor unit of goods is worth to each of their thresholds. */
export interface Worths {
  states: readonly OrderState[]
  worth: readonly number[]
}

/** One way to fill all of a part or a cluster: what it costs, lateness included, and what it spends with which order. */
export interface Way {
  cost: number
  goods: ReadonlyMap<number, number>
  purchases: Purchase[]
}

/** A part of one date: each offer alone at its cheapest, and the cheapest mixture of offers whose orders are placed. */
export interface PlainWays {
  ways: Way[]
  mixture: (states: readonly OrderState[]) => Mixture | null
  /**
   * Least of any mixture after what its goods are worth, with the mixture that it is of; null where that takes too long. Where none
   * is plainly below `than`, a limit is answered, without a way.
   */
  mixtureAt: (worths: Worths, than: number) => { value: number; way: Way | null } | null
  /** Mixtures that were cheapest for some worths. */
  mixed: Way[]
}

/** No mixture costs less than `least`, which counts for whichever of `orders`; -1 is one that does not matter. */
export interface Mixture {
  least: number
  orders: number[]
  /** Null where only the limit is known. */
  way: Way | null
}

export const sameWay = (one: Way, other: Way): boolean =>
  one.cost === other.cost && JSON.stringify(one.purchases) === JSON.stringify(other.purchases)
