import type { MonthUse } from './history.ts'

const STOCKED_LEAST = 6

/** What was taken in a month; without what services took, where that is bought for them when they are planned. */
export function takenIn({ planned, failure, other }: MonthUse, withPlanned = true): number {
  return failure + other + (withPlanned ? planned : 0)
}

/**
 * Which months tell of need, by their place. A month in which the shelf ran out tells only that at least so much was wanted: it
 * counts where it is no less than the mean of the months that had stock, once there are six of those.
 */
export function monthsTold(months: readonly MonthUse[], withPlanned = true): boolean[] {
  let stocked = 0
  let taken = 0
  for (const month of months) {
    if (month.isCensored) continue
    stocked += 1
    taken += takenIn(month, withPlanned)
  }
  if (stocked < STOCKED_LEAST) return months.map(() => true)
  const mean = taken / stocked
  return months.map((month) => !month.isCensored || takenIn(month, withPlanned) >= mean)
}
