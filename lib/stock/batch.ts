/** What is asked of a part when it is booked in. */
export interface BatchRule {
  asksBatch: boolean
  asksUseBy: boolean
  /** Months that it usually lasts from receipt; null where none is usual. */
  shelfLifeMonths: number | null
}

/** What a part says for itself; null where its class decides. */
export type BatchOwn = { [key in keyof BatchRule]: BatchRule[key] | null }

/** The code under which pieces stand whose batch nobody can say: found while counting, or on the shelf before batches were kept. */
export const BATCH_NOT_KNOWN = 'Not known'

/** The part's own word before that of its class. A usual life without a date to keep is left out. */
export function batchRule(own: BatchOwn, ofClass: BatchRule | undefined): BatchRule {
  const asksUseBy = own.asksUseBy ?? ofClass?.asksUseBy ?? false
  return {
    asksBatch: own.asksBatch ?? ofClass?.asksBatch ?? false,
    asksUseBy,
    shelfLifeMonths: asksUseBy ? (own.shelfLifeMonths ?? ofClass?.shelfLifeMonths ?? null) : null,
  }
}

/** True where pieces are told apart by batch, or by the day to use them by. */
export function batchesKept({ asksBatch, asksUseBy }: Pick<BatchRule, 'asksBatch' | 'asksUseBy'>): boolean {
  return asksBatch || asksUseBy
}

/** So much of a batch, or of what belongs to none (`batchId` null); the use-by day is a calendar date, null where it does not spoil. */
export interface Lot {
  batchId: number | null
  /** ISO 8601 calendar date; the day itself is still good. */
  expiresOn: string | null
  /** Minor units. */
  quantity: number
}

export function isExpired(expiresOn: string | null, today: string): boolean {
  return expiresOn !== null && expiresOn < today
}

/** First expired, first out: the earliest use-by day first, what does not spoil last, ties by the older batch. */
export function lotOrder(a: Pick<Lot, 'batchId' | 'expiresOn'>, b: Pick<Lot, 'batchId' | 'expiresOn'>): number {
  if (a.expiresOn !== b.expiresOn) {
    if (a.expiresOn === null) return 1
    if (b.expiresOn === null) return -1
    return a.expiresOn < b.expiresOn ? -1 : 1
  }
  // What belongs to no batch has lain there since before batches were kept.
  return (a.batchId ?? 0) - (b.batchId ?? 0)
}

export interface LotsTaken<L extends Lot> {
  taken: L[]
  /** What good lots could not give, minor units. */
  short: number
  /** Past their day and left where they are, minor units. */
  expired: number
}

/**
 * Takes so much from the lots, the earliest use-by day first (common practice, no source). Expired ones stay unless `expired` is
 * 'too': then they go first, which is what moving away and scrapping want. `wanted` in minor units, above zero.
 *
 * @example lotsTake([{ batchId: 1, expiresOn: '2027-03-31', quantity: 2 }], 1, '2027-01-05', 'stay').taken[0].quantity // 1
 */
export function lotsTake<L extends Lot>(
  lots: readonly L[],
  wanted: number,
  today: string,
  expired: 'stay' | 'too',
): LotsTaken<L> {
  const mayGo = (lot: L) => expired === 'too' || !isExpired(lot.expiresOn, today)
  const taken: L[] = []
  let short = wanted
  for (const lot of [...lots].sort(lotOrder)) {
    const quantity = Math.min(lot.quantity, short)
    if (quantity <= 0 || !mayGo(lot)) continue
    taken.push({ ...lot, quantity })
    short -= quantity
  }
  const stayed = lots.reduce((sum, lot) => (mayGo(lot) ? sum : sum + lot.quantity), 0)
  return { taken, short, expired: stayed }
}

const DAY_MS = 86_400_000

/** Whole days from one calendar date to another; below zero when the second is earlier. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS)
}

/**
 * The day so many months later; a day that the month does not have becomes its last.
 * @example monthsLater('2026-08-31', 6) // '2027-02-28'
 */
export function monthsLater(day: string, months: number): string {
  const [year, month, date] = day.split('-').map(Number) as [number, number, number]
  const last = new Date(Date.UTC(year, month + months, 0))
  last.setUTCDate(Math.min(date, last.getUTCDate()))
  return last.toISOString().slice(0, 10)
}

export type UseBy = 'expired' | 'soon' | 'later' | 'never'

/** How a use-by day stands: `soon` from so many days before it. */
export function useByOf(expiresOn: string | null, today: string, soonDays: number): UseBy {
  if (expiresOn === null) return 'never'
  const days = daysBetween(today, expiresOn)
  return days < 0 ? 'expired' : days <= soonDays ? 'soon' : 'later'
}

/**
 * How much of the lots is used up before it spoils when the shelf gives a steady amount a day, first expired, first out; the rest
 * would be thrown away. What an order brings is one lot more.
 *
 * @param lots what lies there and what comes, minor units
 * @param perDay minor units used a day, zero or more
 * @returns whole minor units that are of use, at most the sum of the lots
 * @example usableWithin([{ batchId: 1, expiresOn: '2027-01-10', quantity: 30 }], '2027-01-01', 2) // 20: ten days, the last one too
 */
export function usableWithin(lots: readonly Lot[], today: string, perDay: number): number {
  let used = 0
  for (const { expiresOn, quantity } of [...lots].sort(lotOrder)) {
    const most = expiresOn === null ? Number.POSITIVE_INFINITY : Math.max(0, daysBetween(today, expiresOn) + 1) * perDay
    used += Math.max(0, Math.min(quantity, Math.floor(most) - used))
  }
  return used
}

/** A batch in words: "L23, use by 2027-03-31"; where only the day is kept, the code says it already. */
export function batchSays({ code, expiresOn }: { code: string; expiresOn: string | null }): string {
  return expiresOn === null || code === dayCode(expiresOn) ? code : `${code}, use by ${expiresOn}`
}

/** The code of pieces that have a use-by day and no batch number. */
export function dayCode(expiresOn: string): string {
  return `use by ${expiresOn}`
}

/** @example daysLater('2026-12-31', 1) // '2027-01-01' */
export function daysLater(day: string, days: number): string {
  return new Date(Date.parse(day) + days * DAY_MS).toISOString().slice(0, 10)
}
