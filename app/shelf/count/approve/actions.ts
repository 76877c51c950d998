'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { countApprove, countSendBack } from '@/lib/db/count-approve.ts'
import { CountApproveInput, CountSendBackInput } from '@/lib/stock/schema.ts'

export const approve = action({
  right: 'stock.approve',
  schema: CountApproveInput,
  run: countApprove,
  then: () => ({ redirect: paths.countApprove() }),
})

export const sendBack = action({
  right: 'stock.approve',
  schema: CountSendBackInput,
  run: countSendBack,
  then: () => ({ redirect: paths.countApprove() }),
})
