import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen } from '../../lib/db/job.ts'
import { jobLabourSet } from '../../lib/db/job-hand-over.ts'
import { serviceJobOpen } from '../../lib/db/service-job.ts'
import { scheduleSave } from '../../lib/db/service-schedule.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { winterBegin, winterChange, winterPlanRead } from '../../lib/db/winter.ts'
import { winterFacts } from '../../lib/db/winter-facts.ts'
import { hoursSay, hoursTyped, minutesOfHours } from '../../lib/measure/work-hours.ts'
import { ScheduleInput } from '../../lib/service/schema.ts'
import { hoursFrom, median, workHours } from '../../lib/winter/hours.ts'
import { winterPlan } from '../../lib/winter/plan.ts'
import { WinterBeginInput, WinterChangeInput } from '../../lib/winter/schema.ts'
import { aMachine, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const NOW = new Date('2026-11-02T08:15:00Z')
const FORM = {
  ...{ name: 'Winter 2026/27', from: '2026-11-02', until: '2027-02-28', machinesAWeek: '1' },
  workdays: ['1', '2', '3', '4', '5'],
}
const every = { everyHours: '', everyMonths: '12', toleranceHours: '', toleranceDays: '' }

let nell = ''
let wilf = ''
let planId = 0
let modelId = 0
let scheduleId = 0
const machines: number[] = []

const known = async () => {
  const facts = await winterFacts(planId, NOW)
  return { facts, planned: winterPlan(facts) }
}
const change = (more: Record<string, string>) =>
  winterChange(asWriter(nell), WinterChangeInput.parse({ planId, ...FORM, ...more }))
const typed = (labourHours: string) =>
  scheduleSave(
    asWriter(nell),
    ScheduleInput.parse({ modelId, scheduleId, name: 'Winter service', ...every, labourHours }),
  )

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  wilf = await aPerson('Wilf Tarn')
  const first = await aMachine('W-41')
  modelId = (await database().machine.findUniqueOrThrow({ where: { id: first } })).modelId
  machines.push(first)
  for (const number of [42, 43]) {
    const data = { modelId, fleetNumber: `W-${number}`, fleetKey: `w${number}`, name: 'Trailer' }
    machines.push((await inTransaction((tx) => tx.machine.create({ data }))).id)
  }
  const service = ScheduleInput.parse({ modelId, name: 'Winter service', ...every })
  scheduleId = (await scheduleSave(asWriter(nell), service)).scheduleId
  await inTransaction(async (tx) => {
    for (const [at, machineId] of machines.entries())
      await tx.hourReading.create({
        data: { machineId, at: new Date(`2025-12-0${1 + at}T08:00:00Z`), hourTenths: 10 },
      })
  })
  planId = (await winterBegin(asWriter(nell), WinterBeginInput.parse(FORM))).planId
})

