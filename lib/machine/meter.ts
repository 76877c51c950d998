import { dateSays } from '../measure/date.ts'
import { hoursFormat } from './hour-meter.ts'

/** What a person may say of a reading that cannot follow the last one. */
export const METER_REASONS = ['meter replaced', 'last reading was wrong'] as const

const DAY_MS = 86_400_000
const DAY_TENTHS = 240

export interface MeterLast {
  hourTenths: number
  /** When it was read; null where only the figure is on file. */
  at: Date | null
}

/**
 * Most that a machine can have run since a reading, tenths of an hour: 24 h for each day begun, since the hour of the day at
 * which somebody walked up to the meter is not kept to the minute. Example: read yesterday evening, 480.
 */
export function meterMostTenths(since: Date, at: Date): number {
  const days = Math.floor(Math.max(0, at.getTime() - since.getTime()) / DAY_MS) + 1
  return days * DAY_TENTHS
}

/**
 * What is wrong with a reading: a meter never runs backwards, and no machine runs more than 24 hours a day. Tenths of an hour.
 * Null: nothing. A machine without any reading takes whatever its meter shows.
 */
export function meterFault(last: MeterLast, hourTenths: number, at: Date): 'below' | 'jump' | null {
  if (hourTenths < last.hourTenths) return 'below'
  if (last.at === null) return null
  return hourTenths - last.hourTenths > meterMostTenths(last.at, at) ? 'jump' : null
}

/** "4,213.0 h on 3 Nov 2026" */
export function meterLastSays(last: MeterLast): string {
  return `${hoursFormat(last.hourTenths)}${last.at === null ? '' : ` on ${dateSays(last.at)}`}`
}
