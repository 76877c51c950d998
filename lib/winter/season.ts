import { weekdayOf } from '../buying/order-day.ts'
import { daysAdd, daysBetween, monthsAdd, type PlainDate } from '../service/plain-date.ts'

/** Calendar days, both ends among them. */
export interface DaySpan {
  from: PlainDate
  until: PlainDate
}

/** Somebody of the workshop, as far as winter work is theirs. */
export interface CalendarPerson {
  personId: string
  name: string
  /** Minutes that they give to it on a day that is worked. */
  minutesADay: number
  away: readonly DaySpan[]
}

/** Who works in a season and where. */
export interface WorkCalendar {
  /** Places at which a machine can stand and be worked on; null: not said, and no limit. */
  bays: number | null
  /** Nobody: hours are no limit. */
  people: readonly CalendarPerson[]
  /** What a service takes of which nothing is known. */
  usualMinutes: number
}

/** When work is done in a season, and how much. */
export interface SeasonWork extends DaySpan {
  /** Weekdays worked, ISO 8601 numbers, 1 Monday. */
  workdays: readonly number[]
  /** Days on which nobody works. */
  shut: readonly DaySpan[]
  /** Machines in a week of which every workday is worked; where bays or people are named, those count instead. */
  machinesAWeek: number
  calendar?: WorkCalendar
}

/** The calendar of a plan that goes by one: bays or somebody are named. */
export function calendarUsed({ calendar }: Pick<SeasonWork, 'calendar'>): WorkCalendar | null {
  return calendar && (calendar.bays !== null || calendar.people.length > 0) ? calendar : null
}

/** What a service takes of which nothing is known, in a plan that says nothing else: a day. Common practice, no source. */
export const USUAL_MINUTES = 480

export interface SeasonWeek {
  /** Its Monday. */
  on: PlainDate
  /** The days that are worked. */
  worked: PlainDate[]
  /** First day that is worked: parts must be there by then. Null where the whole week is shut. */
  day: PlainDate | null
  /** Last day that is worked. */
  lastDay: PlainDate | null
  /** Machines that it takes: the share of its workdays that are worked, rounded half up. */
  room: number
}

/** Longest season that is planned; a plan without an end would make a table without one. */
export const SEASON_DAYS_MOST = 366

export function mondayOf(day: PlainDate): PlainDate {
  return daysAdd(day, 1 - weekdayOf(day))
}

/** First and last month of the season in which machines stand; common practice of northern orchards, no source. */
const FIRST_MONTH = 11
const LAST_MONTH = 2
/** With less of it left the next season is meant. */
const LEFT_LEAST_DAYS = 28

/**
 * The season that a new plan begins with: from the next Monday, or the first of November where that is later, to the end of
 * February; where that winter has a plan, the first after it that has none. Example: on 28 November 2026, a Saturday, 30 November
 * 2026 to 28 February 2027.
 */
export function seasonProposed(today: PlainDate, planned: readonly DaySpan[] = []): DaySpan {
  const year = Number(today.slice(0, 4))
  const month = Number(today.slice(5, 7))
  const monday = daysAdd(today, (8 - weekdayOf(today)) % 7)
  const of = (first: number): DaySpan => {
    const opens = `${first}-${FIRST_MONTH}-01`
    const until = daysAdd(monthsAdd(`${first + 1}-0${LAST_MONTH}-01`, 1), -1)
    return { from: monday > opens ? monday : opens, until }
  }
  const running = of(month <= LAST_MONTH ? year - 1 : year)
  let found = daysBetween(running.from, running.until) + 1 >= LEFT_LEAST_DAYS ? running : of(year)
  const hasPlan = () => planned.some(({ from, until }) => from <= found.until && until >= found.from)
  // A plan of a year at most lies in two winters at most.
  for (let tries = 0; tries < 2 * planned.length && hasPlan(); tries++) found = of(Number(found.until.slice(0, 4)))
  return found
}

/** "Winter 2026/27"; a season within one year is called by that year. */
export function seasonName({ from, until }: DaySpan): string {
  const [first, last] = [from.slice(0, 4), until.slice(0, 4)]
  return first === last ? `Winter ${first}` : `Winter ${first}/${last.slice(2)}`
}

/** Days before a season begins from which on it is worth a line among what waits today. */
const NEAR_DAYS = 60

/** Whether a season runs or is near. */
export function seasonIsNear(today: PlainDate, { from, until }: DaySpan): boolean {
  return today <= until && daysBetween(today, from) <= NEAR_DAYS
}

/** Every week that has a day of the season, in order, with the machines that it takes. */
export function seasonWeeks({ from, until, workdays, shut, machinesAWeek }: SeasonWork): SeasonWeek[] {
  const weeks: SeasonWeek[] = []
  const last = daysAdd(from, SEASON_DAYS_MOST) < until ? daysAdd(from, SEASON_DAYS_MOST) : until
  for (let on = mondayOf(from); on <= last; on = daysAdd(on, 7)) {
    const worked = [0, 1, 2, 3, 4, 5, 6]
      .map((at) => daysAdd(on, at))
      .filter((day) => workdays.includes(weekdayOf(day)) && day >= from && day <= until)
      .filter((day) => !shut.some((span) => day >= span.from && day <= span.until))
    const share = workdays.length === 0 ? 0 : worked.length / workdays.length
    weeks.push({
      on,
      worked,
      day: worked[0] ?? null,
      lastDay: worked.at(-1) ?? null,
      room: Math.floor(machinesAWeek * share + 0.5),
    })
  }
  return weeks
}
