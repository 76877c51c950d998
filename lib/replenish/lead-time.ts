import { must } from '../must.ts'

/** How long one order line took: from the day it was ordered until its pieces had come. */
export interface LeadObserved {
  supplierId: number
  partId: number
  /** Mean over its pieces where they came on several days, days. */
  days: number
  /** True while pieces are still to come: `days` is the age of the line, so it will take at least that. */
  open?: boolean
}

export interface LeadTime {
  meanDays: number
  sdDays: number
  /** Lines that have come, of this part from this supplier. */
  receipts: number
  /** Lines that have come, of all parts of this supplier. */
  receiptsOfSupplier: number
  /** What the mean rests on most. */
  from: 'receipts' | 'supplier' | 'stated'
  /** What the supplier says, its own mean over all parts, and the part's plain mean; null where nothing has come. */
  statedDays: number
  supplierDays: number
  plainDays: number | null
  /** Share of the part's own receipts in the mean, 0 to 1. */
  weight: number
}

/** The stated time counts like this many receipts of the supplier; common practice, no source. */
export const STATED_RECEIPTS = 3
/** The supplier's mean counts like this many receipts of the part, until its parts show how far apart they are. */
export const SUPPLIER_RECEIPTS = 4
const SUPPLIER_RECEIPTS_LEAST = 1
const SUPPLIER_RECEIPTS_MOST = 50
/** Spread of a lead time of which nothing is known, as a share of its mean; common practice, no source. */
export const SPREAD_STATED = 0.3

interface Sums {
  n: number
  mean: number
  /** Sum of squares about the mean. */
  squares: number
}

function sums(values: readonly number[]): Sums {
  const n = values.length
  const mean = n === 0 ? 0 : values.reduce((sum, value) => sum + value, 0) / n
  return { n, mean, squares: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) }
}

/** A supplier's deliveries, once for all of its parts. */
export interface LeadBook {
  statedDays: number
  supplierDays: number
  receipts: number
  /** Receipts of the part for which the supplier's mean counts: variance within parts over variance between them. */
  weightOfSupplier: number
  /** Variance of one delivery about the mean of its part, days squared. */
  within: number
  parts: ReadonlyMap<number, Sums & { open: number[] }>
}

/**
 * Credibility estimate of lead times (Bühlmann & Gisler, A Course in Credibility Theory, Springer 2005, chapter 3; from memory):
 *
 *   mean of a part = Z * its own mean + (1 - Z) * mean of the supplier,   Z = n / (n + k)
 *   k = variance of deliveries within a part / variance between parts
 *
 * The supplier's mean is drawn to the stated time in the same manner, k fixed at `STATED_RECEIPTS`. `k` of parts is reckoned where
 * at least three parts have two receipts or more, and kept from 1 to 50. The variance within is pooled over all parts of the
 * supplier, with the stated spread counting like `STATED_RECEIPTS` receipts.
 *
 * A line that is still open and already older than the mean counts with its age: left out, those that take longest would be
 * missing. `statedDays` > 0; observations of other suppliers must not be among them.
 */
