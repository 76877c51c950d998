'use server'

import { action } from '@/app/_server/action.ts'
import { stockSetLevel } from '@/lib/db/stock.ts'
import { LevelForm } from '@/lib/stock/schema.ts'

export const setLevel = action({
  right: 'stock.level',
  schema: LevelForm,
  run: stockSetLevel,
  then: () => ({ says: 'The level is kept.' }),
})
