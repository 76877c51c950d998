import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { orderListCsv } from '@/lib/buying/order-text.ts'
import { orderList } from '@/lib/db/buying.ts'

/** The order list as it stands now; columns in lib/buying/order-text.ts. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('order list', async () => {
    const { context } = await routeGuard(request, null)
    const day = context.now.toISOString().slice(0, 10)
    return csvResponse(`order-list-${day}.csv`, orderListCsv(await orderList()))
  })
}
