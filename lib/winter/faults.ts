import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { type LatePart, lateLast } from './late.ts'
import type { SeasonWeek } from './season.ts'
import type { WeekPlace } from './weeks.ts'

/** Machines without a week, and weeks that were set beyond their room. */
export function placeFaults(
  places: readonly WeekPlace[],
  fleet: ReadonlyMap<number, { fleetNumber: string }>,
  weeks: readonly SeasonWeek[],
): PlanFault[] {
  const lone = places.flatMap(({ id, why }): PlanFault[] => {
    const where = fleet.get(id)!.fleetNumber
    if (why === 'no-room')
      return [
        {
          where,
          says: 'no week has room for it',
          next: 'Plan more machines a week, a longer season, or leave one out.',
        },
      ]
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