describe('a winter plan with a workshop calendar', () => {
  it('counts machines a week until bays or people are named, and asks for no hours till then', async () => {
    const { facts, planned } = await known()
    expect(facts.machines.map(({ hours }) => hours)).toEqual([undefined, undefined, undefined])
    expect(planned.places.map(({ weekOn }) => weekOn)).toEqual(['2026-11-02', '2026-11-09', '2026-11-16'])
  })

  it('takes what it says for a service of which nothing is known, and the days of need follow the schedule', async () => {
    // 4 h a day are 20 h a week; Nell is away on two of the days of the second week.
    await change({
      ...{ bays: '1', usualHours: '15', [`hours-${nell}`]: '4' },
      ...{ [`awayFrom1-${nell}`]: '2026-11-09', [`awayUntil1-${nell}`]: '2026-11-10' },
    })
    const { facts, planned } = await known()
    expect(hoursFrom(facts.machines[0]!.hours!)).toBe(
      'Winter service 15 h (nothing is known of it, so what the plan takes then)',
    )
    expect(planned.places.map(({ spent }) => spent)).toEqual([
      [{ on: '2026-11-02', minutes: 900 }],
      [
        { on: '2026-11-02', minutes: 300 },
        { on: '2026-11-09', minutes: 600 },
      ],
      [
        { on: '2026-11-09', minutes: 120 },
        { on: '2026-11-16', minutes: 780 },
      ],
    ])
    // The second week is first worked on its Monday, although Nell comes in on the Wednesday.
    expect(planned.works.map(({ wantedOn }) => wantedOn)).toEqual(['2026-11-02', '2026-11-02', '2026-11-09'])
  })

  it('a second person and a second bay bring the last machine in a week sooner', async () => {
    await change({ bays: '2', usualHours: '15', [`hours-${nell}`]: '4', [`hours-${wilf}`]: '6:30' })
    const { planned } = await known()
    expect(planned.places.map(({ weekOn }) => weekOn)).toEqual(['2026-11-02', '2026-11-02', '2026-11-02'])
    expect((await winterPlanRead(planId)).work.calendar!.people.map((one) => [one.name, one.minutesADay])).toEqual([
      ['Nell Farrow', 240],
      ['Wilf Tarn', 390],
    ])
  })

  it('learns hours from past jobs, takes what was written with the service instead, less what is booked already', async () => {
    await inTransaction(async (tx) => {
      for (const [at, labourMinutes] of [300, 540, 360].entries()) {
        const job = {
          number: 900 + at,
          machineId: machines[at]!,
          state: 'closed',
          kind: 'service',
          complaint: 'Service',
        }
        const made = await tx.job.create({ data: { ...job, labourMinutes, openedById: nell, openedAt: NOW } })
        await tx.serviceOfJob.create({ data: { jobId: made.id, scheduleId } })
      }
    })
    const says = async (at: number) => hoursFrom((await known()).facts.machines[at]!.hours!)
    expect(await says(0)).toBe('Winter service 6 h (the median of 3 past jobs)')
    await typed('7.5')
    expect(await says(0)).toBe('Winter service 7.5 h (as written with the service)')
    const asked = { machineId: machines[0]!, scheduleIds: [scheduleId], joinJobIds: [], hours: null }
    const { jobId } = await serviceJobOpen(asWriter(nell, { now: NOW }), { ...asked, meterReason: undefined })
    await jobLabourSet(asWriter(nell), { jobId, day: '2026-11-02', minutes: 120 })
    expect(await says(0)).toBe('Winter service 7.5 h (as written with the service); 2 h of it booked already')
    expect((await known()).facts.machines[0]!.hours!.minutes).toBe(330)
    await typed('')
    expect(await says(1)).toBe('Winter service 6 h (the median of 3 past jobs)')
  })

  it('the job that matters most comes first of those that are due on one day', async () => {
    await inTransaction((tx) => tx.hourReading.updateMany({ data: { at: new Date('2025-12-01T08:00:00Z') } }))
    await change({ bays: '1' })
    const told = { complaint: 'Lamp out', kind: 'repair' as const, hours: null, unsafe: false, positions: [] }
    const { jobId } = await jobOpen(asWriter(nell, { now: NOW }), { machineId: machines[2]!, ...told })
    const before = (await known()).planned.places.map(({ weekOn }) => weekOn)
    expect(before).toEqual(['2026-11-02', '2026-11-09', '2026-11-16'])
    await inTransaction((tx) => tx.job.update({ where: { id: jobId }, data: { priority: 1 } }))
    expect((await known()).planned.places.map(({ weekOn }) => weekOn)).toEqual([
      ...['2026-11-09', '2026-11-16', '2026-11-02'],
    ])
  })

  it('goes by machines a week again once bays and people are taken out', async () => {
    await change({ bays: '', [`hours-${nell}`]: '', usualHours: '15' })
    const { facts, planned } = await known()
    expect(planned.places.every(({ spent }) => spent === undefined)).toBe(true)
    expect(facts.work.calendar).toEqual({ bays: null, usualMinutes: 900, people: [] })
  })
})

