import { serialBreaksCover } from '../catalogue/serial-break.ts'
import { replacedBy } from '../demand/history.ts'
import { daysAdd, type PlainDate } from '../service/plain-date.ts'
import { type Reading, TREND_DAYS } from '../service/running.ts'
import { type FittedRunning, runningDays, runningShare, type WindowRunning, windowRunning } from '../winter/running.ts'
import type { DaySpan } from '../winter/season.ts'
import { database, instantText, Prisma } from './client.ts'
import { fittedLinesRead } from './demand-history.ts'
import { slices } from './exchange-rows.ts'
import { lineRowBreaks } from './line-breaks.ts'
import { supersessionLinks } from './part.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500

type Row = [machineId: number, at: string, hourTenths: number, reason: string | null]

/**
 * Of each machine the readings around the days, and all of them where one does not follow the one before: between two readings of
 * one meter the others say nothing more, and a fleet has hundreds of thousands.
 */
async function readingsAround(machineIds: readonly number[], days: readonly PlainDate[]) {
  const at = JSON.stringify(days.map((day) => instantText(new Date(`${day}T00:00:00Z`))))
  const ids = JSON.stringify(machineIds)
  const near = (after: boolean) => {
    const [sign, order] = after ? [Prisma.sql`>=`, Prisma.sql`ASC`] : [Prisma.sql`<=`, Prisma.sql`DESC`]
    return Prisma.sql`SELECT (SELECT b."id" FROM "HourReading" b WHERE b."machineId" = m.value AND b."at" ${sign} d.value
      ORDER BY b."at" ${order}, b."id" ${order} LIMIT 1) FROM json_each(${ids}) m, json_each(${at}) d`
  }
  // Any text is at least '', so the index of reasons is asked.
  const [row] = await database().$queryRaw<{ packed: string }[]>`
    SELECT json_group_array(json_array(f."machineId", f."at", f."hourTenths", f."reason") ORDER BY f."at", f."id") AS packed
    FROM "HourReading" f WHERE f."id" IN (${near(false)} UNION ${near(true)} UNION
      SELECT a."id" FROM "HourReading" o JOIN "HourReading" a ON a."machineId" = o."machineId"
      WHERE o."reason" >= '' AND o."machineId" IN (SELECT value FROM json_each(${ids})))`
  const readings = new Map<number, Reading[]>()
  for (const [machineId, when, hourTenths, reason] of JSON.parse(row!.packed) as Row[]) {
    const of = readings.get(machineId)
    const reading = { at: new Date(when), hourTenths, reason }
    if (of) of.push(reading)
    else readings.set(machineId, [reading])
  }
  return readings
}

/** The lines that have the parts, or what they replace, by the part: pieces at all positions for one machine, and for which. */
async function linesOf(partIds: readonly number[]) {
  const links = await supersessionLinks(database(), partIds)
  const asked = partIds.flatMap((id) => replacedBy(id, links).map((one) => ({ ...one, of: id })))
  const lines = []
  for (const slice of slices([...new Set(asked.map(({ partId }) => partId))], AT_ONCE))
    lines.push(...(await fittedLinesRead(slice)))
  const ofPart = new Map<number, typeof lines>()
  for (const line of lines) ofPart.set(line.partId, [...(ofPart.get(line.partId) ?? []), line])
  return asked.flatMap(({ partId, ratio, of }) =>
    (ofPart.get(partId) ?? []).map((line) => {
      const positions = line.side === null ? (JSON.parse(line.figure.positions) as unknown[]).length : 1
      return {
        partId: of,
        pieces: line.quantity * Math.max(1, positions) * ratio,
        breaks: lineRowBreaks(line),
        modelIds: line.figure.models.map(({ modelId }) => modelId),
      }
    }),
  )
}

export interface FleetRunning {
  /** Of a year's failures of a part as many as its machines' running in the stretch makes likely, as a factor; absent: 1. */
  shares: Map<number, number>
  /** Machines told by the same months of earlier years, and by the year as a whole for want of readings. */
  bySeason: number
  byYear: number
}

/** How the machines that have the parts run from `span.from` to `span.until`, set against how they run over the year. */
export async function fleetRunning(partIds: readonly number[], span: DaySpan, today: PlainDate): Promise<FleetRunning> {
  const lines = await linesOf(partIds)
  const machines = await database().machine.findMany({
    where: { modelId: { in: [...new Set(lines.flatMap(({ modelIds }) => modelIds))] } },
    select: { id: true, modelId: true, serialNumber: true },
    orderBy: { id: 'asc' },
  })
  const days = [...runningDays(span), daysAdd(today, -TREND_DAYS), daysAdd(today, 1)]
  const readings = await readingsAround(
    machines.map(({ id }) => id),
    days,
  )
  const running = new Map<number, WindowRunning>(
    machines.map(({ id }) => [id, windowRunning(readings.get(id) ?? [], span, today)]),
  )
  const ofModel = new Map<number, typeof machines>()
  for (const machine of machines) ofModel.set(machine.modelId, [...(ofModel.get(machine.modelId) ?? []), machine])
  const fitted = new Map<number, FittedRunning[]>()
  const seen = new Set<number>()
  for (const { partId, pieces, breaks, modelIds } of lines)
    for (const machine of modelIds.flatMap((modelId) => ofModel.get(modelId) ?? [])) {
      if (serialBreaksCover(breaks, machine.serialNumber) === 'not') continue
      seen.add(machine.id)
      const one = { fitted: pieces, running: running.get(machine.id)! }
      const of = fitted.get(partId)
      if (of) of.push(one)
      else fitted.set(partId, [one])
    }
  const told = [...seen].map((id) => running.get(id)!).filter(({ byYear }) => byYear !== null)
  return {
    shares: new Map([...fitted].map(([partId, all]) => [partId, runningShare(all)])),
    bySeason: told.filter(({ years }) => years > 0).length,
    byYear: told.filter(({ years }) => years === 0).length,
  }
}
