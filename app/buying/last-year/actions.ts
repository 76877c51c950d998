'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { pastYearStart } from '@/lib/db/past-year-run.ts'

export const reckonAgain = action({
  right: 'stock.level',
  kind: 'buying.last-year',
  schema: z.object({}),
  run: async () => {
    pastYearStart(() => new Date())
    return null
  },
})
