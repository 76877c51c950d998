import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import type { AnswerLine, AnswerOrder } from '../replenish/plan-answer.ts'
import type { KeptPlan } from '../replenish/plan-kept.ts'
import { peggedSays } from '../replenish/plan-words.ts'
import { dateOf } from '../service/plain-date.ts'
import type { Tx } from './client.ts'
import { orderMakeIn } from './order-draft.ts'
import { planQuestion } from './order-plan-read.ts'
import { winterAsked } from './order-plan-winter.ts'
import { winterByHandLess, winterCount } from './order-plan-winter-count.ts'
import { type WriteContext, write } from './transaction.ts'

export interface PlanPlaced {
  orders: { orderId: number; number: number }[]
  /** Above the limit of whoever pressed: drafts that wait for approval. */
  drafts: { draftId: number; supplier: string }[]
}

/**
 * Makes real what the plan orders today, all of it or nothing: orders of what the person may approve, drafts of what is above that.
 * Refuses with 'plan/stale' where anything that the plan hangs on has changed since, and with 'plan/other-run' where it is not the
 * newest plan.
 */
export async function planOrder(context: WriteContext, input: { runId: number }): Promise<PlanPlaced> {
  // Before the write: it reads beside it. What is ordered meanwhile shows in the question all the same.
  const winter = await winterAsked(context.now)
  return write(context, 'buying.plan-order', input, async (tx) => {
    const today = dateOf(context.now)
    const run = await tx.orderPlanRun.findFirst({
      where: { state: 'done', plan: { not: null } },
      orderBy: { id: 'desc' },
    })
    if (run?.id !== input.runId || run.plan === null) throw new Refusal('plan/other-run')
    if ((await planQuestion(tx, today, winter)).digest !== run.digest) throw new Refusal('plan/stale')
    const { answer, names } = JSON.parse(run.plan) as KeptPlan
    const due = answer.orders.filter(({ orderOn }) => orderOn === today)
    if (due.length === 0) throw new Refusal('plan/nothing-today')
    const made: PlanPlaced = { orders: [], drafts: [] }
    for (const order of due) {
      const lines = order.lines.map((line) => ({ ...names.offers[line.offer]!, line }))
      const units = await unitsOf(tx, [...new Set(lines.flatMap(({ line }) => partsOf(line)))], names)
      const reasons = new Map(
        lines.map(({ partId, line }) => [
          partId,
          peggedSays(line, (part, quantity) => quantityFormat(quantity, units.get(part) ?? 'each')),
        ]),
      )
      const one = await orderMakeIn(tx, context, placeInput(order, names), reasons, 'waits')
      await winterCount(tx, order, names, one)
      if (one.order === null) made.drafts.push({ draftId: one.draftId, supplier: order.supplier })
      else made.orders.push(one.order)
    }
    await winterByHandLess(tx, context, due, names)
    await tx.orderPlanRun.update({
      where: { id: run.id },
      data: {
        orderIds: JSON.stringify(made.orders.map(({ orderId }) => orderId)),
        draftIds: JSON.stringify(made.drafts.map(({ draftId }) => draftId)),
        orderedAt: context.now,
      },
    })
    return made
  })
}

const placeInput = ({ supplier, lines }: AnswerOrder, names: KeptPlan['names']) => ({
  supplierId: names.suppliers[supplier]!,
  lines: lines.map(({ offer, quantity }) => ({ partId: names.offers[offer]!.partId, quantity })),
})

const partsOf = ({ pegged, spare }: AnswerLine): string[] => [...pegged, ...spare].map(({ part }) => part)

async function unitsOf(tx: Tx, labels: readonly string[], names: KeptPlan['names']): Promise<Map<string, StockUnit>> {
  const parts = await tx.part.findMany({
    where: { id: { in: labels.map((label) => names.parts[label]!) } },
    select: { id: true, unit: true },
  })
  const byId = new Map(parts.map(({ id, unit }) => [id, unit as StockUnit]))
  return new Map(labels.map((label) => [label, byId.get(names.parts[label]!) ?? 'each']))
}
