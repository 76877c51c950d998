import { z } from 'zod'
import { quantityParse, STOCK_UNITS, type TypedUnit } from '../measure/quantity.ts'
import { BATCH_SAID, BATCH_TAKEN } from './batch-schema.ts'
import { COUNT_REASON_CODES, type CountReason } from './count-reasons.ts'

/** Row ids arrive from forms as text. */
export const Id = z.coerce.number<number>().int().positive()
const Quantity = z.coerce
  .number<number>({ error: 'enter a number' })
  .int('enter a whole number')
  .positive('enter a number above zero')
  .max(1_000_000_000)
const Reason = z.string().trim().max(200)

/** All quantities are minor units of the part's stock unit. */
export const ReceiveInput = z.object({
  partId: Id,
  binId: Id,
  quantity: Quantity,
  costMinor: z.coerce.number<number>().int().min(0).optional(),
  reason: Reason.optional(),
  /** An exchange part without an order: who is owed the old unit, and the deposit charged on one piece, money minor units. */
  depositSupplierId: Id.optional(),
  depositMinor: z.coerce.number<number>().int().min(1).max(1_000_000_000).optional(),
  ...BATCH_SAID,
})
export type ReceiveInput = z.infer<typeof ReceiveInput>

/** What parts are taken for, where it is no job: one of them at least (lib/stock/for-what.ts). */
const FOR_WHAT = {
  machineId: Id.optional(),
  costCentre: z.string().trim().max(40).optional(),
  forPersonId: z.string().max(100).optional(),
  reason: Reason.optional(),
}

const WITHOUT_JOB = { partId: Id, binId: Id, quantity: Quantity, ...FOR_WHAT }
export const IssueInput = z.object({ ...WITHOUT_JOB, ...BATCH_TAKEN })
export type IssueInput = z.infer<typeof IssueInput>

/** Back on the shelf without a job. */
export const ReturnInput = z.object({ ...WITHOUT_JOB, ...BATCH_SAID })
export type ReturnInput = z.infer<typeof ReturnInput>

export const ScrapInput = z.object({
  partId: Id,
  binId: Id,
  quantity: Quantity,
  reason: Reason.min(3, 'say why it is scrapped'),
  batchId: Id.optional(),
})
export type ScrapInput = z.infer<typeof ScrapInput>

export const CountInput = z.object({
  partId: Id,
  binId: Id,
  /** What lies in the bin, minor units. */
  counted: z.coerce.number<number>({ error: 'enter a number' }).int('enter a whole number').min(0).max(1_000_000_000),
  /** What the person saw on the screen when counting began: a movement in between makes the difference wrong. */
  expected: z.coerce.number<number>().int().min(0),
  reason: Reason,
})
export type CountInput = z.infer<typeof CountInput>

/** Lines of one sheet: more are counted on the next. */
export const COUNT_SHEET_LINES_MAX = 500

/** One line of a count sheet; `counted` is null where what was typed is no quantity. */
const CountSheetLine = z.object({
  partId: Id,
  binId: Id,
  counted: CountInput.shape.counted.nullable(),
  /** Number of the last movement when the bin was opened. */
  asOf: z.coerce.number<number>().int().min(0),
  /** The last movement that had happened when the person counted; null where they were not asked. */
  cutId: z.coerce.number<number>().int().min(0).nullable(),
  reasonCode: z.enum(COUNT_REASON_CODES as [CountReason, ...CountReason[]]).nullable(),
  words: Reason,
})
export const CountSheetInput = z
  .array(CountSheetLine)
  .min(1, 'enter what you counted on at least one line; 0 when there is none')
  .max(COUNT_SHEET_LINES_MAX, `save at most ${COUNT_SHEET_LINES_MAX} lines at once`)
export type CountSheetInput = z.infer<typeof CountSheetInput>

