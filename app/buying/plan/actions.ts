'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import {
  planBudgetSet,
  planChoiceUndo,
  planQuantitySet,
  planRefuse,
  planWinterLeave,
} from '@/lib/db/order-plan-hand.ts'
import { planOrder } from '@/lib/db/order-plan-place.ts'
import { planRunCancel } from '@/lib/db/order-plan-run.ts'
import { planReckonedAfter, planRunBegin } from '@/lib/db/order-plan-start.ts'
import { counted } from '@/lib/measure/counted.ts'
import {
  PlanBudgetForm,
  PlanQuantityForm,
  PlanReckonForm,
  PlanRefuseForm,
  PlanUndoForm,
} from '@/lib/replenish/plan-hand.ts'

const right = 'buying.order'
const Run = z.object({ runId: z.coerce.number<number>().int().positive() })

export const reckonPlan = action({ right, schema: PlanReckonForm, run: planReckonedAfter(planRunBegin) })

export const cancelPlan = action({ right, schema: Run, run: planRunCancel })

export const setQuantity = action({ right, schema: PlanQuantityForm, run: planReckonedAfter(planQuantitySet) })

export const refuseOffer = action({ right, schema: PlanRefuseForm, run: planReckonedAfter(planRefuse) })

export const setBudget = action({ right, schema: PlanBudgetForm, run: planReckonedAfter(planBudgetSet) })

export const leaveWinter = action({ right, schema: z.object({}), run: planReckonedAfter(planWinterLeave) })

export const undoChoice = action({ right, schema: PlanUndoForm, run: planReckonedAfter(planChoiceUndo) })

export const orderToday = action({
  right,
  schema: Run,
  run: planOrder,
  then: ({ orders, drafts }) => ({
    says: [
      orders.length === 0
        ? ''
        : `${counted(orders.length, 'order')} made: ${orders.map(({ number }) => number).join(', ')}. Send each to its supplier your own way.`,
      drafts.length === 0
        ? ''
        : `Above your limit, so ${counted(drafts.length, 'draft')} kept for approval: ${drafts.map(({ draftId, supplier }) => `draft ${draftId} for ${supplier}`).join(', ')}.`,
    ]
      .filter((line) => line !== '')
      .join(' '),
  }),
})
