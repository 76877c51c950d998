import { byNumberKey } from '../job/by-number.ts'
import { linePieces } from '../service/line-pieces.ts'
import { allocationsRefresh } from './allocation.ts'
import type { Tx } from './client.ts'
import { figureView } from './figure.ts'
import { targetPlace } from './job.ts'
import type { WriteContext } from './transaction.ts'

interface LineOfService {
  figureId: number | null
  item: string | null
  partId: number | null
  positions: string
  quantity: number | null
}

type MachineInHand = { modelId: number; serialNumber: string | null }

/** The lines of the figure that an item is on this machine: one, or one a side. None where its serial number has no such item. */
async function linesOf(tx: Tx, machine: MachineInHand, figureId: number, item: string) {
  const figure = await figureView(tx, figureId, { modelId: machine.modelId, serialNumber: machine.serialNumber })
  return { figure, lines: figure.lines.filter((line) => line.item === item) }
}

/** Puts what is renewed on the job, beside what is there. Answers false where this machine has no such item. */
export async function servicePlace(
  tx: Tx,
  context: WriteContext,
  jobId: number,
  machine: MachineInHand,
  line: LineOfService,
): Promise<boolean> {
  if (line.partId !== null) {
    await partPlace(tx, context, jobId, line.partId, line.quantity ?? 1)
    return true
  }
  if (line.figureId === null || line.item === null) return false
  const { figure, lines } = await linesOf(tx, machine, line.figureId, line.item)
  const chosen = JSON.parse(line.positions) as string[]
  for (const found of lines) {
    const before = await tx.jobTarget.findUnique({ where: { jobId_lineId: { jobId, lineId: found.lineId } } })
    const aimed = before ? (JSON.parse(before.positions) as string[]) : []
    const renewed = linePieces(found, figure.positions, chosen, aimed)
    if (renewed === null) continue
    await targetPlace(tx, jobId, machine, {
      figureId: figure.id,
      lineId: found.lineId,
      positions: renewed.positions,
      quantity: Math.max(renewed.quantity, before?.quantity ?? 0),
    })
  }
  return lines.length > 0
}

async function partPlace(
  tx: Tx,
  context: WriteContext,
  jobId: number,
  partId: number,
  quantity: number,
): Promise<void> {
  const key = byNumberKey(partId)
  const [part, before] = await Promise.all([
    tx.part.findUniqueOrThrow({ where: { id: partId } }),
    tx.jobNeed.findUnique({ where: { jobId_key: { jobId, key } } }),
  ])
  const decided = { state: 'accepted', decidedById: context.personId, decidedAt: context.now }
  await tx.jobNeed.upsert({
    where: { jobId_key: { jobId, key } },
    create: {
      jobId,
      key,
      origin: 'by-hand',
      kind: 'part',
      partId,
      description: part.description,
      strength: 'should',
      suggested: quantity,
      wanted: quantity,
      sort: 4000,
      ...decided,
    },
    update: { wanted: Math.max(quantity, before?.wanted ?? 0), ...decided },
  })
  await allocationsRefresh(tx, context, partId)
}

/** Takes off the job again what was to be renewed; what was taken from the shelf already stays. */
export async function serviceUnplace(tx: Tx, context: WriteContext, jobId: number, line: LineOfService): Promise<void> {
  if (line.partId !== null) {
    await tx.jobNeed.deleteMany({ where: { jobId, key: byNumberKey(line.partId), taken: 0 } })
    await allocationsRefresh(tx, context, line.partId)
    return
  }
  for (const target of await tx.jobTarget.findMany({ where: { jobId, figureId: line.figureId!, item: line.item! } })) {
    const key = `${target.figureId}:target:${target.lineId}`
    const taken = await tx.jobNeed.count({ where: { jobId, key, taken: { gt: 0 } } })
    if (taken === 0) await tx.jobTarget.delete({ where: { id: target.id } })
  }
}
