import { z } from 'zod'
import { Item, StripStepFile } from './schema.ts'
import { NOTE_LETTERS_MAX, STEP_MINUTES_MAX, STRIP_STEPS_MAX } from './strip-draft.ts'

/** A strip order as it is kept; the newest of a figure counts. */
export const StripOrderKept = z.strictObject({
  /** In the order they come off. */
  steps: z.array(StripStepFile).max(5000),
  edges: z.array(z.strictObject({ first: Item, then: Item })).max(20000),
})
export type StripOrderKept = z.infer<typeof StripOrderKept>

const id = z.coerce.number().int().positive()

const SavedStep = z.strictObject({
  item: Item,
  after: z.array(Item).max(STRIP_STEPS_MAX),
  note: z.string().trim().max(NOTE_LETTERS_MAX, `a note has ${NOTE_LETTERS_MAX} letters at most`),
  minutes: z
    .string()
    .trim()
    .regex(/^\d{0,4}$/, 'minutes are a whole number')
    .refine((text) => text === '' || (Number(text) >= 1 && Number(text) <= STEP_MINUTES_MAX), {
      message: `minutes lie between 1 and ${STEP_MINUTES_MAX}`,
    }),
})

/** The order as the editor sends it; `version` and `edition` say what it was made from. */
export const StripSaveInput = z.object({
  figureId: id,
  edition: id,
  version: z.coerce.number().int().min(0),
  steps: z
    .string()
    .max(2_000_000)
    .transform((text, context) => {
      try {
        return JSON.parse(text) as unknown
      } catch {
        context.addIssue({ code: 'custom', message: 'the steps did not arrive whole: send them again' })
        return z.NEVER
      }
    })
    .pipe(z.array(SavedStep).max(STRIP_STEPS_MAX, `an order has ${STRIP_STEPS_MAX} steps at most`)),
})
export type StripSaveInput = z.infer<typeof StripSaveInput>
