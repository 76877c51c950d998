import type { JobWhenInput, KeptMoveInput } from '../job/flow-schema.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead } from './job.ts'
import { notePlace } from './job-hand-over.ts'
import { type WriteContext, write } from './transaction.ts'

/** Says when the parts of a job must be there and how much it matters; what the shelf has free goes out by that from now on. */
export function jobWhenSet(context: WriteContext, input: JobWhenInput): Promise<null> {
  return write(context, 'job.when', input, async (tx) => {
    const { jobId, ...when } = input
    await jobOpenRead(tx, jobId)
    await tx.job.update({ where: { id: jobId }, data: when })
    const needs = await tx.jobNeed.findMany({ where: { jobId, partId: { not: null } }, select: { partId: true } })
    for (const partId of new Set(needs.map((need) => need.partId!))) await allocationsRefresh(tx, context, partId)
    return null
  })
}

/** What lies on the shelf for another job. */
export interface KeptElsewhere {
  needId: number
  jobId: number
  job: number
  machine: string
  needOn: string | null
  priority: number
  /** Minor units. */
  quantity: number
}

/** What other open jobs have been promised of the parts, by part; who matters least and is needed last stands first. */
export async function keptElsewhere(jobId: number, partIds: readonly number[]): Promise<Map<number, KeptElsewhere[]>> {
  const needs = await database().jobNeed.findMany({
    where: {
      partId: { in: [...new Set(partIds)] },
      allocated: { gt: 0 },
      jobId: { not: jobId },
      job: { state: 'open' },
    },
    include: {
      job: { select: { number: true, needOn: true, priority: true, machine: { select: { fleetNumber: true } } } },
    },
  })
  const kept = new Map<number, KeptElsewhere[]>()
  for (const { id, partId, jobId: own, allocated, job } of needs) {
    const { number, needOn, priority, machine } = job
    const one = {
      needId: id,
      jobId: own,
      job: number,
      machine: machine.fleetNumber,
      needOn,
      priority,
      quantity: allocated,
    }
    kept.set(partId!, [...(kept.get(partId!) ?? []), one])
  }
  const last = (one: KeptElsewhere) => one.needOn ?? '9999'
  for (const list of kept.values())
    list.sort((a, b) => b.priority - a.priority || (last(a) < last(b) ? 1 : last(a) > last(b) ? -1 : b.jobId - a.jobId))
  return kept
}

async function claim(tx: Tx, needId: number) {
  const need = await tx.jobNeed.findUnique({ where: { id: needId }, include: { part: true, job: true } })
  if (!need?.part || need.state !== 'accepted') throw new Refusal('job/unknown-need')
  if (need.job.state !== 'open') throw new Refusal('job/closed', { job: need.job.number })
  return { ...need, part: need.part }
}

/**
 * Gives what is kept for one job to another: a person decides it, and both jobs can read who and why in their hand-over notes.
 * Refuses with 'stock/not-kept' when the first has less by now, with 'stock/not-wanted' when the second no longer wants so much.
 */
export function keptMove(context: WriteContext, input: KeptMoveInput): Promise<{ from: number; to: number }> {
  return write(context, 'job.kept-move', input, async (tx) => {
    const [from, to] = [await claim(tx, input.fromNeedId), await claim(tx, input.toNeedId)]
    if (from.partId !== to.partId || from.jobId === to.jobId) throw new Refusal('job/unknown-need')
    const says = (quantity: number) => quantityFormat(quantity, to.part.unit as StockUnit)
    const part = `${to.part.number} ${to.part.description}`
    if (from.allocated < input.quantity)
      throw new Refusal('stock/not-kept', { job: from.job.number, left: says(from.allocated), part })
    const wanted = to.wanted - to.taken - to.allocated
    if (wanted < input.quantity)
      throw new Refusal('stock/not-wanted', { job: to.job.number, wanted: says(Math.max(0, wanted)), part })
    await tx.jobNeed.update({ where: { id: from.id }, data: { allocated: { decrement: input.quantity } } })
    await tx.jobNeed.update({ where: { id: to.id }, data: { allocated: { increment: input.quantity } } })
    const what = `${says(input.quantity)} x ${part}`
    await notePlace(
      tx,
      context,
      from.jobId,
      `${what}, kept for this job, went to job ${to.job.number}: ${input.reason}`,
    )
    await notePlace(
      tx,
      context,
      to.jobId,
      `${what} came from job ${from.job.number}, for which they were kept: ${input.reason}`,
    )
    return { from: from.job.number, to: to.job.number }
  })
}
