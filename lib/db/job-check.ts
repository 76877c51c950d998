import type { MeasureInput } from '../job/flow-schema.ts'
import { measureLimitsSay, measureParse, measurePasses, measureRead } from '../job/measurement.ts'
import type { CheckInput } from '../job/schema.ts'
import { Refusal } from '../refusal.ts'
import { database } from './client.ts'
import { jobOpenRead } from './job.ts'
import { type WriteContext, write } from './transaction.ts'

/** Ticks a step or a test, sets a test aside, or takes the tick back. What follows the first run is ticked when the job is closed. */
export function jobCheckSet(context: WriteContext, input: CheckInput): Promise<null> {
  return write(context, 'job.check', input, async (tx) => {
    const check = await tx.jobCheck.findUnique({ where: { id: input.checkId } })
    if (check?.kind !== 'after-run' || check.jobId !== input.jobId) await jobOpenRead(tx, input.jobId)
    const done = input.state !== 'open'
    const measure = measureRead(check?.measure ?? null)
    if (measure && input.state === 'done') throw new Refusal('job/not-measured', { typed: '', unit: measure.unit })
    const { count } = await tx.jobCheck.updateMany({
      where: { id: input.checkId, jobId: input.jobId },
      data: {
        state: input.state,
        note: input.note || null,
        measured: null,
        doneAt: done ? context.now : null,
        doneById: done ? context.personId : null,
      },
    })
    if (count === 0) throw new Refusal('job/unknown-need')
    return null
  })
}

/**
 * Keeps what a test measured. Inside the limits the test is done. Outside it stays open, which stops the release (after the
 * first run it stays on the machine's page), until a
 * better value is measured or a person says why the machine may go to work so. Refuses with 'job/not-measured'.
 */
export function jobMeasure(context: WriteContext, input: MeasureInput): Promise<{ passes: boolean; says: string }> {
  return write(context, 'job.measure', input, async (tx) => {
    const check = await tx.jobCheck.findFirst({ where: { id: input.checkId, jobId: input.jobId } })
    // What follows the first run is measured when the job is closed.
    if (check?.kind !== 'after-run') await jobOpenRead(tx, input.jobId)
    const measure = measureRead(check?.measure ?? null)
    if (!check || !measure) throw new Refusal('job/unknown-need')
    const value = measureParse(input.value)
    if (value === null)
      throw new Refusal(
        'job/not-measured',
        { typed: input.value, unit: measure.unit },
        { fields: { value: 'a number, such as 4.2' } },
      )
    const passes = measurePasses(measure, value)
    const reason = passes ? null : input.note || null
    if (reason !== null && reason.length < 3)
      throw new Refusal('input/invalid', { what: 'the reason is too short' }, { fields: { note: 'say why' } })
    await tx.jobCheck.update({
      where: { id: check.id },
      data: {
        measured: value,
        note: reason,
        state: passes || reason !== null ? 'done' : 'open',
        doneAt: context.now,
        doneById: context.personId,
      },
    })
    const limits = measureLimitsSay(measure)
    return { passes, says: `${value} ${measure.unit}: ${passes ? 'inside' : 'outside'} ${limits}.` }
  })
}

export interface AfterRun {
  id: number
  jobId: number
  jobNumber: number
  machineId: number
  machine: string
  text: string
  /** Has a value to be measured, which is entered on the job. */
  measures: boolean
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
  return rows.map(({ id, text, measure, job }) => ({
    id,
    jobId: job.id,
    jobNumber: job.number,
    machineId: job.machineId,
    machine: `${job.machine.fleetNumber} ${job.machine.name}`,
    text,
    measures: measure !== null,
    closedAt: job.closedAt!,
  }))
}