export function leadBook(observed: readonly LeadObserved[], statedDays: number): LeadBook {
  must(Number.isFinite(statedDays) && statedDays >= 0, 'a stated lead time is a number of days from 0')
  const came = new Map<number, number[]>()
  const open = new Map<number, number[]>()
  for (const one of observed) {
    must(Number.isFinite(one.days) && one.days >= 0, 'a lead time is a number of days from 0')
    const into = one.open ? open : came
    into.set(one.partId, [...(into.get(one.partId) ?? []), one.days])
  }
  const all = sums([...came.values()].flat())
  const drawn = (days: readonly number[]) => {
    const { n, mean } = sums(days)
    return (n * mean + STATED_RECEIPTS * statedDays) / (n + STATED_RECEIPTS)
  }
  const late = [...open.values()].flat().filter((days) => days > drawn([...came.values()].flat()))
  const supplierDays = drawn([...[...came.values()].flat(), ...late])
  const parts = new Map(
    [...new Set([...came.keys(), ...open.keys()])].map((partId) => [
      partId,
      { ...sums(came.get(partId) ?? []), open: open.get(partId) ?? [] },
    ]),
  )
  const squaresWithin = [...parts.values()].reduce((sum, part) => sum + part.squares, 0)
  const freedom = [...parts.values()].reduce((sum, part) => sum + Math.max(0, part.n - 1), 0)
  const within = (squaresWithin + STATED_RECEIPTS * (SPREAD_STATED * statedDays) ** 2) / (freedom + STATED_RECEIPTS)
  return {
    statedDays,
    supplierDays,
    receipts: all.n,
    weightOfSupplier: weightOfSupplier([...parts.values()], squaresWithin / Math.max(1, freedom)),
    within,
    parts,
  }
}

/** k of the credibility estimate, from parts with two receipts or more (estimator for unequal numbers: ibid., section 4.8). */
function weightOfSupplier(parts: readonly Sums[], within: number): number {
  const told = parts.filter((part) => part.n >= 2)
  if (told.length < 3) return SUPPLIER_RECEIPTS
  const n = told.reduce((sum, part) => sum + part.n, 0)
  const mean = told.reduce((sum, part) => sum + part.n * part.mean, 0) / n
  const spread = told.reduce((sum, part) => sum + part.n * (part.mean - mean) ** 2, 0)
  const between = (spread - (told.length - 1) * within) / (n - told.reduce((sum, part) => sum + part.n ** 2, 0) / n)
  const k = between <= 0 ? SUPPLIER_RECEIPTS_MOST : within / between
  return Math.min(SUPPLIER_RECEIPTS_MOST, Math.max(SUPPLIER_RECEIPTS_LEAST, k))
}

/** Lead time of one part from the supplier of the book. */
export function leadTime(book: LeadBook, partId: number): LeadTime {
  const { statedDays, supplierDays, receipts, weightOfSupplier: k, within } = book
  const part = book.parts.get(partId) ?? { n: 0, mean: 0, squares: 0, open: [] }
  const drawn = (n: number, mean: number) => (n * mean + k * supplierDays) / (n + k)
  const late = part.open.filter((days) => days > drawn(part.n, part.mean))
  const n = part.n + late.length
  const mean = n === 0 ? 0 : (part.n * part.mean + late.reduce((sum, days) => sum + days, 0)) / n
  const weight = n / (n + k)
  return {
    meanDays: drawn(n, mean),
    // Pooled with what is known of the supplier's other parts, in the weight that its mean has too.
    sdDays: Math.sqrt((part.squares + k * within) / (Math.max(0, part.n - 1) + k)),
    receipts: part.n,
    receiptsOfSupplier: receipts,
    from: weight >= 0.5 ? 'receipts' : receipts >= STATED_RECEIPTS ? 'supplier' : 'stated',
    statedDays,
    supplierDays,
    plainDays: part.n === 0 ? null : part.mean,
    weight,
  }
}

/** "12 days, mostly 9 to 15 (7 deliveries)" */
export function leadTimeSays({ meanDays, sdDays, receipts, receiptsOfSupplier, from }: LeadTime): string {
  const low = Math.max(0, Math.round(meanDays - sdDays))
  const high = Math.round(meanDays + sdDays)
  const days = (count: number) => `${count} ${count === 1 ? 'day' : 'days'}`
  const counted = (count: number) => `${count} ${count === 1 ? 'delivery' : 'deliveries'}`
  const why = {
    receipts: `${counted(receipts)} of this part`,
    supplier: `${counted(receiptsOfSupplier)} of the supplier, ${receipts} of them of this part`,
    stated: 'as the supplier says, too few deliveries yet',
  }[from]
  return `${days(Math.round(meanDays))}${low === high ? '' : `, mostly ${low} to ${high}`} (${why})`
}
