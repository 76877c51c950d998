import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { deadStock } from '@/lib/db/dead-stock.ts'
import { settingsRead } from '@/lib/settings.ts'
import { deadCsv } from '@/lib/stock/dead-text.ts'
import { deadChosen, deadQuestion } from '../question.ts'

/** All rows that the screen's question leaves; columns in lib/stock/dead-text.ts. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('dead stock', async () => {
    await routeGuard(request, null)
    const question = deadQuestion(Object.fromEntries(new URL(request.url).searchParams))
    const rows = deadChosen(await deadStock(question), question)
    return csvResponse(`dead-stock-${question.today}.csv`, deadCsv(rows, settingsRead().currency))
  })
}
