import { z } from 'zod'
import { PART_CLASSES } from '../catalogue/part-class.ts'

const Id = z.coerce.number<number>().int().positive()
const Words = z.string().trim().max(200)

/** Batch numbers of GS1 codes have 20 signs at most; those typed from a drum may be longer. */
export const BatchCode = z.string().trim().min(1).max(40)
export const UseByDay = z.iso.date('enter a date')

/** What is said of the batch of what comes in; which of it must be said hangs on the part. */
export const BATCH_SAID = {
  batch: BatchCode.optional(),
  useBy: UseByDay.optional(),
  /** Its day is past, and it goes on the shelf all the same. */
  expiredKept: z.boolean().optional(),
}
export interface BatchSaid {
  batch?: string
  useBy?: string
  expiredKept?: boolean
}

/** Which batch goes out; left out, the earliest use-by day goes first. */
export const BATCH_TAKEN = {
  batchId: Id.optional(),
  /** Why one whose day is past is taken for use. */
  expiredWhy: Words.optional(),
}

export const BatchChangeInput = z.object({
  batchId: Id,
  code: BatchCode,
  useBy: UseByDay.optional(),
  reason: Words.min(3, 'say what was wrong'),
})
export type BatchChangeInput = z.infer<typeof BatchChangeInput>

/** How much of each batch lies in a bin, minor units; together what the books say lies there. */
export const BatchSortInput = z.object({
  partId: Id,
  binId: Id,
  lots: z.array(z.object({ batchId: Id, quantity: z.number().int().min(0).max(1_000_000_000) })).max(200),
  /** A batch that the books did not have in the bin. */
  more: z.object({ ...BATCH_SAID, quantity: z.number().int().positive().max(1_000_000_000) }).optional(),
})
export type BatchSortInput = z.infer<typeof BatchSortInput>

const MONTHS_MAX = 240
/** Months of usual life, as typed. */
export const Months = z.coerce
  .number<number>({ error: 'enter whole months' })
  .int('enter whole months')
  .min(1, 'at least one month')
  .max(MONTHS_MAX, `at most ${MONTHS_MAX} months`)

export const BatchClassInput = z.object({
  partClass: z.enum(PART_CLASSES),
  asksBatch: z.boolean(),
  asksUseBy: z.boolean(),
  shelfLifeMonths: Months.optional(),
})
export type BatchClassInput = z.infer<typeof BatchClassInput>

/** Left out: as its class says. */
export const BatchPartInput = z.object({
  partId: Id,
  asksBatch: z.boolean().optional(),
  asksUseBy: z.boolean().optional(),
  shelfLifeMonths: Months.optional(),
})
export type BatchPartInput = z.infer<typeof BatchPartInput>