/** Whoever approves a difference, or wants it counted again. */
export const CountApproveInput = z.object({ lineId: Id, words: Reason.default('') })
export type CountApproveInput = z.infer<typeof CountApproveInput>
export const CountSendBackInput = z.object({ lineId: Id, words: Reason.min(3, 'say what to look at') })
export type CountSendBackInput = z.infer<typeof CountSendBackInput>

export const TransferInput = z.object({
  partId: Id,
  fromBinId: Id,
  toBinId: Id,
  quantity: Quantity,
  /** Left out, the earliest use-by day goes first. */
  batchId: Id.optional(),
})
export type TransferInput = z.infer<typeof TransferInput>

export const ReverseInput = z.object({ movementId: Id, reason: Reason.min(3, 'say what was wrong') })
export type ReverseInput = z.infer<typeof ReverseInput>

/** One movement as `POST /api/v1/movements` takes it; quantities in minor units of the part's stock unit. */
export const MovementInput = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('receive'), ...ReceiveInput.shape }),
  z.strictObject({ kind: z.literal('issue'), ...IssueInput.shape }),
  z.strictObject({ kind: z.literal('count-difference'), ...CountInput.shape }),
  z.strictObject({ kind: z.literal('transfer'), ...TransferInput.shape }),
  z.strictObject({ kind: z.literal('reversal'), ...ReverseInput.shape }),
])
export type MovementInput = z.infer<typeof MovementInput>

export const LevelInput = z
  .object({
    partId: Id,
    reorderPoint: z.coerce.number<number>().int().min(0).max(1_000_000_000),
    orderUpTo: z.coerce.number<number>().int().min(0).max(1_000_000_000),
    reason: Reason.min(3, 'say why, in a few words'),
  })
  .refine((level) => level.orderUpTo > level.reorderPoint, {
    path: ['orderUpTo'],
    message: 'the order-up-to level must lie above the reorder point',
  })
export type LevelInput = z.infer<typeof LevelInput>

/** A question to the stock table under a name; `query` as in its address, without the question mark. */
export const SavedViewInput = z.object({
  name: z.string().trim().min(2, 'give it a name').max(60, 'at most 60 letters'),
  query: z
    .string()
    .max(600)
    .regex(/^[\w%=&.,+*~-]*$/, 'this is no question to the stock table'),
})
export type SavedViewInput = z.infer<typeof SavedViewInput>
export const SavedViewDropInput = z.object({ viewId: Id })

const TYPE_SO: Record<TypedUnit, string> = {
  each: 'enter a whole number',
  litre: 'enter litres with at most three decimals, or millilitres: 250 ml',
  millilitre: 'enter whole millilitres, or litres: 0.25 l',
  kilogram: 'enter kilograms with at most three decimals, or grams: 10 g',
  gram: 'enter whole grams, or kilograms: 0.01 kg',
  metre: 'enter a number with at most three decimals',
}

/** A quantity as typed ("0.25" litre, "10 g"), read as minor units once the unit of the same form is known. */
export function quantityTyped(text: string, unit: TypedUnit, path: string, context: z.core.$RefinementCtx): number {
  const quantity = quantityParse(text, unit)
  if (quantity === null) {
    const isBelow = /^\s*[-−–]\s*\d/.test(text)
    const isLong = /^\s*\d{10,}/.test(text)
    const message = isBelow ? 'below zero: enter how many there are' : isLong ? 'more than can be kept' : TYPE_SO[unit]
    context.addIssue({ code: 'custom', path: [path], message })
    return z.NEVER
  }
  return quantity
}

/** The level as its form sends it: typed in stock units. */
export const LevelForm = z
  .object({
    partId: Id,
    unit: z.enum(STOCK_UNITS),
    reorderPoint: z.string(),
    orderUpTo: z.string(),
    reason: z.string(),
  })
  .transform(({ unit, ...level }, context) => ({
    ...level,
    reorderPoint: quantityTyped(level.reorderPoint, unit, 'reorderPoint', context),
    orderUpTo: quantityTyped(level.orderUpTo, unit, 'orderUpTo', context),
  }))
  .pipe(LevelInput)
