import { meterMostTenths } from '../machine/meter.ts'
import { DAY_MS, type PlainDate } from './plain-date.ts'

/** What somebody read off the meter; tenths of an hour. */
export interface Reading {
  at: Date
  hourTenths: number
  /** Why a reading stands that cannot follow the one before: 'meter replaced', 'last reading was wrong'. */
  reason?: string | null
}

/** A reading with what the machine has run since the first one, whatever its meters showed; tenths of an hour. */
export interface Ran {
  at: Date
  hourTenths: number
  ranTenths: number
}

/** Readings of a year back say how a machine runs: less would take a season for the whole. */
export const TREND_DAYS = 365
/** Fewer days than this say nothing of a day's running. */
const TREND_DAYS_LEAST = 14

/**
 * Hours run from reading to reading. A meter that was replaced starts again: what the new one shows counts when it can have
 * been run since, otherwise nothing is known of that stretch and nothing is counted. A reading that was wrong is left out.
 * Between two readings of one meter the sum depends on the two alone, so readings in between may be left out.
 */
export function hoursRan(readings: readonly Reading[]): Ran[] {
  const sorted = readings.toSorted((a, b) => a.at.getTime() - b.at.getTime())
  const ran: Ran[] = []
  for (const { at, hourTenths, reason } of sorted) {
    if (reason === 'last reading was wrong') ran.pop()
    const last = ran.at(-1)
    if (!last) {
      ran.push({ at, hourTenths, ranTenths: 0 })
      continue
    }
    if (at.getTime() === last.at.getTime() && hourTenths === last.hourTenths) continue
    const isNewMeter = reason === 'meter replaced' || hourTenths < last.hourTenths
    const onNew = hourTenths <= meterMostTenths(last.at, at) ? hourTenths : 0
    const more = isNewMeter ? onNew : hourTenths - last.hourTenths
    ran.push({ at, hourTenths, ranTenths: last.ranTenths + more })
  }
  return ran
}

/**
 * Tenths of an hour a day, over the readings of the year before `today` (or as many as there are); null when they span less
 * than two weeks. A whole year holds all its seasons: a sprayer that stood all winter is not taken for one that stands for good.
 */
export function trendPerDay(ran: readonly Ran[], today: PlainDate): number | null {
  // Dates begin at midnight UTC, so instants are compared without being written as dates: a fleet's due list asks thousands.
  const from = Date.parse(today) - TREND_DAYS * DAY_MS
  const first = ran.find((one) => one.at.getTime() >= from)
  const last = ran.at(-1)
  if (!first || !last) return null
  const days = Math.floor(last.at.getTime() / DAY_MS) - Math.floor(first.at.getTime() / DAY_MS)
  return days < TREND_DAYS_LEAST ? null : (last.ranTenths - first.ranTenths) / days
}
