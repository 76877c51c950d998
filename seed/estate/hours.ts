import { type Random, randomChance } from '../../lib/maths/random.ts'
import { type Calendar, calendarDate, calendarMonth, calendarWeekday } from './calendar.ts'

/**
 * The hour meter at the end of each day, hours: a year's hours spread by the season, rest on Sundays, about every third
 * day lost to rain or other work.
 */
export function hoursByDay(
  calendar: Calendar,
  use: { season: readonly number[]; hoursPerYear: number; hoursAtStart: number },
  random: Random,
): number[] {
  const whole = use.season.reduce((sum, share) => sum + share, 0)
  let hours = use.hoursAtStart
  return Array.from({ length: calendar.days }, (_, day) => {
    const share = use.season[calendarMonth(calendar, day)]! / whole
    const inMonth = new Date(
      Date.UTC(calendarDate(calendar, day).getUTCFullYear(), calendarMonth(calendar, day) + 1, 0),
    ).getUTCDate()
    const working = calendarWeekday(calendar, day) !== 0 && !randomChance(random, 0.35)
    // 6/7 of the days less those lost carry the whole month.
    if (working) hours += ((use.hoursPerYear * share) / (inMonth * (6 / 7) * 0.65)) * (0.6 + 0.8 * random())
    return hours
  })
}
