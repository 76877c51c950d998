import type { LineFacts } from '../figure/schema.ts'
import { lineMissing } from '../service/line-fit.ts'
import type { database, Tx } from './client.ts'
import { lineRowBreaks } from './line-breaks.ts'

interface LineOfService {
  figureId: number | null
  item: string | null
  positions: string
}

/** A line of a service that a machine has no use for, and why. */
export interface LeftOut {
  /** "10 Seal, hub" */
  text: string
  why: string
}

/** Why a line of a service is not for a machine; null where it is. Parts by number and acts are for every machine. */
export async function serviceLineMissing(
  reader: Tx | ReturnType<typeof database>,
  line: LineOfService,
  serialNumber: string | null,
): Promise<string | null> {
  const { figureId, item } = line
  if (figureId === null || item === null) return null
  const figure = await (reader as Tx).figure.findUniqueOrThrow({
    where: { id: figureId },
    select: { positions: true, lines: { where: { item, retiredAt: null } } },
  })
  return lineMissing(
    { item, positions: JSON.parse(line.positions) as string[] },
    figure.lines.map((one) => ({
      breaks: lineRowBreaks(one),
      side: one.side,
      stations: (JSON.parse(one.facts) as LineFacts).stations,
    })),
    serialNumber,
    (JSON.parse(figure.positions) as { code: string }[]).map(({ code }) => code),
  )
}

/** What the services of a job ask for and this machine does not have, each thing once, in the order of the services. */
export async function servicesLeftOut(
  reader: Tx | ReturnType<typeof database>,
  scheduleIds: readonly number[],
  serialNumber: string | null,
): Promise<LeftOut[]> {
  const lines = await (reader as Tx).serviceLine.findMany({
    where: { scheduleId: { in: [...scheduleIds] }, retiredAt: null, figureId: { not: null } },
    orderBy: [{ scheduleId: 'asc' }, { sort: 'asc' }, { id: 'asc' }],
  })
  const leftOut = new Map<string, LeftOut>()
  for (const line of lines) {
    const why = await serviceLineMissing(reader, line, serialNumber)
    if (why !== null) leftOut.set(line.key, { text: `${line.item} ${line.text}`, why })
  }
  return [...leftOut.values()]
}
