import type { PlainDate } from '../service/plain-date.ts'
import type { SeasonWeek } from './season.ts'

/** A machine that comes in, as far as its week hangs on it. */
export interface ComingMachine {
  id: number
  /** When the first of its services is due; null where only somebody wants it in. */
  dueOn: PlainDate | null
  /** Day from which all that it may need can be there; null where nothing has to come first. */
  partsFrom: PlainDate | null
  /** Monday of the week that somebody set. */
  weekOn: PlainDate | null
  /** What its work takes; only where the plan has a calendar. */
  minutes?: number
  /** How much it matters among those that are due on one day: 1 first, 2 usual, 3 can wait. */
  priority?: number
}

/**
 * How a machine came to its week, or why it has none: set by hand; proposed; proposed before its parts can be there, since all
 * later weeks are full; no week has room; the week set by hand is no longer one of the season or is shut.
 */
export type WeekWhy = 'by-hand' | 'proposed' | 'before-parts' | 'no-room' | 'outside'

export interface WeekPlace {
  id: number
  weekOn: PlainDate | null
  why: WeekWhy
  /** By the calendar: the weeks in which it is worked on, in order, and what of its work finds no time in the season. */
  spent?: { on: PlainDate; minutes: number }[]
  left?: number
}

/**
 * A week for each machine, in the order of `machines`. What somebody set stays, even where it fills a week beyond its room.
 * The others follow by the day on which they are due, equal ones in the order of `machines`: each into the first week with room
 * by which its parts can be there, else into the last one before that. No proposal goes into a week that is over on `today` or
 * beyond its room; a machine that finds none is named.
 */
export function weeksPropose(
  weeks: readonly SeasonWeek[],
  machines: readonly ComingMachine[],
  today: PlainDate,
): WeekPlace[] {
  const open = new Map(weeks.flatMap((week) => (week.day === null ? [] : [[week.on, week] as const])))
  const left = new Map(weeks.map(({ on, lastDay, room }) => [on, lastDay !== null && lastDay >= today ? room : 0]))
  const places = new Map<number, WeekPlace>()
  for (const { id, weekOn } of machines) {
    if (weekOn === null) continue
    const isOpen = open.has(weekOn)
    places.set(id, { id, weekOn: isOpen ? weekOn : null, why: isOpen ? 'by-hand' : 'outside' })
    if (isOpen) left.set(weekOn, left.get(weekOn)! - 1)
  }
  const byDue = machines
    .filter(({ weekOn }) => weekOn === null)
    .toSorted((a, b) =>
      (a.dueOn ?? '9999') < (b.dueOn ?? '9999') ? -1 : (a.dueOn ?? '9999') > (b.dueOn ?? '9999') ? 1 : 0,
    )
  for (const { id, partsFrom } of byDue) {
    const room = [...open.values()].filter(({ on }) => left.get(on)! > 0)
    const after = room.find((week) => partsFrom === null || (week.day! < today ? today : week.day!) >= partsFrom)
    const week = after ?? room.at(-1)
    places.set(id, {
      id,
      weekOn: week?.on ?? null,
      why: week === undefined ? 'no-room' : after === undefined ? 'before-parts' : 'proposed',
    })
    if (week) left.set(week.on, left.get(week.on)! - 1)
  }
  return machines.map(({ id }) => places.get(id)!)
}

/** The day by which the parts of a machine must be there: the first day worked in its week that is still to come. */
export function weekDay(weeks: readonly SeasonWeek[], weekOn: PlainDate, today: PlainDate): PlainDate {
  const day = weeks.find(({ on }) => on === weekOn)?.day ?? weekOn
  return day < today ? today : day
}
