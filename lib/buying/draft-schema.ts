import { z } from 'zod'
import { Id, quantityTyped } from '../stock/schema.ts'
import { fieldsOf } from './schema.ts'

/** A draft as the person saw it. */
const Asked = { draftId: Id, version: z.coerce.number<number>().int().min(1) }
export const DraftAsked = z.object(Asked)
export type DraftAsked = z.infer<typeof DraftAsked>

const Quantity = z.number().int().min(0).max(1_000_000_000)
const Lines = z.array(z.object({ partId: Id, quantity: Quantity })).max(1000)

/** What is done once the draft is saved. */
const As = z.enum(['save', 'approve', 'order', 'mail'])

export const DraftChangeInput = z.object({ ...Asked, note: z.string().trim().max(500), lines: Lines, as: As })
export type DraftChangeInput = z.infer<typeof DraftChangeInput>

/** A draft as its form sends it: `quantity.<part>.<unit>` a line, typed in the stock unit; empty or zero takes the line off. */
export const DraftChangeForm = z
  .looseObject({ ...Asked, note: z.string().default(''), as: As.default('save') })
  .transform(({ draftId, version, note, as, ...fields }, context) => ({
    ...{ draftId, version, note, as },
    lines: fieldsOf(fields, 'quantity').map(({ name, id, unit, text }) => ({
      partId: id,
      quantity: text.trim() === '' ? 0 : quantityTyped(text, unit, name, context),
    })),
  }))
  .pipe(DraftChangeInput)

export const DraftLineAddInput = z.object({
  ...Asked,
  number: z.string().trim().min(1, 'enter a part number').max(80),
  /** As typed, in the part's stock unit. */
  quantity: z.string().trim().min(1, 'enter how many').max(20),
})
export type DraftLineAddInput = z.infer<typeof DraftLineAddInput>

/** What became of a mail that was broken off. */
export const DraftSettleForm = z
  .object({ ...Asked, went: z.enum(['yes', 'no']) })
  .transform(({ went, ...asked }) => ({ ...asked, went: went === 'yes' }))

export const OrderRepeatInput = z.object({ orderId: Id })
export type OrderRepeatInput = z.infer<typeof OrderRepeatInput>

/** The draft whose lines are taken in, as it was seen. */
export const DraftMergeInput = z.object({
  ...Asked,
  fromId: Id,
  fromVersion: z.coerce.number<number>().int().min(1),
})
export type DraftMergeInput = z.infer<typeof DraftMergeInput>
