import { z } from 'zod'
import { TYPED_UNITS } from '@/lib/measure/quantity.ts'
import { BatchPartInput, BatchSortInput, Months } from '@/lib/stock/batch-schema.ts'
import { Id, quantityTyped } from '@/lib/stock/schema.ts'

/** Blank where there is none of it: zero cannot be typed as a quantity of a booking, and can lie in a bin. */
function lies(text: string, unit: (typeof TYPED_UNITS)[number], path: string, context: z.core.$RefinementCtx): number {
  return /^0*$/.test(text.trim()) ? 0 : quantityTyped(text, unit, path, context)
}

/** The batches in a bin as they are sent: `lot.<batch>` as typed, and one more that the books did not have there. */
export const BatchSortForm = z
  .looseObject({
    partId: Id,
    binId: Id,
    unit: z.enum(TYPED_UNITS),
    batch: z.string().optional(),
    useBy: z.string().optional(),
    moreQuantity: z.string().optional(),
  })
  .transform(({ partId, binId, unit, batch, useBy, moreQuantity = '', ...fields }, context) => {
    const lots = Object.entries(fields).flatMap(([name, text]) => {
      const [, id] = /^lot\.(\d{1,15})$/.exec(name) ?? []
      return id === undefined || typeof text !== 'string'
        ? []
        : [{ batchId: Number(id), quantity: lies(text, unit, name, context) }]
    })
    const quantity = lies(moreQuantity, unit, 'moreQuantity', context)
    if (quantity === 0 && batch !== undefined)
      context.addIssue({ code: 'custom', path: ['moreQuantity'], message: 'say how many of it' })
    return {
      partId,
      binId,
      lots,
      ...(quantity > 0 ? { more: { quantity, ...(batch ? { batch } : {}), ...(useBy ? { useBy } : {}) } } : {}),
    }
  })
  .pipe(BatchSortInput)

const AsClass = z.enum(['class', 'yes', 'no'])
/** What the part does not say itself is left out. */
const own = (name: 'asksBatch' | 'asksUseBy', says: z.infer<typeof AsClass>) =>
  says === 'class' ? {} : { [name]: says === 'yes' }

export const BatchPartForm = z
  .object({ partId: Id, asksBatch: AsClass, asksUseBy: AsClass, shelfLifeMonths: Months.optional() })
  .transform(({ partId, asksBatch, asksUseBy, shelfLifeMonths }) => ({
    partId,
    ...own('asksBatch', asksBatch),
    ...own('asksUseBy', asksUseBy),
    ...(shelfLifeMonths === undefined ? {} : { shelfLifeMonths }),
  }))
  .pipe(BatchPartInput)
