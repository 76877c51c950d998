import { z } from 'zod'
import { minutesOfHours } from '../measure/work-hours.ts'
import { AWAY_MOST, personFields } from './person-field.ts'
import { type DaySpan, USUAL_MINUTES } from './season.ts'

const AWAY = Array.from({ length: AWAY_MOST }, (_, at) => at + 1)

const DAY_MINUTES = 24 * 60
const USUAL_MOST = 400 * 60
const PERSON_MOST = 200

/** What somebody gives to a plan, and when not. */
export interface PersonInput {
  personId: string
  minutesADay: number
  away: DaySpan[]
}

export interface WorkCalendarInput {
  bays: number | null
  usualMinutes: number
  people: PersonInput[]
}

const Blank = (value: unknown) => (value === '' ? undefined : value)
const HoursText = (says: string, most: number) =>
  z
    .string()
    .trim()
    .transform((text, context) => {
      const minutes = minutesOfHours(text)
      if (minutes !== null && minutes <= most) return minutes
      context.addIssue({ code: 'custom', message: says })
      return z.NEVER
    })

const says = 'enter a whole number from 1 to 100, or leave it empty'
/** Read beside people and not before them, so that all that is wrong is told at once. */
const Lone = z.object({
  bays: z.preprocess(Blank, z.coerce.number<number>({ error: says }).int(says).min(1, says).max(100, says).optional()),
  usualHours: z.preprocess(
    Blank,
    HoursText('enter hours such as 8 or 6.5, at most 400', USUAL_MOST)
      .refine((minutes) => minutes > 0, 'more than nothing: 8, or 6.5')
      .optional(),
  ),
})

const Day = z.iso.date()
const HoursADay = HoursText('enter hours a day such as 6 or 6.5, at most 24', DAY_MINUTES)

type Context = Pick<z.core.$RefinementCtx, 'addIssue'>

function awayRead(personId: string, fields: Record<string, unknown>, context: Context): DaySpan[] {
  const refuse = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message })
  return AWAY.flatMap((at) => {
    const names = [personFields.awayFrom(personId, at), personFields.awayUntil(personId, at)] as const
    const ends = names.map((name) => Blank(fields[name]))
    const read = ends.map((end) => (end === undefined ? undefined : Day.safeParse(end).data))
    for (const [end, name] of names.entries())
      if (ends[end] !== undefined && read[end] === undefined) refuse(name, 'enter a date')
    const from = read[0] ?? read[1]
    const until = read[1] ?? from
    if (from === undefined || until === undefined) return []
    if (until < from) refuse(names[1], 'not before it begins')
    return [{ from, until }]
  })
}

/** Bays and people of a plan as its form has them. Whoever has no hours takes no part; days away without hours are refused. */
export function calendarRead(fields: Record<string, unknown>, context: Context): WorkCalendarInput {
  const people = Object.keys(fields).flatMap((name): PersonInput[] => {
    if (!name.startsWith(personFields.hours(''))) return []
    const personId = name.slice(personFields.hours('').length)
    if (Blank(fields[name]) === undefined) return []
    const hours = HoursADay.safeParse(fields[name])
    if (!hours.success) context.addIssue({ code: 'custom', path: [name], message: hours.error.issues[0]!.message })
    const away = awayRead(personId, fields, context)
    return hours.success && hours.data > 0 ? [{ personId, minutesADay: hours.data, away }] : []
  })
  const isIn = new Set(people.map(({ personId }) => personId))
  for (const [name, value] of Object.entries(fields)) {
    const personId = /^away(?:From|Until)\d+-(.+)$/.exec(name)?.[1]
    const hours = personId === undefined ? undefined : personFields.hours(personId)
    if (personId === undefined || hours === undefined || Blank(value) === undefined || isIn.has(personId)) continue
    if (Blank(fields[hours]) !== undefined && minutesOfHours(String(fields[hours])) !== 0) continue
    context.addIssue({
      code: 'custom',
      path: [hours],
      message: 'enter the hours a day as well, or clear the days away',
    })
  }
  if (people.length > PERSON_MOST)
    context.addIssue({ code: 'custom', path: ['bays'], message: `at most ${PERSON_MOST} people` })
  const lone = Lone.safeParse(fields)
  for (const { path, message } of lone.error?.issues ?? []) context.addIssue({ code: 'custom', path, message })
  return { bays: lone.data?.bays ?? null, usualMinutes: lone.data?.usualHours ?? USUAL_MINUTES, people }
}
