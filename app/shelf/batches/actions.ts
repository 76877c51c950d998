'use server'

import { action } from '@/app/_server/action.ts'
import { batchChange, batchPartSet } from '@/lib/db/batch.ts'
import { batchesSort } from '@/lib/db/batch-sort.ts'
import { BatchChangeInput } from '@/lib/stock/batch-schema.ts'
import { BatchPartForm, BatchSortForm } from './batch-form.ts'

export const changeBatch = action({
  right: 'stock.count',
  kind: 'batch.change',
  schema: BatchChangeInput,
  run: batchChange,
  then: ({ code }) => ({ says: `Batch ${code} is put right, for everything that was booked of it.` }),
})

export const sortBatches = action({
  right: 'stock.count',
  kind: 'batch.sort',
  schema: BatchSortForm,
  run: batchesSort,
  then: ({ moved }) => ({ says: moved === 0 ? 'So the books had it.' : 'The batches stand as you found them.' }),
})

export const setPartRule = action({
  right: 'stock.places',
  kind: 'batch.part',
  schema: BatchPartForm,
  run: batchPartSet,
  then: () => ({ says: 'Kept: it is asked so from the next booking on.' }),
})
