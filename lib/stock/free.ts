/** What the shelf can give one job of a part. */
export type FreeState = 'enough' | 'some' | 'none'

export interface FreeStock {
  state: FreeState
  /** On hand less what is kept for others, minor units. */
  free: number
  /** On the shelf for other jobs, minor units. */
  keptForOthers: number
  /** The order that brings more, told only where the shelf does not do: calendar date, and whole days late. */
  due: { number: number; dueOn: string; daysLate: number } | null
}

const DAY_MS = 86_400_000

/**
 * What is free for a job: on hand less what is allocated to others (`own` is what this job was promised itself), against what it
 * still wants; all minor units. Where that is not enough, when more is due and how late it is. `today` and `dueOn` are
 * calendar dates, ISO 8601.
 */
export function freeStock(input: {
  stock: { onHand: number; allocated: number }
  own: number
  wanted: number
  order: { number: number; dueOn: string } | undefined
  today: string
}): FreeStock {
  const { stock, own, wanted, order, today } = input
  const keptForOthers = Math.min(stock.onHand, Math.max(0, stock.allocated - own))
  const free = stock.onHand - keptForOthers
  const state = free >= Math.max(1, wanted) ? 'enough' : free > 0 ? 'some' : 'none'
  const daysLate = order ? Math.max(0, Math.round((Date.parse(today) - Date.parse(order.dueOn)) / DAY_MS)) : 0
  const due = state === 'enough' || !order ? null : { number: order.number, dueOn: order.dueOn, daysLate }
  return { state, free, keptForOthers, due }
}
