'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { checkStart } from '@/lib/db/check-run.ts'

export const checkNow = action({
  right: 'stock.count',
  kind: 'workshop.check',
  schema: z.object({}),
  run: async () => {
    checkStart(() => new Date())
    return null
  },
})
