import { serialBreaksCover } from '../catalogue/serial-break.ts'
import { exposureByMonth, type Installed } from '../demand/exposure.ts'
import { type DemandHistory, demandHistory, type HistoryMovement, type Month, replacedBy } from '../demand/history.ts'
import { monthsAdd, type PlainDate } from '../service/plain-date.ts'
import { BIN_KINDS, binKindOf } from '../stock/bin-kind.ts'
import { database } from './client.ts'
import { lineRowBreaks } from './line-breaks.ts'
import { supersessionLinks } from './part.ts'

export interface PartDemand extends DemandHistory {
  /** Piece-hours of each month, in the part's unit; the machines that have it. */
  exposure: number[]
  machines: number
  /** The part itself first, then what it replaces, each with the pieces of it for one of them. */
  parts: { partId: number; ratio: number }[]
}

interface Row {
  id: number | bigint
  day: string
  kind: string
  partId: number | bigint
  quantity: number | bigint
  reversesId: number | bigint | null
  jobId: number | bigint | null
  jobKind: string | null
  machineId: number | bigint | null
  costCentre: string | null
  forPersonId: string | null
  binKind: string
}

function movementOf(row: Row, ratios: ReadonlyMap<number, number>): HistoryMovement {
  const { machineId, costCentre, forPersonId } = row
  const whole = (value: number | bigint | null) => (value === null ? null : Number(value))
  const forWhat =
    machineId !== null
      ? `machine ${machineId}`
      : costCentre !== null
        ? `cost centre ${costCentre}`
        : forPersonId !== null
          ? `person ${forPersonId}`
          : null
  return {
    id: Number(row.id),
    day: row.day,
    kind: row.kind as HistoryMovement['kind'],
    quantity: Number(row.quantity),
    ratio: ratios.get(Number(row.partId)) ?? 1,
    reversesId: whole(row.reversesId),
    jobId: whole(row.jobId),
    jobKind: row.jobKind as HistoryMovement['jobKind'],
    forWhat,
    isFree: BIN_KINDS[binKindOf(row.binKind)].free,
  }
}

/** The ledger of the parts, of all stores or of one of them, in its order. */
export async function movementsRead(
  parts: readonly { partId: number; ratio: number }[],
  storeId: number | null,
): Promise<(HistoryMovement & { partId: number })[]> {
  const ratios = new Map(parts.map(({ partId, ratio }) => [partId, ratio]))
  const rows = await database().$queryRaw<Row[]>`
    SELECT m."id", substr(m."at", 1, 10) AS "day", m."kind", m."partId", m."quantity", m."reversesId", m."jobId",
      j."kind" AS "jobKind", m."machineId", m."costCentre", m."forPersonId", b."kind" AS "binKind"
    FROM "Movement" m JOIN "Bin" b ON b."id" = m."binId" LEFT JOIN "Job" j ON j."id" = m."jobId"
    WHERE m."partId" IN (SELECT value FROM json_each(${JSON.stringify([...ratios.keys()])}))
      AND (${storeId} IS NULL OR b."storeId" = ${storeId})
    ORDER BY m."id"`
  return rows.map((row) => ({ ...movementOf(row, ratios), partId: Number(row.partId) }))
}

/** Lines of parts lists that have one of the parts, with the models of their figures. */
export function fittedLinesRead(partIds: readonly number[]) {
  return database().partsListLine.findMany({
    where: { partId: { in: [...partIds] }, retiredAt: null },
    include: { figure: { select: { positions: true, models: { select: { modelId: true } } } } },
  })
}

export type FittedLine = Awaited<ReturnType<typeof fittedLinesRead>>[number]

/**
 * Pieces of today's part that a machine has by the lines: quantity of the line at each position of its figure, at one where the
 * line names its side. A machine whose serial number cannot be told is taken to have it.
 */
export function fittedOn(
  machine: { modelId: number; serialNumber: string | null },
  lines: readonly FittedLine[],
  ratios: ReadonlyMap<number, number>,
): number {
  let fitted = 0
  for (const line of lines) {
    if (!line.figure.models.some((of) => of.modelId === machine.modelId)) continue
    if (serialBreaksCover(lineRowBreaks(line), machine.serialNumber) === 'not') continue
    const positions = line.side === null ? (JSON.parse(line.figure.positions) as unknown[]).length : 1
    fitted += line.quantity * Math.max(1, positions) * (ratios.get(line.partId) ?? 1)
  }
  return fitted
}

/** Machines of ours that have the part, or one that it replaces, by their parts lists. */
async function installedRead(parts: readonly { partId: number; ratio: number }[]): Promise<Installed[]> {
  const ratios = new Map(parts.map(({ partId, ratio }) => [partId, ratio]))
  const lines = await fittedLinesRead([...ratios.keys()])
  const machines = await database().machine.findMany({
    where: { modelId: { in: [...new Set(lines.flatMap((line) => line.figure.models.map((of) => of.modelId)))] } },
    include: { readings: { orderBy: { at: 'asc' }, select: { at: true, hourTenths: true, reason: true } } },
    orderBy: { id: 'asc' },
  })
  return machines.flatMap((machine) => {
    const fitted = fittedOn(machine, lines, ratios)
    return fitted === 0 ? [] : [{ fitted, readings: machine.readings, year: machine.year }]
  })
}

/** The last month that is over on a day. */
export const lastWhole = (today: PlainDate): Month => monthsAdd(`${today.slice(0, 7)}-01`, -1).slice(0, 7)

/**
 * Use of a part by month up to the last whole month before `today`, with what it replaces and the hours its machines ran. In the
 * stock unit's minor units. One store where it is named: then goods moved between stores are no use, and no hours are told apart.
 */
export async function partDemand(partId: number, today: PlainDate, storeId: number | null = null): Promise<PartDemand> {
  const parts = replacedBy(partId, await supersessionLinks(database(), [partId]))
  const [movements, installed] = await Promise.all([movementsRead(parts, storeId), installedRead(parts)])
  const history = demandHistory(movements, lastWhole(today))
  const months = history.months.map(({ month }) => month)
  return { ...history, exposure: exposureByMonth(installed, months), machines: installed.length, parts }
}
