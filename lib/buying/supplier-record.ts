import type { PlainDate } from '../service/plain-date.ts'
import type { DeliveryKind } from './delivery.ts'

/** One line of an order, as it went. */
export interface LineRun {
  orderedOn: PlainDate
  /** When it was to come, as the order said. */
  dueOn: PlainDate
  /** When the last of it came; null while some is still to come, or when none ever came. */
  cameOn: PlainDate | null
  isOpen: boolean
  /** Mean days from order to receipt over its pieces; null where nothing has come. */
  days: number | null
}

export interface OnTime {
  /** Lines of which it is known: come, or open and overdue. */
  known: number
  onTime: number
}

/** A line is on time when the last of it came by the day that the order named; an open one that is overdue is late already. */
export function onTimeOf(lines: readonly LineRun[], today: PlainDate): OnTime {
  const told = lines.filter(({ cameOn, isOpen, dueOn }) => cameOn !== null || (isOpen && dueOn < today))
  return { known: told.length, onTime: told.filter(({ cameOn, dueOn }) => cameOn !== null && cameOn <= dueOn).length }
}

export interface DayBar {
  /** Whole days from order to receipt; the last bar holds those that took longer, too. */
  days: number
  lines: number
}

/** Days that the picture has room for. */
export const DAYS_MOST = 60

/** How many lines took how many days, without gaps from 0 to the longest. */
export function dayBars(lines: readonly LineRun[]): DayBar[] {
  const came = lines.flatMap(({ days }) => (days === null ? [] : [Math.min(DAYS_MOST, Math.round(days))]))
  if (came.length === 0) return []
  const bars = Array.from({ length: Math.max(...came) + 1 }, (_, days) => ({ days, lines: 0 }))
  for (const days of came) bars[days]!.lines += 1
  return bars
}

export interface Fault {
  kind: DeliveryKind
  times: number
}

/** What counts against a supplier; a part delivery is none while the rest may still come in time. */
const AGAINST: readonly DeliveryKind[] = ['short', 'damaged', 'wrong-part', 'over']

/** How often what went wrong, the most frequent first. */
export function faultsOf(records: readonly { kind: string }[]): Fault[] {
  return AGAINST.map((kind) => ({ kind, times: records.filter((record) => record.kind === kind).length }))
    .filter(({ times }) => times > 0)
    .sort((a, b) => b.times - a.times)
}
