import { type DueState, dueCompare, type ServiceDue, serviceDue } from '../service/due.ts'
import { daysAdd, type PlainDate } from '../service/plain-date.ts'
import { type Reading, TREND_DAYS } from '../service/running.ts'
import { database, instantText, Prisma } from './client.ts'

export interface ServiceOfMachine {
  scheduleId: number
  name: string
  every: { everyTenths: number | null; everyMonths: number | null; toleranceTenths: number; toleranceDays: number }
  machine: { id: number; fleetNumber: string; name: string; modelId: number; state: string }
  due: ServiceDue
  /** The open job that carries it out. */
  job: { id: number; number: number } | null
}

interface ReadingRow {
  machineId: number
  at: string | number | Date
  hourTenths: number
  reason: string | null
}

/**
 * Of each machine's readings those that matter: the first, the first of the year that tells its trend, the last, and all of
 * them where a meter was replaced or a reading was wrong. Between two readings of one meter the others say nothing more
 * (`hoursRan`), and a fleet has hundreds of thousands.
 */
async function readingsThin(machineId: number | null, today: PlainDate): Promise<Map<number, Reading[]>> {
  const from = instantText(new Date(`${daysAdd(today, -TREND_DAYS)}T00:00:00Z`))
  const machines = machineId === null ? Prisma.sql`SELECT "id" FROM "Machine"` : Prisma.sql`SELECT ${machineId} AS "id"`
  const rows = await database().$queryRaw<ReadingRow[]>`
    WITH m AS (${machines})
    SELECT r."machineId", r."at", r."hourTenths", r."reason" FROM "HourReading" r WHERE r."id" IN (
      SELECT (SELECT f."id" FROM "HourReading" f WHERE f."machineId" = m."id" ORDER BY f."at", f."id" LIMIT 1) FROM m
      UNION SELECT (SELECT f."id" FROM "HourReading" f WHERE f."machineId" = m."id" AND f."at" >= ${from}
        ORDER BY f."at", f."id" LIMIT 1) FROM m
      UNION SELECT (SELECT f."id" FROM "HourReading" f WHERE f."machineId" = m."id"
        ORDER BY f."at" DESC, f."id" DESC LIMIT 1) FROM m
      UNION SELECT a."id" FROM "HourReading" a JOIN m ON m."id" = a."machineId"
        WHERE a."machineId" IN (SELECT o."machineId" FROM "HourReading" o WHERE o."reason" IS NOT NULL)
    ) ORDER BY r."machineId", r."at", r."id"`
  const readings = new Map<number, Reading[]>()
  for (const { machineId: id, at, hourTenths, reason } of rows) {
    const list = readings.get(id) ?? []
    list.push({ at: new Date(at), hourTenths, reason })
    readings.set(id, list)
  }
  return readings
}

interface DoneRow {
  scheduleId: number
  machineId: number
  at: string | number | Date
  hourTenths: number
}

const pair = (scheduleId: number, machineId: number) => `${scheduleId} ${machineId}`

/** When each service was last done on each machine. */
async function lastDone(machineId: number | null): Promise<Map<string, { at: Date; hourTenths: number }>> {
  const only = machineId === null ? Prisma.empty : Prisma.sql`AND d."machineId" = ${machineId}`
  const rows = await database().$queryRaw<DoneRow[]>`
    SELECT d."scheduleId", d."machineId", d."at", d."hourTenths" FROM "ServiceDone" d WHERE NOT EXISTS (
      SELECT 1 FROM "ServiceDone" o WHERE o."scheduleId" = d."scheduleId" AND o."machineId" = d."machineId"
        AND (o."at" > d."at" OR (o."at" = d."at" AND o."id" > d."id"))) ${only}`
  return new Map(
    rows.map(({ scheduleId, machineId: id, at, hourTenths }) => [
      pair(scheduleId, id),
      { at: new Date(at), hourTenths },
    ]),
  )
}

/** Every service of every machine, or of one, the most pressing first; machines of equal need in the order of the fleet. */
export async function servicesOf(today: PlainDate, machineId: number | null = null): Promise<ServiceOfMachine[]> {
  const db = database()
  const schedules = await db.serviceSchedule.findMany({ where: { retiredAt: null }, orderBy: { id: 'asc' } })
  if (schedules.length === 0) return []
  const ids = schedules.map((one) => one.id)
  const [machines, readings, done, atWork] = await Promise.all([
    db.machine.findMany({
      where: machineId === null ? {} : { id: machineId },
      select: { id: true, fleetNumber: true, name: true, modelId: true, state: true },
      orderBy: { fleetKey: 'asc' },
    }),
    readingsThin(machineId, today),
    lastDone(machineId),
    db.serviceOfJob.findMany({
      where: { scheduleId: { in: ids }, job: { state: 'open', ...(machineId === null ? {} : { machineId }) } },
      select: { scheduleId: true, job: { select: { id: true, number: true, machineId: true } } },
    }),
  ])
  const jobOf = new Map(
    atWork.map(({ scheduleId, job }) => [pair(scheduleId, job.machineId), { id: job.id, number: job.number }]),
  )
  const ofModel = new Map<number, typeof schedules>()
  for (const one of schedules) ofModel.set(one.modelId, [...(ofModel.get(one.modelId) ?? []), one])
  const list = machines.flatMap((machine) =>
    (ofModel.get(machine.modelId) ?? []).map(
      ({ id, name, everyTenths, everyMonths, toleranceTenths, toleranceDays }) => {
        const every = { everyTenths, everyMonths, toleranceTenths, toleranceDays }
        const key = pair(id, machine.id)
        const last = done.get(key) ?? null
        return {
          scheduleId: id,
          name,
          every,
          machine,
          due: serviceDue({ every, last, readings: readings.get(machine.id) ?? [], today }),
          job: jobOf.get(key) ?? null,
        }
      },
    ),
  )
  return list.sort(dueCompare)
}

/** How many services stand in each state, those that a job carries out already left out. */
export function servicesCount(list: readonly ServiceOfMachine[]): Record<DueState, number> {
  const counts: Record<DueState, number> = { overdue: 0, due: 0, soon: 0, 'not-due': 0, 'no-start': 0 }
  for (const { due, job } of list) if (job === null) counts[due.state] += 1
  return counts
}
