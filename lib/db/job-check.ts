import type { CheckInput } from '../job/schema.ts'
import { Refusal } from '../refusal.ts'
import { database } from './client.ts'
import { jobOpenRead } from './job.ts'
import { type WriteContext, write } from './transaction.ts'

/** Ticks a step or a test, sets a test aside, or takes the tick back. What follows the first run is ticked when the job is closed. */
export function jobCheckSet(context: WriteContext, input: CheckInput): Promise<null> {
  return write(context, 'job.check', input, async (tx) => {
    const check = await tx.jobCheck.findUnique({ where: { id: input.checkId }, select: { jobId: true, kind: true } })
    if (check?.kind !== 'after-run' || check.jobId !== input.jobId) await jobOpenRead(tx, input.jobId)
    const done = input.state !== 'open'
    const { count } = await tx.jobCheck.updateMany({
      where: { id: input.checkId, jobId: input.jobId },
      data: {
        state: input.state,
        note: input.note || null,
        doneAt: done ? context.now : null,
        doneById: done ? context.personId : null,
      },
    })
    if (count === 0) throw new Refusal('job/unknown-need')
    return null
  })
}

export interface AfterRun {
  id: number
  jobId: number
  jobNumber: number
  machineId: number
  machine: string
  text: string
  closedAt: Date
}

/** What is still to be done on machines that went back to work, the oldest first. */
export async function afterRunOpen(where: { machineId?: number } = {}): Promise<AfterRun[]> {
  const rows = await database().jobCheck.findMany({
    where: { kind: 'after-run', state: 'open', job: { state: 'closed', ...where } },
    orderBy: [{ job: { closedAt: 'asc' } }, { sort: 'asc' }],
    take: 100,
    include: { job: { include: { machine: true } } },
  })
  return rows.map(({ id, text, job }) => ({
    id,
    jobId: job.id,
    jobNumber: job.number,
    machineId: job.machineId,
    machine: `${job.machine.fleetNumber} ${job.machine.name}`,
    text,
    closedAt: job.closedAt!,
  }))
}
