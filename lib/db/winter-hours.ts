import { type WorkHours, workHours } from '../winter/hours.ts'
import { database } from './client.ts'
import type { ServiceOfMachine } from './service-due.ts'

/** What the services of each machine that comes in take of people's time, by its id. A service belongs to one model. */
export async function hoursOf(
  coming: ReadonlyMap<number, readonly ServiceOfMachine[]>,
  usualMinutes: number,
): Promise<Map<number, WorkHours>> {
  const db = database()
  const [schedules, done, open] = await Promise.all([
    db.serviceSchedule.findMany({ select: { id: true, modelId: true, labourMinutes: true } }),
    db.job.findMany({
      where: { state: 'closed', labourMinutes: { gt: 0 }, services: { some: {} } },
      select: { labourMinutes: true, services: { select: { scheduleId: true } } },
    }),
    db.job.findMany({
      where: { state: 'open', services: { some: {} } },
      select: { id: true, labourMinutes: true },
    }),
  ])
  const modelOf = new Map(schedules.map(({ id, modelId }) => [id, modelId]))
  const typed = new Map(schedules.map(({ id, labourMinutes }) => [id, labourMinutes]))
  const bookedOn = new Map(open.map(({ id, labourMinutes }) => [id, labourMinutes]))
  // By model, so that a large fleet does not go through all past jobs for each machine.
  const past = new Map<number, { scheduleIds: number[]; minutes: number }[]>()
  for (const { labourMinutes, services: of } of done) {
    const ids = of.map(({ scheduleId }) => scheduleId)
    const modelId = ids.map((id) => modelOf.get(id)).find((id) => id !== undefined)
    if (modelId === undefined) continue
    const jobs = past.get(modelId) ?? []
    jobs.push({ scheduleIds: ids, minutes: labourMinutes })
    past.set(modelId, jobs)
  }
  return new Map(
    [...coming].map(([id, all]) => {
      const jobs = [...new Set(all.flatMap(({ job }) => job?.id ?? []))]
      return [
        id,
        workHours({
          services: all.map(({ scheduleId, name }) => ({
            scheduleId,
            name,
            typedMinutes: typed.get(scheduleId) ?? null,
          })),
          past: past.get(all[0]!.machine.modelId) ?? [],
          usualMinutes,
          booked: jobs.reduce((sum, job) => sum + (bookedOn.get(job) ?? 0), 0),
        }),
      ]
    }),
  )
}
