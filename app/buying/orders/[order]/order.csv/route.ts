import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { orderCsv } from '@/lib/buying/order-text.ts'
import { orderRead } from '@/lib/db/buying.ts'
import { Refusal } from '@/lib/refusal.ts'

/** One order; columns in lib/buying/order-text.ts. */
export function GET(request: Request, { params }: { params: Promise<{ order: string }> }): Promise<Response> {
  return routeAnswer('order', async () => {
    await routeGuard(request, null)
    const { order: asked } = await params
    if (!/^\d{1,15}$/.test(asked)) throw new Refusal('buying/no-such-order', { order: asked.slice(0, 40) })
    const order = await orderRead(Number(asked))
    return csvResponse(`order-${order.number}.csv`, orderCsv(order, order.currency))
  })
}
