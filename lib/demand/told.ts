import type { MonthUse } from './history.ts'

const STOCKED_LEAST = 6

export const takenIn = ({ planned, failure, other }: MonthUse): number => planned + failure + other

/**
 * Which months tell of need. A month in which the shelf ran out tells only that at least so much was wanted: it counts where it
 * is no less than the mean of the months that had stock, once there are six of those.
 */
export function monthsTold(months: readonly MonthUse[]): boolean[] {
  const stocked = months.filter((month) => !month.isCensored)
  if (stocked.length < STOCKED_LEAST) return months.map(() => true)
  const mean = stocked.reduce((sum, month) => sum + takenIn(month), 0) / stocked.length
  return months.map((month) => !month.isCensored || takenIn(month) >= mean)
}
