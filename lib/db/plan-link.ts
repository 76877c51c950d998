import type { Tx } from './client.ts'

/** What something is split off from. */
type From = { draftId: number } | { orderId: number }

/**
 * Ties a draft to the plan that the draft or order was made of from which it was split, inside a write: to a winter plan, so that what
 * is ordered of it counts against its budget, and to the order plans among whose drafts it is then shown. Without a plan nothing changes.
 */
export async function planLinkFollow(tx: Tx, from: From, draftId: number): Promise<void> {
  const draft = await tx.orderDraft.findUnique({
    where: 'draftId' in from ? { id: from.draftId } : { orderId: from.orderId },
    select: { id: true, winterPlanId: true },
  })
  const winter = 'orderId' in from ? await tx.winterOrder.findUnique({ where: { orderId: from.orderId } }) : null
  const winterPlanId = winter?.planId ?? draft?.winterPlanId ?? null
  if (winterPlanId !== null) await tx.orderDraft.update({ where: { id: draftId }, data: { winterPlanId } })
  // Runs are many and their lists short: the database looks into them.
  const runs = await tx.$queryRaw<{ id: number | bigint; draftIds: string | null }[]>`
    SELECT r."id", r."draftIds" FROM "OrderPlanRun" r WHERE r."orderedAt" IS NOT NULL AND (
      EXISTS (SELECT 1 FROM json_each(r."orderIds") WHERE value = ${'orderId' in from ? from.orderId : 0})
      OR EXISTS (SELECT 1 FROM json_each(r."draftIds") WHERE value = ${draft?.id ?? 0}))`
  for (const run of runs) {
    const draftIds = [...(JSON.parse(run.draftIds ?? '[]') as number[]), draftId]
    await tx.orderPlanRun.update({ where: { id: Number(run.id) }, data: { draftIds: JSON.stringify(draftIds) } })
  }
}
