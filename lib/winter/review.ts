import type { StockUnit } from '../measure/quantity.ts'
import { type CopyPart, costOf } from './copy.ts'

/** What the books say of a part over a season. Quantities in its minor units, money in minor units of the workshop's. */
export interface PartSeason {
  partId: number
  number: string
  description: string
  unit: StockUnit
  /** For one stock unit; null where none is known. */
  priceMinor: number | null
  /** On the shelf on the evening before the season, and what orders from before it brought since. */
  opening: number
  /** By orders of the plan, less what was cancelled of them. */
  bought: number
  boughtMinor: number
  /** Taken for jobs, less what was put back. */
  used: number
  usedMinor: number
  /** Wanted by jobs of the season and still not there. */
  waiting: number
  /** Ordered in the season beside the plan. */
  orderedBeside: number
}

export interface PartReview {
  part: PartSeason
  /** Null where no service of the plan takes it. */
  planned: { certain: number; mean: number; enough: number; certainMinor: number; meanMinor: number } | null
  /** Free, on order or kept for jobs without the orders of the plan. */
  there: number
  /** Of what was bought, all that nothing needed. */
  left: number
  leftMinor: number
  /** Needed beyond what was there and bought: still waited for, or had in some other way. */
  missing: number
  missingMinor: number
  /** Of what is missing, as much as was ordered beside the plan. */
  rushed: number
}

/**
 * A part of a season, planned against used. What was there goes first, so that only what was bought in vain counts as left over;
 * a part is missing as far as more was used than was there and bought, and as far as jobs still wait for it.
 *
 * Example: 4 there, 3 bought, 5 used: 2 left over. 4 there, 3 bought, 8 used and 1 waited for: 2 missing.
 */
export function partReview(planned: CopyPart | null, part: PartSeason): PartReview {
  const { bought, used, waiting, unit, priceMinor } = part
  const provided = planned === null ? part.opening + bought : planned.stock + Math.max(0, bought - planned.ordered)
  const beyond = Math.max(0, used - provided)
  const left = Math.min(bought, Math.max(0, provided - used))
  const missing = beyond + waiting
  const boughtFor = bought === 0 ? 0 : Math.round((part.boughtMinor * left) / bought)
  return {
    part,
    planned: planned && {
      certain: planned.certain,
      mean: planned.mean,
      enough: planned.enough,
      certainMinor: costOf(planned.priceMinor ?? priceMinor, planned.certain, unit),
      meanMinor: costOf(planned.priceMinor ?? priceMinor, planned.mean, unit),
    },
    there: Math.max(0, provided - bought),
    left,
    leftMinor: boughtFor,
    missing,
    missingMinor: costOf(priceMinor, missing, unit),
    rushed: Math.min(part.orderedBeside, beyond),
  }
}

export interface ReviewSums {
  parts: number
  certainMinor: number
  meanMinor: number
  boughtMinor: number
  usedMinor: number
  leftMinor: number
  missingMinor: number
}

export function reviewSums(rows: readonly PartReview[]): ReviewSums {
  const sums = { certainMinor: 0, meanMinor: 0, boughtMinor: 0, usedMinor: 0, leftMinor: 0, missingMinor: 0 }
  for (const { planned, part, leftMinor, missingMinor } of rows) {
    sums.certainMinor += planned?.certainMinor ?? 0
    sums.meanMinor += planned?.meanMinor ?? 0
    sums.boughtMinor += part.boughtMinor
    sums.usedMinor += part.usedMinor
    sums.leftMinor += leftMinor
    sums.missingMinor += missingMinor
  }
  return { parts: rows.length, ...sums }
}

/** Rows of a review: what the plan or its orders named, and what it did not name and was missed; the rest is only summed. */
export function reviewRows(all: readonly PartReview[]): { rows: PartReview[]; unforeseen: ReviewSums } {
  const isRow = ({ planned, part, missing }: PartReview) => planned !== null || part.bought > 0 || missing > 0
  const byWeight = (a: PartReview, b: PartReview) =>
    Number(b.missing > 0) - Number(a.missing > 0) ||
    b.missingMinor - a.missingMinor ||
    b.leftMinor - a.leftMinor ||
    a.part.number.localeCompare(b.part.number, 'en', { numeric: true })
  return { rows: all.filter(isRow).sort(byWeight), unforeseen: reviewSums(all.filter((row) => !isRow(row))) }
}
