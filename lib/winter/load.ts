import { hoursNumber } from '../measure/work-hours.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { weekRooms } from './calendar.ts'
import { calendarUsed, type SeasonWeek, type SeasonWork } from './season.ts'
import type { WeekPlace } from './weeks.ts'

/** What is planned of a week, of what it takes. */
export interface WeekLoad {
  /** Minutes; of what people give, null where nobody is named. */
  used: number
  minutes: number | null
  /** Bays in which machines stand; of those there are, null where they are not counted. */
  baysUsed: number
  bays: number | null
  /** Machines that go on from a week before. */
  goOn: { id: number; minutes: number }[]
}

/** What is planned of each week, by its Monday; null where the plan has no calendar. */
export function weekLoads(
  work: SeasonWork,
  { weeks, places }: { weeks: readonly SeasonWeek[]; places: readonly WeekPlace[] },
  today: PlainDate,
): Map<PlainDate, WeekLoad> | null {
  const calendar = calendarUsed(work)
  if (calendar === null) return null
  const loads = new Map<PlainDate, WeekLoad>()
  for (const { on, minutes, bays } of weekRooms(weeks, calendar, today)) {
    const here = places.flatMap(({ id, weekOn, spent = [] }) =>
      spent.filter((one) => one.on === on).map((one) => ({ id, minutes: one.minutes, isOn: weekOn !== on })),
    )
    loads.set(on, {
      used: here.reduce((sum, one) => sum + one.minutes, 0),
      minutes,
      baysUsed: Math.min(here.length, bays ?? here.length),
      bays,
      goOn: here.filter(({ isOn }) => isOn).map((one) => ({ id: one.id, minutes: one.minutes })),
    })
  }
  return loads
}

/** "62 of 80 h, 3 of 4 bays" */
export function loadSays({ used, minutes, baysUsed, bays }: WeekLoad): string {
  return [
    ...(minutes === null ? [] : [`${hoursNumber(used)} of ${hoursNumber(minutes)} h`]),
    ...(bays === null ? [] : [`${baysUsed} of ${bays} ${bays === 1 ? 'bay' : 'bays'}`]),
  ].join(', ')
}
