'use server'

import { action } from '@/app/_server/action.ts'
import { rateKeep } from '@/lib/db/currency-rate.ts'
import { RateForm } from '@/lib/price/schema.ts'

export const keepRate = action({
  right: 'buying.order',
  schema: RateForm,
  run: rateKeep,
  then: ({ currency }) => ({ says: `${currency} goes by this rate from now on; orders keep the rate of their day.` }),
})
