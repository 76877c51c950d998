'use server'

import { action } from '@/app/_server/action.ts'
import { stripSave } from '@/lib/db/strip.ts'
import { StripSaveInput } from '@/lib/figure/strip-schema.ts'

export const saveStrip = action({
  right: 'catalogue.edit',
  schema: StripSaveInput,
  run: stripSave,
  then: () => ({ says: 'Saved. Jobs that are planned from now on follow it.' }),
})
