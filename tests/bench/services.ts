import { servicesOf } from '../../lib/db/service-due.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { percentile, workEach } from './clock.ts'
import { spread } from './measure.ts'
import type { Measured } from './report.ts'
import { instant } from './sizes.ts'

const MACHINES = 1_000
const SCHEDULES = 2
const READINGS = 150
const DONE = 6
const BAR_MS = 50
const TODAY = 1_200

/** The week from which the meter counts: every twentieth machine has had a new one, and is read from its first reading on. */
const meterFrom = (machineId: number, week: number) => (machineId % 20 === 0 && week >= READINGS / 2 ? READINGS / 2 : 0)

async function inSlices<T>(rows: T[], create: (slice: T[]) => Promise<unknown>): Promise<void> {
  for (let at = 0; at < rows.length; at += 1_000) await create(rows.slice(at, at + 1_000))
}

/** A fleet beside the data set: every machine read each week for three years, one meter in twenty replaced, two services each, done twice a year. */
async function fleetMake(personId: string): Promise<void> {
  const random = randomSeeded('bench services')
  await inTransaction(async (tx) => {
    const model = await tx.machineModel.create({
      data: { maker: 'Bench', name: 'Serviced', key: 'bench/serviced', kind: 'tractor' },
    })
    const before = await tx.machine.aggregate({ _max: { id: true } })
    const job = await tx.job.aggregate({ _max: { id: true, number: true } })
    const [firstId, firstJob] = [(before._max.id ?? 0) + 1, (job._max.id ?? 0) + 1]
    const firstNumber = (job._max.number ?? 0) + 1
    const ids = Array.from({ length: MACHINES }, (_, at) => firstId + at)
    await inSlices(ids, (slice) =>
      tx.machine.createMany({
        data: slice.map((id) => ({
          id,
          modelId: model.id,
          fleetNumber: `SV-${id}`,
          fleetKey: `sv${id}`,
          name: 'Tractor',
          hourTenths: READINGS * 120,
        })),
      }),
    )
    const readings = ids.flatMap((machineId) =>
      Array.from({ length: READINGS }, (_, week) => ({
        machineId,
        hourTenths: (week - meterFrom(machineId, week)) * 120 + randomInteger(random, 0, 80),
        at: new Date(instant(week * 7)),
        reason: week > 0 && meterFrom(machineId, week) === week ? 'meter replaced' : null,
      })),
    )
    await inSlices(readings, (data) => tx.hourReading.createMany({ data }))
    await tx.serviceSchedule.createMany({
      data: Array.from({ length: SCHEDULES }, (_, at) => ({
        modelId: model.id,
        name: `Service ${at}`,
        nameKey: `service ${at}`,
        everyTenths: at === 0 ? 2_500 : null,
        everyMonths: 12,
      })),
    })
    const schedules = await tx.serviceSchedule.findMany({ where: { modelId: model.id } })
    const jobs = ids.flatMap((machineId, at) =>
      Array.from({ length: DONE }, (_, turn) => ({
        id: firstJob + at * DONE + turn,
        number: firstNumber + at * DONE + turn,
        machineId,
        state: 'closed',
        kind: 'service',
        complaint: 'Service',
        openedAt: new Date(instant(turn * 170)),
        openedById: personId,
      })),
    )
    await inSlices(jobs, (data) => tx.job.createMany({ data }))
    const done = jobs.flatMap((one) =>
      schedules.map((schedule) => ({
        scheduleId: schedule.id,
        machineId: one.machineId,
        jobId: one.id,
        at: one.openedAt,
        hourTenths: Math.floor((one.openedAt.getTime() - Date.parse(instant(0))) / 86_400_000 / 7) * 120,
      })),
    )
    await inSlices(done, (data) => tx.serviceDone.createMany({ data }))
  })
}

/** The due list of a fleet of 1,000 machines, as the screen asks for it. */
export async function servicesMeasure(personId: string, rounds: number): Promise<Measured[]> {
  await fleetMake(personId)
  const today = instant(TODAY).slice(0, 10)
  const { length } = await servicesOf(today)
  const { times, works } = await workEach(Math.min(rounds, 50), () => servicesOf(today))
  const what = `due list, ${length} services of 1,000 machines`
  const work = {
    what: `${what}, p95 of its own work`,
    unit: 'ms' as const,
    measured: percentile(works, 0.95),
    bar: null,
  }
  return [...spread(what, times, BAR_MS), work]
}
