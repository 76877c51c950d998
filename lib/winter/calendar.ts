import type { PlainDate } from '../service/plain-date.ts'
import { calendarUsed, type SeasonWeek, type SeasonWork, type WorkCalendar } from './season.ts'
import { type ComingMachine, type WeekPlace, weeksPropose } from './weeks.ts'

/** What a week of a calendar takes. */
export interface WeekRoom {
  on: PlainDate
  /** Minutes that people give; null where nobody is named. */
  minutes: number | null
  /** Bays that can be used; null where they are not counted. */
  bays: number | null
  /**
   * Minutes of the one who is there longest on each day, of the second, and so on, as many as there are bays: no more people
   * than that can each have a machine. Where nobody is named, 1 a bay, which is a machine.
   */
  whole: number[]
  /** The same of the days that are still to come. */
  ahead: number[]
}

/** With less of a week no machine is begun, unless its work is less. Minutes. */
const BEGIN_LEAST = 60

/** The weeks of a season with what people and bays give to each. */
export function weekRooms(weeks: readonly SeasonWeek[], calendar: WorkCalendar, today: PlainDate): WeekRoom[] {
  const { people, bays } = calendar
  const minutesOn = (day: PlainDate) =>
    people
      .filter(({ away }) => !away.some(({ from, until }) => day >= from && day <= until))
      .map(({ minutesADay }) => minutesADay)
      .filter((minutes) => minutes > 0)
      .sort((a, b) => b - a)
  const longest = (days: readonly PlainDate[]): number[] => {
    if (people.length === 0) return days.length === 0 ? [] : Array.from({ length: bays ?? 0 }, () => 1)
    const sums: number[] = []
    for (const day of days)
      for (const [at, minutes] of minutesOn(day)
        .slice(0, bays ?? undefined)
        .entries())
        sums[at] = (sums[at] ?? 0) + minutes
    return sums
  }
  return weeks.map(({ on, worked }) => ({
    on,
    minutes:
      people.length === 0
        ? null
        : worked.reduce((sum, day) => sum + minutesOn(day).reduce((all, minutes) => all + minutes, 0), 0),
    bays: bays === null || worked.length > 0 ? bays : 0,
    whole: longest(worked),
    ahead: longest(worked.filter((day) => day >= today)),
  }))
}

/**
 * Minutes that one machine more can have beside those that have `taken` theirs. One person works at a machine at a time, so of
 * any n machines no more is done than the n who are there longest give; and whatever keeps to that can be done, with a machine
 * handed on at most from one to the other (R. McNaughton, "Scheduling with deadlines and loss functions", Management Science 6,
 * 1959; for people who are there for different times G. Schmidt, "Scheduling on semi-identical processors", Zeitschrift für
 * Operations Research 28, 1984; both from memory).
 */
export function minutesFor(longest: readonly number[], taken: readonly number[]): number {
  const most = taken.toSorted((a, b) => b - a)
  let [gives, has, least] = [0, 0, Number.POSITIVE_INFINITY]
  for (let n = 0; n <= most.length; n++) {
    gives += longest[n] ?? 0
    least = Math.min(least, gives - has)
    has += most[n] ?? 0
  }
  return Math.max(0, least)
}

interface Work {
  machine: ComingMachine
  /** All its work, and what of it has found no week yet. In machines where nobody is named. */
  all: number
  left: number
  /** From this week on, by its number. */
  from: number
  begun: number | null
  isSet: boolean
  spent: { at: number; minutes: number }[]
}

/** What has been given away of a week: to all, and to those that were proposed. */
interface Taken {
  all: number[]
  proposed: number[]
}

function minutesIn(room: WeekRoom, taken: Taken, isSet: boolean): number {
  const whole = minutesFor(room.whole, taken.all)
  return isSet ? whole : Math.min(whole, minutesFor(room.ahead, taken.proposed))
}

function give(work: Work, at: number, minutes: number, taken: Taken): void {
  if (minutes <= 0) return
  work.left -= minutes
  work.spent.push({ at, minutes })
  taken.all.push(minutes)
  if (!work.isSet) taken.proposed.push(minutes)
}

/**
 * Week by week, each machine in its turn has as much as it can. What comes in turn before another is never held up by it, and so
 * nobody waits longer because there are more people, more hours or more bays. (Where a machine that was begun keeps its place
 * whatever comes, that is not so: R. L. Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied
 * Mathematics 17, 1969, from memory.)
 */
