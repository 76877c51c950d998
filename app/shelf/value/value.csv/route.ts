import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { partsWorthOn } from '@/lib/db/stock-value.ts'
import { settingsRead } from '@/lib/settings.ts'
import { worthCsv } from '@/lib/value/value-text.ts'
import { valueQuestion } from '../question.ts'

/** Every part in every store on the day that is asked for; columns in lib/value/value-text.ts. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('stock value', async () => {
    await routeGuard(request, null)
    const { day, method } = valueQuestion(Object.fromEntries(new URL(request.url).searchParams))
    const rows = await partsWorthOn(day, method)
    return csvResponse(`stock-value-${day}.csv`, worthCsv(rows, { day, method, currency: settingsRead().currency }))
  })
}
