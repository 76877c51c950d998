import { type DueState, dueCompare, type ServiceDue, type ServiceLast, serviceDue } from '../service/due.ts'
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

/** A reading: an instant as its column holds it, tenths of an hour, and why it cannot follow the one before. */
type ReadingText = [id: number, at: string, hourTenths: number, reason: string | null]

interface MachineRead {
  machine: ServiceOfMachine['machine']
  readings: Reading[]
}

const readingOf = ([, at, hourTenths, reason]: ReadingText): Reading => ({ at: new Date(at), hourTenths, reason })

/**
 * Readings before one that does not follow them: what the meter showed last, and what that was before it, should it have been
 * wrong. Several in a row may each take one back.
 */
const BEFORE_ODD = 6

/**
 * The machines that have services, in the order of the fleet, with those of their readings that matter: the first, the first of
 * the year that tells the trend, the last, and those about a new meter or a reading that was wrong. Between two readings of one
 * meter the others say nothing more (`hoursRan`), and a fleet has hundreds of thousands.
 *
 * Each statement answers one row of JSON: reading thousands of rows one by one takes longer than finding them.
 */
async function machinesRead(machineId: number | null, today: PlainDate): Promise<MachineRead[]> {
  const from = instantText(new Date(`${daysAdd(today, -TREND_DAYS)}T00:00:00Z`))
  const only = machineId === null ? Prisma.empty : Prisma.sql`AND m."id" = ${machineId}`
  const onlyOdd = machineId === null ? Prisma.empty : Prisma.sql`AND o."machineId" = ${machineId}`
  const columns = Prisma.sql`f."id", f."at", f."hourTenths", f."reason"`
  const one = Prisma.sql`SELECT json_array(${columns}) FROM "HourReading" f WHERE f."machineId" = m."id"`
  // Any text is at least '', so the index of reasons is asked; for IS NOT NULL every reading would be looked at.
  const rows = await database().$queryRaw<{ machines: string; odd: string }[]>`
    SELECT (SELECT json_group_array(json_array(m."id", m."fleetNumber", m."name", m."modelId", m."state",
        json((${one} ORDER BY f."at", f."id" LIMIT 1)),
        json((${one} AND f."at" >= ${from} ORDER BY f."at", f."id" LIMIT 1)),
        json((${one} ORDER BY f."at" DESC, f."id" DESC LIMIT 1))) ORDER BY m."fleetKey")
        FROM "Machine" m WHERE m."modelId" IN (SELECT "modelId" FROM "ServiceSchedule" WHERE "retiredAt" IS NULL) ${only}) AS machines,
      (SELECT json_group_array(json_array(f."machineId", ${columns})) FROM "HourReading" o CROSS JOIN "HourReading" f ON f."id" IN (
          SELECT b."id" FROM "HourReading" b WHERE b."machineId" = o."machineId" AND (b."at", b."id") <= (o."at", o."id")
          ORDER BY b."at" DESC, b."id" DESC LIMIT ${BEFORE_ODD + 1})
        WHERE o."reason" >= '' ${onlyOdd}) AS odd`
  const odd = new Map<number, ReadingText[]>()
  for (const [id, ...reading] of JSON.parse(rows[0]!.odd) as [number, ...ReadingText][]) {
    const readings = odd.get(id)
    if (readings) readings.push(reading)
    else odd.set(id, [reading])
  }
  type MachineText = [number, string, string, number, string, ...(ReadingText | null)[]]
  return (JSON.parse(rows[0]!.machines) as MachineText[]).map(
    ([id, fleetNumber, name, modelId, state, ...thin]): MachineRead => ({
      machine: { id, fleetNumber, name, modelId, state },
      readings: inOrder([...thin.filter((reading) => reading !== null), ...(odd.get(id) ?? [])]).map(readingOf),
    }),
  )
}

/** Each reading once, in the order in which they were taken; of one moment, in the order in which they were written down. */
function inOrder(readings: readonly ReadingText[]): ReadingText[] {
  const once = [...new Map(readings.map((reading) => [reading[0], reading])).values()]
  return once.sort(([idA, atA], [idB, atB]) => (atA < atB ? -1 : atA > atB ? 1 : idA - idB))
}

const pair = (scheduleId: number, machineId: number) => `${scheduleId} ${machineId}`

/** When each service was last done on each machine that it is for. */
async function lastDone(machineId: number | null): Promise<Map<string, ServiceLast>> {
  const only = machineId === null ? Prisma.empty : Prisma.sql`AND m."id" = ${machineId}`
  const [row] = await database().$queryRaw<{ done: string }[]>`
    SELECT json_group_array(json_array(s."id", m."id", json((SELECT json_array(d."at", d."hourTenths") FROM "ServiceDone" d
        WHERE d."scheduleId" = s."id" AND d."machineId" = m."id" ORDER BY d."at" DESC, d."id" DESC LIMIT 1)))) AS done
    FROM "ServiceSchedule" s JOIN "Machine" m ON m."modelId" = s."modelId" WHERE s."retiredAt" IS NULL ${only}`
  const done = new Map<string, ServiceLast>()
  for (const [scheduleId, id, last] of JSON.parse(row!.done) as [number, number, [string, number] | null][])
    if (last) done.set(pair(scheduleId, id), { at: new Date(last[0]), hourTenths: last[1] })
  return done
}

/** Every service of every machine, or of one, the most pressing first; machines of equal need in the order of the fleet. */
export async function servicesOf(today: PlainDate, machineId: number | null = null): Promise<ServiceOfMachine[]> {
  const db = database()
  const schedules = await db.serviceSchedule.findMany({ where: { retiredAt: null }, orderBy: { id: 'asc' } })
  if (schedules.length === 0) return []
  const ids = schedules.map((one) => one.id)
  const [machines, done, atWork] = await Promise.all([
    machinesRead(machineId, today),
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
  const list = machines.flatMap(({ machine, readings }) =>
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
          due: serviceDue({ every, last, readings, today }),
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
