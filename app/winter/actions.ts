'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  winterBegin,
  winterBudgetKeep,
  winterChange,
  winterEnd,
  winterMachineSet,
  winterQuantitySet,
} from '@/lib/db/winter.ts'
import { winterCopyOf } from '@/lib/db/winter-copy.ts'
import { winterOrder } from '@/lib/db/winter-order.ts'
import { winterAgain, winterBuying, winterCancel, winterStanding } from '@/lib/db/winter-run.ts'
import { counted } from '@/lib/measure/counted.ts'
import {
  WinterBeginInput,
  WinterBudgetInput,
  WinterChangeInput,
  WinterMachineInput,
  WinterOrderForm,
  WinterPlanInput,
  WinterQuantityForm,
} from '@/lib/winter/schema.ts'
import { buyReason } from '@/lib/winter/words.ts'

const right = 'winter.plan'

export const begin = action({
  right,
  schema: WinterBeginInput,
  run: winterBegin,
  then: ({ planId }) => ({ redirect: paths.winter(planId) }),
})

export const change = action({
  right,
  schema: WinterChangeInput,
  run: winterChange,
  then: ({ planId }) => ({ redirect: paths.winter(planId) }),
})

export const end = action({
  right,
  schema: WinterPlanInput,
  run: winterEnd,
  then: ({ isEnded }) => ({ says: isEnded ? 'The plan is closed.' : 'The plan is open again.' }),
})

export const setMachine = action({
  right,
  schema: WinterMachineInput,
  run: winterMachineSet,
  then: (_, { planId }) => ({ redirect: paths.winter(planId) }),
})

export const keepBudget = action({
  right,
  schema: WinterBudgetInput,
  run: winterBudgetKeep,
  then: () => ({ says: 'Budget kept.' }),
})

export const setQuantity = action({
  right,
  schema: WinterQuantityForm,
  run: winterQuantitySet,
  then: (_, { quantity }) => ({ says: quantity === null ? 'Proposed again.' : 'Kept.' }),
})

export const orderAll = action({
  right: 'buying.order',
  schema: WinterOrderForm,
  run: async (context, input) => {
    const standing = await winterStanding(input.planId, context.now)
    const buying = await winterBuying(standing)
    const reasons = new Map(
      (buying?.parts ?? []).map((part) => [part.partId, `${standing.plan.name}: ${buyReason(part)}`]),
    )
    return winterOrder(context, input, reasons, await winterCopyOf(standing))
  },
  then: ({ orderIds, drafts }) => ({
    says: [
      orderIds.length === 0 ? '' : `${counted(orderIds.length, 'order')} made. All of it counts as on order now.`,
      drafts.length === 0
        ? ''
        : `Above your limit, so ${counted(drafts.length, 'draft')} kept for approval, which counts as coming: ${drafts.map(({ draftId, supplier }) => `draft ${draftId} for ${supplier}`).join(', ')}.`,
    ]
      .filter((line) => line !== '')
      .join(' '),
  }),
})

export const cancel = action({
  right,
  schema: WinterPlanInput,
  kind: 'winter.cancel',
  run: async (_, { planId }) => {
    winterCancel(planId)
    return null
  },
})

export const again = action({
  right,
  schema: WinterPlanInput,
  kind: 'winter.again',
  run: async (_, { planId }) => {
    winterAgain(planId)
    return null
  },
})
