import { supersessionResolve } from '../catalogue/supersession.ts'
import { byNumberPart } from '../job/by-number.ts'
import type { NeedTakeOffInput } from '../job/schema.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead, notInKit } from './job.ts'
import { supersessionLinks } from './part.ts'
import { type WriteContext, write } from './transaction.ts'

/** Parts that the services of a job ask for by number: in any case, or since a look said that they are renewed. */
export async function partsOfServices(jobId: number, reader: Tx | null = null): Promise<Set<number>> {
  const db = reader ?? (database() as unknown as Tx)
  const lines = await db.serviceLine.findMany({
    where: {
      partId: { not: null },
      OR: [
        { kind: 'always', schedule: { jobs: { some: { jobId } } } },
        { tasks: { some: { jobId, state: 'renewed' } } },
      ],
    },
    select: { partId: true },
  })
  return new Set(lines.map(({ partId }) => partId!))
}

/**
 * Takes a part off a job to which somebody added it by number, and with it what an alternative was to give in its place. A line that
 * went out and came back stays as left out, for the ledger names it. Drafts of orders stay: whoever sends them looks at them first.
 * Refuses with 'job/unknown-need', 'job/asked-by-service', 'job/taken-of-it', and 'job/ordered-for-it' where an order was made since it
 * was added and the job still waits.
 */
export function needTakeOff(context: WriteContext, input: NeedTakeOffInput): Promise<null> {
  return write(context, 'job.need-take-off', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const need = await tx.jobNeed.findUnique({ where: { id: input.needId }, include: { part: true } })
    const added = need?.jobId === job.id ? byNumberPart(need.key) : null
    if (!need?.part || added === null) throw new Refusal('job/unknown-need')
    notInKit(need)
    const part = `${need.part.number} ${need.part.description}`
    if ((await partsOfServices(job.id, tx)).has(added)) throw new Refusal('job/asked-by-service', { part })
    const standIns = await tx.jobNeed.findMany({
      where: { jobId: job.id, key: { startsWith: `by-hand:alternative:${need.id}:` } },
    })
    const all = [need, ...standIns]
    if (all.some(({ taken }) => taken > 0)) throw new Refusal('job/taken-of-it', { part })
    const order = await orderFor(tx, { ...need, partId: need.part.id })
    if (order !== null) throw new Refusal('job/ordered-for-it', { part, order })
    for (const { id } of all) {
      const moved = await tx.movement.count({ where: { needId: id } })
      if (moved === 0) await tx.jobNeed.delete({ where: { id } })
      else
        await tx.jobNeed.update({
          where: { id },
          data: { key: `given-up:${id}`, state: 'declined', declineReason: 'taken off the job' },
        })
    }
    for (const partId of new Set(all.flatMap((one) => one.partId ?? []))) await allocationsRefresh(tx, context, partId)
    return null
  })
}

/** Number of an order that is still to bring it, or what replaces it, made since the job asked for it; null where it does not wait. */
async function orderFor(
  tx: Tx,
  need: { partId: number; wanted: number; taken: number; allocated: number; decidedAt: Date | null },
): Promise<number | null> {
  if (need.wanted - need.taken <= need.allocated) return null
  const { chain } = supersessionResolve(need.partId, await supersessionLinks(tx, [need.partId]))
  const lines = await tx.purchaseOrderLine.findMany({
    where: {
      partId: { in: chain },
      order: { state: 'ordered', ...(need.decidedAt ? { orderedAt: { gte: need.decidedAt } } : {}) },
    },
    include: { order: { select: { number: true } } },
    orderBy: { orderId: 'asc' },
  })
  return lines.find((line) => line.quantity > line.received + line.cancelled)?.order.number ?? null
}
