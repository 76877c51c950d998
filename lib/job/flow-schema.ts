import { z } from 'zod'
import { Id } from '../stock/schema.ts'

const Text = (max: number) => z.string().trim().max(max)

export const PHOTO_STAGES = ['complaint', 'strip', 'rebuild', 'test'] as const
export type PhotoStage = (typeof PHOTO_STAGES)[number]

export const PhotoInput = z.object({
  jobId: Id,
  stage: z.enum(PHOTO_STAGES),
  /** Key of the step it belongs to; empty for the complaint or the stage as a whole. */
  stepKey: Text(80).default(''),
  /** The picture in words; left empty, the step's own words. */
  alt: Text(200).default(''),
})
export type PhotoInput = z.infer<typeof PhotoInput>

export const PhotoForm = PhotoInput.extend({ file: z.instanceof(File, { error: 'take or choose a photo' }) })
export const PhotoRemoveInput = z.object({ jobId: Id, photoId: Id })

export const JobNoteInput = z.object({ jobId: Id, text: Text(2000).min(3, 'write what the next one must know') })

export const LabourInput = z.object({
  jobId: Id,
  day: z.iso.date({ error: 'choose a day' }),
  /** Zero takes the day off again. */
  minutes: z.coerce
    .number<number>({ error: 'enter minutes' })
    .int('enter whole minutes')
    .min(0, 'enter minutes')
    .max(1440, 'a day has 1440 minutes'),
})
export type LabourInput = z.infer<typeof LabourInput>

export const OtherSideInput = z.object({ jobId: Id, targetId: Id, position: Text(12).min(1) })

/** Found while stripping: onto this job as a target, or a job of its own for the same machine. */
export const FoundInput = z.object({
  jobId: Id,
  checkId: Id,
  words: Text(300).min(3, 'say what was found'),
  onto: z.enum(['this-job', 'own-job']),
})
export type FoundInput = z.infer<typeof FoundInput>

export const MeasureInput = z.object({
  jobId: Id,
  checkId: Id,
  value: Text(20).min(1, 'enter what was measured'),
  /** Why the machine may go to work all the same, where the value is outside. */
  note: Text(200).optional(),
})
export type MeasureInput = z.infer<typeof MeasureInput>

/** When the parts of a job must be there, and how much it matters; an empty day says that nobody knows. */
export const JobWhenInput = z.object({
  jobId: Id,
  needOn: z
    .union([z.literal(''), z.iso.date({ error: 'choose a day, or leave it empty' })])
    .transform((day) => day || null),
  priority: z.coerce.number<number>().int().min(1).max(3),
})
export type JobWhenInput = z.infer<typeof JobWhenInput>

/** Parts kept for one job are given to another. */
export const KeptMoveInput = z.object({
  fromNeedId: Id,
  toNeedId: Id,
  /** Minor units. */
  quantity: z.coerce.number<number>().int().positive(),
  reason: Text(200).min(3, 'say why, so that the other job can read it'),
})
export type KeptMoveInput = z.infer<typeof KeptMoveInput>