describe('the form of a plan', () => {
  const faultsOf = (more: Record<string, string>) => {
    const read = WinterBeginInput.safeParse({ ...FORM, ...more })
    return read.success ? [] : read.error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`)
  }

  it('says at each field what to enter', () => {
    expect(faultsOf({ bays: 'two' })).toEqual(['bays: enter a whole number from 1 to 100, or leave it empty'])
    expect(faultsOf({ usualHours: 'a day' })).toEqual(['usualHours: enter hours such as 8 or 6.5, at most 400'])
    expect(faultsOf({ 'hours-p1': '25' })).toEqual(['hours-p1: enter hours a day such as 6 or 6.5, at most 24'])
    expect(faultsOf({ 'awayFrom1-p1': '2026-12-01' })).toEqual([
      'hours-p1: enter the hours a day as well, or clear the days away',
    ])
    expect(
      faultsOf({
        'hours-p1': '6',
        'awayFrom1-p1': '2026-12-09',
        'awayUntil1-p1': '2026-12-01',
        'awayFrom2-p1': 'soon',
      }),
    ).toEqual(['awayUntil1-p1: not before it begins', 'awayFrom2-p1: enter a date'])
    // All that is wrong at once.
    expect(faultsOf({ bays: '0', 'hours-p1': 'six' }).map((says) => says.split(':')[0])).toEqual(['hours-p1', 'bays'])
    expect(faultsOf({ 'hours-p1': '0', 'hours-p2': '', bays: '' })).toEqual([])
  })

  it('reads hours as people write them', () => {
    expect(['6', '6.5', '6,5', '6:30', ' 7 ', '6h', '-1', ''].map(minutesOfHours)).toEqual([
      ...[360, 390, 390, 390, 420, null, null, null],
    ])
    for (let minutes = 1; minutes < 2_000; minutes++) expect(minutesOfHours(hoursTyped(minutes))).toBe(minutes)
    expect([390, 380].map(hoursTyped)).toEqual(['6.5', '6:20'])
    expect([390, 480, 100].map(hoursSay)).toEqual(['6.5 h', '8 h', '1.7 h'])
  })
})

describe('what a machine takes of people’s time', () => {
  const service = (scheduleId: number, typedMinutes: number | null = null) => ({
    ...{ scheduleId, name: `Service ${scheduleId}`, typedMinutes },
  })
  const past = [
    { scheduleIds: [1], minutes: 100 },
    { scheduleIds: [1], minutes: 5_000 },
    { scheduleIds: [1], minutes: 140 },
    { scheduleIds: [2, 1], minutes: 200 },
    { scheduleIds: [2], minutes: 0 },
  ]
  const of = (services: ReturnType<typeof service>[], booked = 0) =>
    workHours({ services, past, usualMinutes: 480, booked })

  it('is the middle of past jobs, so that one that stood for weeks does not change it', () => {
    // By hand: the middle of 100, 140 and 5000; of two the mean.
    expect([median([100, 5_000, 140]), median([100, 200]), median([])]).toEqual([140, 150, 0])
    expect(of([service(1)]).minutes).toBe(140)
  })

  it('goes by jobs that did the same services together before it adds them up', () => {
    expect(of([service(1), service(2)]).parts).toEqual([
      { names: ['Service 1', 'Service 2'], minutes: 200, source: 'learned', jobs: 1 },
    ])
    expect(of([service(1), service(3)]).parts.map(({ minutes, source }) => [minutes, source])).toEqual([
      [140, 'learned'],
      [480, 'usual'],
    ])
    expect(of([service(1, 90), service(2)]).minutes).toBe(90 + 480)
  })

  it('is never nothing while it is not done', () => {
    expect([of([service(1)], 30).minutes, of([service(1)], 900).minutes, of([service(1, 20)], 900).minutes]).toEqual([
      ...[110, 60, 20],
    ])
  })
})