function workThrough(works: readonly Work[], rooms: readonly WeekRoom[], taken: readonly Taken[]): void {
  for (const [at, room] of rooms.entries()) {
    for (const work of works) {
      if (work.left <= 0 || at < work.from) continue
      const minutes = minutesIn(room, taken[at]!, work.isSet)
      if (work.begun === null && !work.isSet && minutes < Math.min(work.left, BEGIN_LEAST)) break
      work.begun ??= at
      give(work, at, Math.min(work.left, minutes), taken[at]!)
    }
  }
}

/** The latest week from which on a machine that found none after its parts can be done all the same. */
function beforeParts(work: Work, rooms: readonly WeekRoom[], taken: readonly Taken[]): void {
  for (let first = rooms.length - 1; first >= 0; first--) {
    if (minutesIn(rooms[first]!, taken[first]!, false) < Math.min(work.left, BEGIN_LEAST)) continue
    const given: number[] = []
    let left = work.left
    for (let at = first; at < rooms.length && left > 0; at++) {
      given.push(Math.min(left, minutesIn(rooms[at]!, taken[at]!, false)))
      left -= given.at(-1)!
    }
    if (left > 0) continue
    work.begun = first
    for (const [after, minutes] of given.entries()) give(work, first + after, minutes, taken[first + after]!)
    return
  }
}

function inTurn(a: ComingMachine, b: ComingMachine): number {
  const [dueA, dueB] = [a.dueOn ?? '9999', b.dueOn ?? '9999']
  if (dueA !== dueB) return dueA < dueB ? -1 : 1
  return (a.priority ?? 2) - (b.priority ?? 2)
}

/**
 * A week for each machine such that no week has more work than its people and bays can do. Machines whose week was set come
 * first, and begin in it even where it has no time for them; the others follow by the day on which they are due, by how much
 * their jobs matter, then in the order of `machines`, none before its parts can be there unless no later week has time.
 * A machine that takes longer than a week goes on in the next ones. Each has the weeks in which it is worked on and what finds
 * no time before the season ends; one that cannot be begun at all has no week.
 */
export function calendarPropose(
  calendar: WorkCalendar,
  weeks: readonly SeasonWeek[],
  machines: readonly ComingMachine[],
  today: PlainDate,
): WeekPlace[] {
  const rooms = weekRooms(weeks, calendar, today)
  const taken = rooms.map((): Taken => ({ all: [], proposed: [] }))
  const weekAt = new Map(weeks.flatMap(({ on, day }, at) => (day === null ? [] : [[on, at] as const])))
  const inMachines = calendar.people.length === 0
  const workOf = (machine: ComingMachine, from: number, isSet: boolean): Work => {
    const all = inMachines ? 1 : Math.max(1, Math.ceil(machine.minutes ?? calendar.usualMinutes))
    return { machine, all, left: all, from, begun: null, isSet, spent: [] }
  }
  const partsAt = ({ partsFrom }: ComingMachine) => {
    if (partsFrom === null) return 0
    const at = weeks.findIndex(({ day }) => day !== null && (day < today ? today : day) >= partsFrom)
    return at === -1 ? weeks.length : at
  }
  const set = machines.flatMap((one) => {
    const at = one.weekOn === null ? undefined : weekAt.get(one.weekOn)
    return at === undefined ? [] : [workOf(one, at, true)]
  })
  const proposed = machines
    .filter(({ weekOn }) => weekOn === null)
    .toSorted(inTurn)
    .map((one) => workOf(one, partsAt(one), false))
  workThrough([...set, ...proposed], rooms, taken)
  const early = new Set(proposed.filter(({ begun, from }) => begun === null && from > 0))
  for (const work of early) beforeParts(work, rooms, taken)

  const found = new Map([...set, ...proposed].map((work) => [work.machine.id, work]))
  return machines.map(({ id, minutes = calendar.usualMinutes }): WeekPlace => {
    const work = found.get(id)
    if (!work) return { id, weekOn: null, why: 'outside', spent: [], left: minutes }
    const size = inMachines ? minutes : 1
    const why = work.isSet ? 'by-hand' : work.begun === null ? 'no-room' : early.has(work) ? 'before-parts' : 'proposed'
    return {
      id,
      weekOn: work.begun === null ? null : weeks[work.begun]!.on,
      why,
      spent: work.spent.map((one) => ({ on: weeks[one.at]!.on, minutes: one.minutes * size })),
      left: work.left * size,
    }
  })
}

/** A week for each machine: by the calendar where bays or people are named, else so many machines a week. */
export function placesPropose(
  work: SeasonWork,
  weeks: readonly SeasonWeek[],
  machines: readonly ComingMachine[],
  today: PlainDate,
): WeekPlace[] {
  const calendar = calendarUsed(work)
  return calendar ? calendarPropose(calendar, weeks, machines, today) : weeksPropose(weeks, machines, today)
}
