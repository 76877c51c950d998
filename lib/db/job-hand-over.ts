import type { z } from 'zod'
import type { JobNoteInput, LabourInput } from '../job/flow-schema.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead } from './job.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

export interface JobNoteView {
  id: number
  text: string
  by: string
  at: Date
}

export interface LabourView {
  day: string
  by: string
  personId: string
  minutes: number
}

/** A note for whoever goes on with the job. It is never changed; who erred writes another. */
export function jobNoteAdd(context: WriteContext, input: z.infer<typeof JobNoteInput>): Promise<{ noteId: number }> {
  return write(context, 'job.note', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    return { noteId: await notePlace(tx, context, input.jobId, input.text) }
  })
}

export async function notePlace(tx: Tx, context: WriteContext, jobId: number, text: string): Promise<number> {
  const row = await tx.jobNote.create({ data: { jobId, text, personId: context.personId, at: context.now } })
  return row.id
}

/**
 * Sets the minutes of the person who writes for one day; zero takes the day off again. The job's labour is their sum from then
 * on, so that two people who each write their own hours add up instead of writing over each other.
 */
export function jobLabourSet(context: WriteContext, input: LabourInput): Promise<{ labourMinutes: number }> {
  return write(context, 'job.labour', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const { jobId, day, minutes } = input
    const key = { jobId, personId: context.personId, day }
    if (minutes === 0) await tx.jobLabour.deleteMany({ where: key })
    else
      await tx.jobLabour.upsert({
        where: { jobId_personId_day: key },
        create: { ...key, minutes },
        update: { minutes },
      })
    const sum = await tx.jobLabour.aggregate({ where: { jobId }, _sum: { minutes: true } })
    const labourMinutes = sum._sum.minutes ?? 0
    await tx.job.update({ where: { id: jobId }, data: { labourMinutes } })
    return { labourMinutes }
  })
}

export async function jobNotes(db: Tx, jobId: number): Promise<JobNoteView[]> {
  const rows = await db.jobNote.findMany({ where: { jobId }, orderBy: { id: 'asc' } })
  const names = await personNames(
    db,
    rows.map((row) => row.personId),
  )
  return rows.map(({ id, text, at, personId }) => ({ id, text, at, by: names(personId) }))
}

export async function jobLabour(db: Tx, jobId: number): Promise<LabourView[]> {
  const rows = await db.jobLabour.findMany({ where: { jobId }, orderBy: [{ day: 'asc' }, { personId: 'asc' }] })
  const names = await personNames(
    db,
    rows.map((row) => row.personId),
  )
  return rows.map(({ day, personId, minutes }) => ({ day, personId, minutes, by: names(personId) }))
}

export interface HandOver {
  notes: JobNoteView[]
  labour: LabourView[]
  foundOn: { id: number; number: number } | null
  /** Jobs of their own that came of something found here. */
  found: { id: number; number: number; complaint: string; state: string }[]
}

/** What one shift leaves to the next: notes, hours, and the jobs this one came from and led to. */
export async function handOverRead(jobId: number): Promise<HandOver> {
  const db = database() as unknown as Tx
  const job = await db.job.findUniqueOrThrow({ where: { id: jobId }, select: { foundOnJobId: true } })
  const [notes, labour, foundOn, found] = await Promise.all([
    jobNotes(db, jobId),
    jobLabour(db, jobId),
    job.foundOnJobId === null
      ? null
      : db.job.findUnique({ where: { id: job.foundOnJobId }, select: { id: true, number: true } }),
    db.job.findMany({
      where: { foundOnJobId: jobId },
      select: { id: true, number: true, complaint: true, state: true },
      orderBy: { id: 'asc' },
    }),
  ])
  return { notes, labour, foundOn, found }
}
