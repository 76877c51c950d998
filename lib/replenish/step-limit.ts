import { must } from '../must.ts'

/** Reorder point and order-up-to level, minor units of the stock unit. */
export interface Levels {
  reorderPoint: number
  orderUpTo: number
}

/** How far one number goes in a step. */
function limited(before: number, wanted: number, { times, least, grid }: StepLimit): number {
  // From nothing, and for small numbers, one job's worth is always allowed: else 0 would stay 0 and 1 could never become 2.
  const most = Math.max(Math.floor(before * times), before + least)
  const fewest = Math.max(0, Math.min(Math.ceil(before / times), before - least))
  if (wanted > most) return Math.max(Math.min(wanted, before + grid), Math.floor(most / grid) * grid)
  if (wanted < fewest) return Math.min(Math.max(wanted, before - grid), Math.ceil(fewest / grid) * grid)
  return wanted
}

export interface StepLimit {
  /** A number goes at most to so many times what it was, or to one part in so many; above 1. */
  times: number
  /** One job’s worth: it may always go by that much. Minor units, from 1. */
  least: number
  /** Numbers are multiples of this: a pair, a tenth of a litre. Minor units, from 1. */
  grid: number
}

/**
 * The next step from the level that is kept towards the one that was reckoned: each of the two numbers moves at most by `times`.
 * A part without a level has no step to limit. The order-up-to level stays above the reorder point. Repeated, it comes to the
 * wanted level. Example: from 2 up to 4 towards 9 up to 20, twice at most: 4 up to 8.
 */
export function stepLimit(before: Levels | null, wanted: Levels, limit: StepLimit): Levels {
  must(limit.times > 1 && limit.least >= 1 && limit.grid >= 1, 'a step goes somewhere')
  if (before === null) return wanted
  const reorderPoint = limited(before.reorderPoint, wanted.reorderPoint, limit)
  const orderUpTo = limited(before.orderUpTo, wanted.orderUpTo, limit)
  if (orderUpTo > reorderPoint) return { reorderPoint, orderUpTo }
  // The two would cross: the one that may go on follows the other.
  return {
    reorderPoint: Math.max(0, Math.min(reorderPoint, orderUpTo - limit.grid)),
    orderUpTo: Math.max(orderUpTo, limit.grid),
  }
}

/**
 * What a change of level binds in stock on average, or frees (below zero), money minor units: the position swings between the
 * two numbers, so their middle moves by half the sum of both changes. `priceMinor` for one stock unit of `scale` minor units.
 */
export function levelMoney(before: Levels | null, after: Levels, priceMinor: number, scale: number): number {
  const middle = (level: Levels) => (level.reorderPoint + level.orderUpTo) / 2
  const money = ((middle(after) - (before ? middle(before) : 0)) / scale) * priceMinor
  // No minus in front of nothing.
  return Math.round(money) || 0
}
