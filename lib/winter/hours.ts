import { counted } from '../measure/counted.ts'
import { hoursSay } from '../measure/work-hours.ts'

/** A service of a machine and what somebody wrote that it takes; null: nobody did. */
export interface ServiceAsked {
  scheduleId: number
  name: string
  typedMinutes: number | null
}

/** A closed job: the services that it carried out, all of one model, and the labour booked on it. */
export interface PastServices {
  scheduleIds: readonly number[]
  minutes: number
}

/** Where hours come from: written with the service, the median of past jobs, or what the plan takes for want of either. */
export type HoursSource = 'typed' | 'learned' | 'usual'

export interface HoursPart {
  /** Services that were told together. */
  names: string[]
  minutes: number
  source: HoursSource
  /** Past jobs that it was learned from. */
  jobs: number
}

/** What the services of a machine take in all. */
export interface WorkHours {
  /** What is left to do: never less than `LEFT_LEAST` while a job is open, however much was booked. */
  minutes: number
  /** Booked already on the open jobs that carry them out. */
  booked: number
  parts: HoursPart[]
}

/** A job that is open is not done, whatever was booked on it. */
const LEFT_LEAST = 60

/** The middle of numbers, the mean of the two in the middle where they are even. Refuses nothing: without any it is 0. */
export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const half = Math.floor(sorted.length / 2)
  if (sorted.length === 0) return 0
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

const setOf = (ids: readonly number[]) => [...new Set(ids)].sort((a, b) => a - b).join(' ')

/**
 * What the services of a machine take, in minutes. What was written with a service counts. The others go by past jobs that did
 * exactly those together, since a long service holds much of a short one; else each by past jobs that did it alone; what is
 * left by what the plan takes for a service of which nothing is known. The median and not the mean: one job that stood for weeks
 * does not change it.
 */
export function workHours(asked: {
  services: readonly ServiceAsked[]
  past: readonly PastServices[]
  usualMinutes: number
  booked: number
}): WorkHours {
  const { services, usualMinutes, booked } = asked
  const learned = new Map<string, number[]>()
  for (const { scheduleIds, minutes } of asked.past) {
    if (minutes <= 0) continue
    const set = setOf(scheduleIds)
    learned.set(set, [...(learned.get(set) ?? []), minutes])
  }
  const told = ({ name, typedMinutes }: ServiceAsked): HoursPart[] =>
    typedMinutes === null ? [] : [{ names: [name], minutes: typedMinutes, source: 'typed', jobs: 0 }]
  const byPast = (some: readonly ServiceAsked[]): HoursPart | null => {
    const jobs = learned.get(setOf(some.map(({ scheduleId }) => scheduleId)))
    if (jobs === undefined) return null
    const names = some.map(({ name }) => name)
    return { names, minutes: Math.round(median(jobs)), source: 'learned', jobs: jobs.length }
  }
  const untold = services.filter(({ typedMinutes }) => typedMinutes === null)
  const together = byPast(untold)
  const rest = together
    ? [together]
    : untold.map(
        (one): HoursPart => byPast([one]) ?? { names: [one.name], minutes: usualMinutes, source: 'usual', jobs: 0 },
      )
  const parts = [...services.flatMap(told), ...rest]
  const all = parts.reduce((sum, { minutes }) => sum + minutes, 0)
  return { minutes: Math.max(Math.min(all, LEFT_LEAST), all - booked), booked, parts }
}

const SOURCES: Record<HoursSource, (jobs: number) => string> = {
  typed: () => 'as written with the service',
  learned: (jobs) => (jobs === 1 ? 'as the one past job took' : `the median of ${counted(jobs, 'past job')}`),
  usual: () => 'nothing is known of it, so what the plan takes then',
}

/** "Winter service and 250 h service 6.5 h (the median of 4 past jobs); Cutting bar 8 h (...); 2 h booked already" */
export function hoursFrom({ parts, booked }: WorkHours): string {
  return [
    ...parts.map(
      ({ names, minutes, source, jobs }) => `${names.join(' and ')} ${hoursSay(minutes)} (${SOURCES[source](jobs)})`,
    ),
    ...(booked > 0 ? [`${hoursSay(booked)} of it booked already`] : []),
  ].join('; ')
}
