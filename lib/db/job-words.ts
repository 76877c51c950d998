import { createHash } from 'node:crypto'
import type { WorkDoneInput } from '../job/schema.ts'
import { theirsOf, unsafeFor } from '../job/words.ts'
import { Refusal } from '../refusal.ts'
import type { Tx } from './client.ts'
import { jobOpenRead } from './job.ts'
import { meterRead } from './meter.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/**
 * Keeps complaint, cause, correction, hours and labour while the job is open. The form says which saving it was filled from
 * (`wordsVersion`); when somebody else saved other words since, both texts are shown and nothing is written: neither is lost,
 * and the person puts them together. Labour that is written by person and day is not the form's to change.
 */
export async function workDonePlace(tx: Tx, context: WriteContext, input: WorkDoneInput): Promise<void> {
  const job = await jobOpenRead(tx, input.jobId)
  // A form that does not ask what was complained of, or why musts are not fitted, leaves what was written.
  const words = {
    complaint: input.complaint ?? job.complaint,
    cause: input.cause,
    correction: input.correction,
    notFitted: input.notFitted ?? job.notFitted,
  }
  const byDay = await tx.jobLabour.count({ where: { jobId: job.id } })
  const labourMinutes = byDay > 0 ? job.labourMinutes : input.labourMinutes
  const version = job.wordsVersion ?? 0
  const changed =
    words.complaint !== job.complaint ||
    words.cause !== job.cause ||
    words.correction !== job.correction ||
    words.notFitted !== job.notFitted ||
    labourMinutes !== job.labourMinutes
  const isStale = input.wordsVersion !== undefined && input.wordsVersion !== version
  if (changed && isStale && !(await isOwnSaving(tx, context, job.wordsAt))) {
    const names = await personNames(tx, [job.wordsById])
    const who = job.wordsById === null ? 'Somebody' : names(job.wordsById)
    const fields: Record<string, string> = { wordsVersion: String(version) }
    for (const name of ['complaint', 'cause', 'correction', 'notFitted'] as const) {
      if (words[name] === job[name]) continue
      fields[name] = `${who} wrote: ${job[name] || '(nothing)'}`
      // The words alone, so that the form can put them in the field.
      fields[theirsOf(name)] = job[name] ?? ''
    }
    if (labourMinutes !== job.labourMinutes) fields.labourMinutes = `${who} wrote: ${job.labourMinutes}`
    throw new Refusal('job/words-changed', { who }, { fields })
  }
  await tx.job.update({
    where: { id: job.id },
    data: {
      ...words,
      labourMinutes,
      ...(input.hours === null ? {} : { hourTenths: input.hours }),
      ...(changed ? { wordsVersion: version + 1, wordsById: context.personId, wordsAt: context.now } : {}),
    },
  })
  // A machine that is marked unsafe says why in the words of its job.
  if (words.complaint !== job.complaint)
    await tx.machine.updateMany({
      where: { id: job.machineId, stateReason: unsafeFor(job) },
      data: { stateReason: unsafeFor({ ...job, ...words }) },
    })
  // The same reading twice is one reading: what was kept is sent again when the job is closed.
  if (input.hours !== null && input.hours !== job.machine.hourTenths)
    await meterRead(tx, context, job.machine, {
      hourTenths: input.hours,
      jobId: job.id,
      reason: input.meterReason,
    })
}

/** Key under which a form keeps what was typed before it closes the job: one for each text, all told by the form's own. */
export function keepKey(formKey: string, input: WorkDoneInput): string {
  const words = createHash('sha256').update(JSON.stringify(input)).digest('hex').slice(0, 12)
  return `${formKey}${KEPT}${words}`
}

const KEPT = ':keep:'

/** Whether the last saving came from this same form, whose closing was refused after its words were kept. */
async function isOwnSaving(tx: Tx, context: WriteContext, wordsAt: Date | null): Promise<boolean> {
  if (wordsAt === null) return false
  const form = context.key.split(KEPT)[0]!
  return (await tx.write.count({ where: { key: { startsWith: `${form}${KEPT}` }, at: wordsAt } })) > 0
}

export function jobWorkDone(context: WriteContext, input: WorkDoneInput): Promise<null> {
  return write(context, 'job.work', input, async (tx) => {
    await workDonePlace(tx, context, input)
    return null
  })
}
