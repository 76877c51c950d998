import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import { quantityParse, TYPED_UNITS } from '../measure/quantity.ts'
import { PLAN_SECONDS } from './plan-kept.ts'

const Id = z.coerce.number<number>().int().positive()

export const PlanReckonForm = z.object({
  seconds: z.coerce
    .number<number>()
    .refine((seconds) => PLAN_SECONDS.some((one) => one === seconds), 'choose one of the times'),
})

export const PlanQuantityForm = z
  .object({ supplierId: Id, partId: Id, unit: z.enum(TYPED_UNITS), quantity: z.string().max(20) })
  .transform(({ supplierId, partId, unit, quantity }, context) => {
    const amount = quantityParse(quantity, unit)
    if (amount !== null && amount >= 0) return { supplierId, partId, amount: amount as number }
    context.addIssue({ code: 'custom', path: ['quantity'], message: 'enter a number, 0 for none of it' })
    return z.NEVER
  })

export const PlanRefuseForm = z
  .object({ supplierId: Id, partId: Id.optional() })
  .transform(({ supplierId, partId }) => ({ supplierId, partId: partId ?? null }))

export const PlanBudgetForm = z.object({ budget: z.string().max(20) }).transform(({ budget }, context) => {
  const amount = moneyParse(budget)
  if (amount !== null) return { amount: amount as number }
  context.addIssue({ code: 'custom', path: ['budget'], message: 'enter an amount, such as 250' })
  return z.NEVER
})

export const PlanUndoForm = z.object({ choiceId: Id })
