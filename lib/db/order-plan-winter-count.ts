import type { AnswerLine, AnswerOrder } from '../replenish/plan-answer.ts'
import type { ShopNames } from '../replenish/plan-shop-state.ts'
import type { Tx } from './client.ts'
import type { OrderMade } from './order-draft.ts'
import type { WriteContext } from './transaction.ts'

/** What of the price of a line each winter plan takes, by the pieces that it is for; money minor units. */
function shares({ pegged, priceMinor }: AnswerLine, planOf: (need: string) => number | null): Map<number, number> {
  const all = pegged.reduce((sum, { quantity }) => sum + quantity, 0)
  const pieces = new Map<number, number>()
  for (const { need, quantity } of pegged) {
    const plan = planOf(need)
    if (plan !== null) pieces.set(plan, (pieces.get(plan) ?? 0) + quantity)
  }
  return new Map([...pieces].map(([plan, quantity]) => [plan, Math.round((priceMinor * quantity) / all)]))
}

/**
 * What the order plan ordered for winter plans counts for them, inside the write that orders. An order of which every line is for one
 * winter plan only is an order of that plan, or its draft. One that is for other things as well cannot be: it counts as coming, and
 * of the plan's kept budget what its share of the goods costs is gone, so that the same money does not buy twice.
 */
export async function winterCount(
  tx: Tx,
  { lines, carriageMinor }: AnswerOrder,
  { winters = {} }: ShopNames,
  made: OrderMade,
): Promise<void> {
  const planOf = (need: string) => winters[need]?.planId ?? null
  const found = new Set(
    lines.flatMap(({ pegged }) => (pegged.length === 0 ? [null] : pegged.map(({ need }) => planOf(need)))),
  )
  const [only] = found
  if (found.size === 1 && typeof only === 'number') {
    // Whoever has the list of the plan open saw it as it was before.
    await tx.winterPlan.update({ where: { id: only }, data: { ordersMade: { increment: 1 } } })
    if (made.order === null) await tx.orderDraft.update({ where: { id: made.draftId }, data: { winterPlanId: only } })
    else await tx.winterOrder.create({ data: { planId: only, orderId: made.order.orderId, carriageMinor } })
    return
  }
  const gone = new Map<number, number>()
  for (const line of lines)
    for (const [planId, minor] of shares(line, planOf)) gone.set(planId, (gone.get(planId) ?? 0) + minor)
  for (const [id, minor] of gone) {
    const { budgetMinor } = await tx.winterPlan.findUniqueOrThrow({ where: { id }, select: { budgetMinor: true } })
    const left = budgetMinor === null ? null : Math.max(0, budgetMinor - minor)
    await tx.winterPlan.update({ where: { id }, data: { budgetMinor: left, ordersMade: { increment: 1 } } })
  }
}

/** What was set by hand in winter plans is bought with these orders, so that no more than the rest of it is still to buy. */
export async function winterByHandLess(
  tx: Tx,
  { now, personId }: WriteContext,
  orders: readonly AnswerOrder[],
  { winters = {}, parts }: ShopNames,
): Promise<void> {
  const planIds = [...new Set(Object.values(winters).map(({ planId }) => planId))]
  if (planIds.length === 0) return
  const came = new Map<number, number>()
  for (const { lines } of orders)
    for (const { pegged, spare } of lines)
      for (const { part, quantity } of [...pegged, ...spare])
        came.set(parts[part]!, (came.get(parts[part]!) ?? 0) + quantity)
  const rows = await tx.winterQuantity.findMany({ where: { planId: { in: planIds }, quantity: { gt: 0 } } })
  for (const { planId, partId, quantity } of rows) {
    const bought = came.get(partId) ?? 0
    if (bought === 0) continue
    await tx.winterQuantity.update({
      where: { planId_partId: { planId, partId } },
      data: { quantity: Math.max(0, quantity - bought), setById: personId, setAt: now },
    })
  }
}
