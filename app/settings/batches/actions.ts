'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { PART_CLASSES, partClassSays } from '@/lib/catalogue/part-class.ts'
import { batchClassSet } from '@/lib/db/batch.ts'
import { BatchClassInput, Months } from '@/lib/stock/batch-schema.ts'

const BatchClassForm = z
  .object({
    partClass: z.enum(PART_CLASSES, { error: 'choose a class' }),
    asksBatch: z.string().optional(),
    asksUseBy: z.string().optional(),
    shelfLifeMonths: Months.optional(),
  })
  .transform(({ partClass, asksBatch, asksUseBy, shelfLifeMonths }) => ({
    partClass,
    asksBatch: asksBatch !== undefined,
    asksUseBy: asksUseBy !== undefined,
    ...(shelfLifeMonths === undefined ? {} : { shelfLifeMonths }),
  }))
  .pipe(BatchClassInput)

export const setClassRule = action({
  right: 'stock.places',
  kind: 'batch.class',
  schema: BatchClassForm,
  run: batchClassSet,
  then: ({ partClass }) => ({ says: `Kept for ${partClassSays(partClass)}: it is asked so from now on.` }),
})
