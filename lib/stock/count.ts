import type { CountSettings } from './count-settings.ts'

/**
 * What became of a count. right: the books agree. recount: counted again before anything is booked. reason: it differs, and
 * nobody has said why. waiting: for approval. sent-back: whoever approves wants it counted again.
 */
export const COUNT_STATES = ['right', 'recount', 'reason', 'waiting', 'booked', 'sent-back'] as const
export type CountState = (typeof COUNT_STATES)[number]

/** States after which somebody goes to the bin again, or says why. */
export const COUNT_OPEN: readonly CountState[] = ['recount', 'reason', 'sent-back']

/** A movement of goods in the bin since it was opened for counting; quantity signed minor units. */
export interface MovedSince {
  id: number
  quantity: number
}

/**
 * What the books say at the moment the person counted: what they say now, less what moved since. `cutId` is the last movement
 * that had happened when they counted. Count differences are no goods that moved: they put the books right and are not taken
 * off again, so `moved` leaves them out, and a second count of a bin finds it right.
 * Example: 7 on the books now, 2 taken and 3 put away since: they said 6 at the moment of the count.
 */
export function booksAtCut(onHand: number, moved: readonly MovedSince[], cutId: number): number {
  return moved.reduce((books, { id, quantity }) => (id > cutId ? books - quantity : books), onHand)
}

export interface CountFound {
  /** What the books say at the cut, minor units. */
  books: number
  counted: number
  /** What the difference is worth, signed, money minor units. */
  valueMinor: number
  /** Differences found by the counts before this one, which it was asked to check. */
  earlier: readonly number[]
  hasReason: boolean
}

/** True when a difference is large enough to be counted again: by its value or by its share of what the books say. */
export function countAsksAgain(
  { books, counted, valueMinor }: Pick<CountFound, 'books' | 'counted' | 'valueMinor'>,
  { recountMinor, recountPercent }: Pick<CountSettings, 'recountMinor' | 'recountPercent'>,
): boolean {
  const difference = Math.abs(counted - books)
  return Math.abs(valueMinor) > recountMinor || difference * 100 > recountPercent * books
}

/**
 * What becomes of a count. A large difference is believed when two counts find the same one; goods that move between the counts
 * change what lies there and not the difference.
 */
export function countJudge(found: CountFound, settings: CountSettings): Exclude<CountState, 'sent-back'> {
  const difference = found.counted - found.books
  if (difference === 0) return 'right'
  if (countAsksAgain(found, settings) && !found.earlier.includes(difference)) return 'recount'
  if (!found.hasReason) return 'reason'
  return Math.abs(found.valueMinor) > settings.approveMinor ? 'waiting' : 'booked'
}

const DAY_MS = 86_400_000
const YEAR_DAYS = 365

/** Whole days between two counts of a part that is counted so often a year. */
export function countDays(timesAYear: number): number {
  return Math.floor(YEAR_DAYS / timesAYear)
}

/** When a part in a bin is to be counted next: as often a year as its class, from the last count or the first time it lay there. */
export function countDueAt(since: Date, timesAYear: number): Date {
  return new Date(since.getTime() + countDays(timesAYear) * DAY_MS)
}
