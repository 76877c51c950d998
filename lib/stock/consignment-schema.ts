import { z } from 'zod'
import { TYPED_UNITS } from '../measure/quantity.ts'
import { Id, quantityTyped } from './schema.ts'

const StoreChosen = z.coerce
  .number<number>({ error: 'choose a store' })
  .int('choose a store')
  .positive('choose a store')
const Quantity = z.number().int().positive('enter a number above zero').max(1_000_000_000)

export const ConsignmentPackInput = z
  .object({ fromStoreId: StoreChosen, toStoreId: StoreChosen })
  .refine(({ fromStoreId, toStoreId }) => fromStoreId !== toStoreId, {
    path: ['toStoreId'],
    message: 'choose another store than the one it comes from',
  })
export type ConsignmentPackInput = z.infer<typeof ConsignmentPackInput>

export const ConsignmentInput = z.object({ consignmentId: Id })
export type ConsignmentInput = z.infer<typeof ConsignmentInput>

export const ConsignmentLineOffInput = z.object({ lineId: Id })
export type ConsignmentLineOffInput = z.infer<typeof ConsignmentLineOffInput>

const ConsignmentLineInput = z.object({
  consignmentId: Id,
  partId: Id,
  fromBinId: Id,
  quantity: Quantity,
  /** Left out: the earliest use-by day that is not past, when it is sent. */
  batchId: Id.optional(),
})
export type ConsignmentLineInput = z.infer<typeof ConsignmentLineInput>

/** A line as it is packed: typed in the unit that was shown. */
export const ConsignmentLineForm = z
  .object({
    consignmentId: Id,
    partId: Id,
    fromBinId: Id,
    unit: z.enum(TYPED_UNITS),
    quantity: z.string(),
    batchId: Id.optional(),
  })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(ConsignmentLineInput)

const ConsignmentLostInput = z.object({
  lineId: Id,
  quantity: Quantity,
  reason: z.string().trim().min(3, 'say what became of it').max(200),
})
export type ConsignmentLostInput = z.infer<typeof ConsignmentLostInput>

export const ConsignmentLostForm = z
  .object({ lineId: Id, unit: z.enum(TYPED_UNITS), quantity: z.string(), reason: z.string() })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(ConsignmentLostInput)

const ConsignmentArriveInput = z.object({
  consignmentId: Id,
  lines: z
    .array(z.object({ lineId: Id, binId: Id, quantity: Quantity }))
    .min(1, 'enter what arrived on at least one line')
    .max(1000),
})
export type ConsignmentArriveInput = z.infer<typeof ConsignmentArriveInput>

/** What arrived, as it is sent: `came.<line>`, `unit.<line>` and `bin.<line>`. A line left blank or at zero did not arrive. */
export const ConsignmentArriveForm = z
  .looseObject({ consignmentId: Id })
  .transform(({ consignmentId, ...fields }, context) => {
    const lines = Object.entries(fields).flatMap(([name, text]) => {
      const lineId = /^came\.(\d{1,15})$/.exec(name)?.[1]
      const unit = TYPED_UNITS.find((one) => one === fields[`unit.${lineId}`])
      if (lineId === undefined || !unit || typeof text !== 'string') return []
      const quantity = quantityTyped(text, unit, name, context)
      if (quantity === 0) return []
      const binId = Number(fields[`bin.${lineId}`])
      if (!Number.isSafeInteger(binId) || binId <= 0)
        context.addIssue({ code: 'custom', path: [`bin.${lineId}`], message: 'choose a bin' })
      return [{ lineId: Number(lineId), binId, quantity }]
    })
    return { consignmentId, lines }
  })
  .pipe(ConsignmentArriveInput)
