import { dateOf, daysAdd, daysBetween, monthsAdd, type PlainDate } from './plain-date.ts'
import { hoursRan, type Reading, trendPerDay } from './running.ts'

/** When a service is due: every so many running hours, every so many months, or whichever of the two comes first. */
export interface ServiceEvery {
  /** Tenths of an hour; null where hours do not count. */
  everyTenths: number | null
  everyMonths: number | null
  /** How much sooner it may be done, and how much later it is still in order. */
  toleranceTenths: number
  toleranceDays: number
}

/** The service as it was last done: the date, and what the meter showed then. */
export interface ServiceLast {
  at: Date
  hourTenths: number
}

/** In the order in which they ask for attention, the most pressing last. */
export const DUE_STATES = ['no-start', 'not-due', 'soon', 'due', 'overdue'] as const
export type DueState = (typeof DUE_STATES)[number]

export interface ServiceDue {
  state: DueState
  /** What brings it due first; with no trend yet, the counter that is further on. Null while nothing counts yet. */
  by: 'hours' | 'date' | null
  /** Where the counting began: the service last done, or the first reading. */
  from: { on: PlainDate; hourTenths: number; isDone: boolean } | null
  /** Running hours left on the last reading, tenths; negative when past. Null where hours do not count or none were read. */
  leftTenths: number | null
  /** What the present meter will show when it is due. */
  dueAtTenths: number | null
  /** By the calendar. */
  dueOn: PlainDate | null
  daysLeft: number | null
  /** The first of the two: when the hours are reached if the machine runs on as in the last year, or the date. */
  projectedOn: PlainDate | null
  /** Tenths of an hour a day. */
  perDay: number | null
  readOn: PlainDate | null
}

function counterState(left: number, tolerance: number): DueState {
  if (left > tolerance) return 'not-due'
  if (left > 0) return 'soon'
  return left >= -tolerance ? 'due' : 'overdue'
}

/** A date that far away is no plan: a machine that hardly runs would be told a year beyond its life. */
const FURTHEST_DAYS = 3_650

/**
 * When a service is due, on the day `today`. Hours count on what was read, never on a guess: the guess is `projectedOn` alone.
 * Neither counter reached: not due, or soon once one of them is inside its tolerance. One reached: due; one past its
 * tolerance: overdue. A machine whose meter was never read and that was never serviced has no start to count from.
 *
 * Worked example (common practice, no source): every 250 h or 12 months, done at 1000 h on 1 March, 1230 h read on 1 June at
 * 2.5 h a day: 20 h left, so on 9 June, long before 1 March of the next year.
 */
export function serviceDue(input: {
  every: ServiceEvery
  last: ServiceLast | null
  readings: readonly Reading[]
  today: PlainDate
}): ServiceDue {
  const { every, last, readings, today } = input
  // What the meter showed at the service is a reading as well; it stands behind those of the same moment.
  const ran = hoursRan(last ? [...readings, { at: last.at, hourTenths: last.hourTenths }] : readings)
  const now = ran.at(-1)
  const start = last ? ran.findLast((one) => one.at.getTime() <= last.at.getTime()) : ran[0]
  if (!now || !start)
    return {
      state: 'no-start',
      by: null,
      from: null,
      leftTenths: null,
      dueAtTenths: null,
      dueOn: null,
      daysLeft: null,
      projectedOn: null,
      perDay: null,
      readOn: null,
    }
  const perDay = trendPerDay(ran, today)
  const readOn = dateOf(now.at)
  const from = { on: dateOf(start.at), hourTenths: start.hourTenths, isDone: last !== null }

  const leftTenths = every.everyTenths === null ? null : start.ranTenths + every.everyTenths - now.ranTenths
  const byHours = leftTenths === null ? 'not-due' : counterState(leftTenths, every.toleranceTenths)
  const hoursDays = leftTenths === null || !perDay ? null : Math.ceil(leftTenths / perDay)
  const hoursOn = hoursDays === null || Math.abs(hoursDays) > FURTHEST_DAYS ? null : daysAdd(readOn, hoursDays)

  const dueOn = every.everyMonths === null ? null : monthsAdd(from.on, every.everyMonths)
  const daysLeft = dueOn === null ? null : daysBetween(today, dueOn)
  const byDate = daysLeft === null ? 'not-due' : counterState(daysLeft, every.toleranceDays)

  const [hoursRank, dateRank] = [DUE_STATES.indexOf(byHours), DUE_STATES.indexOf(byDate)]
  return {
    state: DUE_STATES[Math.max(hoursRank, dateRank)]!,
    by: firstBy(),
    from,
    leftTenths,
    dueAtTenths: leftTenths === null ? null : now.hourTenths + leftTenths,
    dueOn,
    daysLeft,
    projectedOn: [hoursOn, dueOn].filter((on) => on !== null).sort()[0] ?? null,
    perDay,
    readOn,
  }

  function firstBy(): 'hours' | 'date' {
    if (leftTenths === null) return 'date'
    if (dueOn === null) return 'hours'
    if (hoursRank !== dateRank) return hoursRank > dateRank ? 'hours' : 'date'
    if (hoursOn !== null) return hoursOn <= dueOn ? 'hours' : 'date'
    const whole = Math.max(1, daysBetween(from.on, dueOn))
    return 1 - leftTenths / every.everyTenths! >= 1 - daysLeft! / whole ? 'hours' : 'date'
  }
}

/** The most pressing first; then what is reached first, and what has no date last. */
export function dueCompare<T extends { due: Pick<ServiceDue, 'state' | 'projectedOn'> }>(a: T, b: T): number {
  const rank = DUE_STATES.indexOf(b.due.state) - DUE_STATES.indexOf(a.due.state)
  if (rank !== 0) return rank
  const [onA, onB] = [a.due.projectedOn ?? '9999', b.due.projectedOn ?? '9999']
  return onA < onB ? -1 : onA > onB ? 1 : 0
}
