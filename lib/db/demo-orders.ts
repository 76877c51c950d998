import { BUYER } from '../../seed/estate/people.ts'
import { dayOf } from './batch.ts'
import { orderListWhole } from './buying.ts'
import { database } from './client.ts'
import { orderConfirm } from './order-confirm.ts'
import { draftKeep } from './order-draft.ts'
import type { WriteContext } from './transaction.ts'

const HOUR_MS = 3_600_000

/** What the buyer of the demo left this morning: one order confirmed by its supplier, and a draft that is not sent. */
export async function demoOrdersPlace(now: Date): Promise<void> {
  const context = (step: string, hoursAgo: number): WriteContext => ({
    key: `demo-order-${step}`,
    personId: BUYER,
    now: new Date(now.getTime() - hoursAgo * HOUR_MS),
  })
  const today = dayOf(now)
  const coming = await database().purchaseOrder.findFirst({
    where: { state: 'ordered', dueOn: { gte: today }, lines: { every: { received: 0 } } },
    include: { lines: true },
    orderBy: { number: 'desc' },
  })
  if (coming)
    await orderConfirm(context('confirmed', 3), {
      orderId: coming.id,
      reference: 'A-20417',
      lines: coming.lines.map((line) => ({ lineId: line.id, day: coming.dueOn })),
    })
  const { groups } = await orderListWhole(today)
  const group = groups.filter(({ supplier, lines }) => supplier !== null && lines.length > 2).at(-1)
  if (!group?.supplier) return
  const lines = group.lines.slice(-2)
  await draftKeep(
    context('draft', 2),
    { supplierId: group.supplier.id, lines: lines.map(({ partId, quantity }) => ({ partId, quantity })) },
    new Map(lines.map(({ partId, reason }) => [partId, reason])),
  )
}
