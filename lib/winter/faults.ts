import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import { hoursNumber, hoursSay } from '../measure/work-hours.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { type LatePart, lateLast } from './late.ts'
import { weekLoads } from './load.ts'
import { calendarUsed, type SeasonWeek, type SeasonWork } from './season.ts'
import type { WeekPlace } from './weeks.ts'

const NO_ROOM = {
  says: 'no week has room for it',
  next: 'Plan more machines a week, a longer season, or leave one out.',
}
const NO_TIME = {
  says: 'no week has the hours and a bay for it',
  next: 'Plan more hours or another bay, a longer season, or leave one out.',
}

/** What the calendar could not do as it was asked: work that goes on after its set week, stands still, or is never done. */
function calendarFaults(
  places: readonly WeekPlace[],
  fleet: ReadonlyMap<number, { fleetNumber: string }>,
  { weeks, work, today }: { weeks: readonly SeasonWeek[]; work: SeasonWork; today: PlainDate },
): PlanFault[] {
  const loads = weekLoads(work, { weeks, places }, today)
  if (loads === null) return []
  const isOpen = ({ on }: SeasonWeek) => (loads.get(on)!.minutes ?? 1) > 0 && loads.get(on)!.bays !== 0
  return places.flatMap(({ id, why, weekOn, spent = [], left = 0 }): PlanFault[] => {
    if (weekOn === null) return []
    const where = fleet.get(id)!.fleetNumber
    const all = left + spent.reduce((sum, { minutes }) => sum + minutes, 0)
    const outside = all - (spent.find(({ on }) => on === weekOn)?.minutes ?? 0)
    const last = spent.at(-1)?.on ?? weekOn
    const of = (minutes: number) => `${hoursNumber(minutes)} of its ${hoursSay(all)}`
    const stands = weeks.filter(
      (week) => week.on > weekOn && week.on < last && isOpen(week) && !spent.some(({ on }) => on === week.on),
    )
    return [
      ...(why === 'by-hand' && outside > 0
        ? [
            {
              where,
              says: `${of(outside)} do not fit into the week of ${dateSays(weekOn)} that was set for it`,
              next: 'They are planned after it, as far as there is time. Set another week for this or another machine.',
            },
          ]
        : []),
      ...(stands.length > 0
        ? [
            {
              where,
              says: `is begun in the week of ${dateSays(weekOn)} and stands in that of ${stands.map(({ on }) => dateSays(on)).join(', ')}, where machines that are due sooner or were set take the hours`,
              next: 'Set a later week for it to be done in one go.',
            },
          ]
        : []),
      ...(left > 0
        ? [
            {
              where,
              says: `${of(left)} find no time before the season ends`,
              next: 'Plan more hours or another bay, a longer season, or leave one out.',
            },
          ]
        : []),
    ]
  })
}

/** Machines without a week, weeks that were set beyond their room, and what a calendar cannot do as asked. */
export function placeFaults(
  places: readonly WeekPlace[],
  fleet: ReadonlyMap<number, { fleetNumber: string }>,
  { weeks, work, today }: { weeks: readonly SeasonWeek[]; work: SeasonWork; today: PlainDate },
): PlanFault[] {
  const hasCalendar = calendarUsed(work) !== null
  const lone = places.flatMap(({ id, why }): PlanFault[] => {
    const where = fleet.get(id)!.fleetNumber
    if (why === 'no-room') return [{ where, ...(hasCalendar ? NO_TIME : NO_ROOM) }]
    if (why === 'outside')
      return [
        {
          where,
          says: 'the week that was set for it is not one of the season or is shut',
          next: 'Set another week, or have one proposed.',
        },
      ]
    return []
  })
  if (hasCalendar) return [...lone, ...calendarFaults(places, fleet, { weeks, work, today })]
  const full = weeks.flatMap(({ on, room }): PlanFault[] => {
    const here = places.filter(({ weekOn }) => weekOn === on).length
    return here > room
      ? [
          {
            where: `Week of ${dateSays(on)}`,
            says: `${counted(here, 'machine')} for a room of ${room}`,
            next: 'Move one to another week, if they are too many.',
          },
        ]
      : []
  })
  return [...lone, ...full]
}

export function lateFaults(
  works: readonly { id: string; wantedOn: PlainDate; late: readonly LatePart[] }[],
  partNames: ReadonlyMap<number, string>,
): PlanFault[] {
  return works.flatMap(({ id, wantedOn, late }) => {
    const last = lateLast(late)
    if (last === null) return []
    return [
      {
        where: id,
        says: `is wanted by ${dateSays(wantedOn)}, and ${partNames.get(last.partId)} can be there on ${dateSays(last.on)} at the earliest`,
        next: 'It waits until then whatever is bought. Move the machine to a later week, or find the part nearer by.',
      },
    ]
  })
}
