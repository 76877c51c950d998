'use server'

import { action } from '@/app/_server/action.ts'
import { OrderCallForm } from '@/lib/buying/confirm-schema.ts'
import { orderCall } from '@/lib/db/order-chase.ts'

export const noteCall = action({
  right: 'buying.order',
  schema: OrderCallForm,
  run: orderCall,
  kind: 'buying.call',
  then: (_, { promisedOn }) => ({
    says: promisedOn === null ? 'Kept.' : 'Kept. The lines are looked for on the new day.',
  }),
})
