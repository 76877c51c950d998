import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { stockMonths } from '@/lib/db/stock-value.ts'
import { settingsRead } from '@/lib/settings.ts'
import { monthsCsv } from '@/lib/value/value-text.ts'
import { MONTHS_SHOWN, valueQuestion } from '../question.ts'

/** The months up to the day that is asked for; columns in lib/value/value-text.ts. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('stock months', async () => {
    await routeGuard(request, null)
    const { day } = valueQuestion(Object.fromEntries(new URL(request.url).searchParams))
    const months = await stockMonths(day, MONTHS_SHOWN)
    return csvResponse(`stock-months-${day}.csv`, monthsCsv(months, settingsRead().currency))
  })
}
