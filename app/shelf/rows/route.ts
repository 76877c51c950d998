import { todayIs } from '@/app/_parts/today.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { stockTableRows } from '@/lib/db/stock-table.ts'
import { settingsRead } from '@/lib/settings.ts'
import { TableAnchor } from '@/lib/stock/table.ts'
import { tableLine } from '../table-line.ts'
import { tableQuestion } from '../table-question.ts'

/** The window of the stock table behind a row (`key` and `id` of it), as the table itself asks for it while somebody scrolls. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('stock table', async () => {
    await routeGuard(request, null)
    const asked = Object.fromEntries(new URL(request.url).searchParams)
    const question = tableQuestion(asked)
    const after = TableAnchor.safeParse(asked)
    const rows = await stockTableRows(question, after.success ? after.data : null)
    const { currency } = settingsRead()
    const lines = rows.map((row) => tableLine(row, question.columns, currency, todayIs()))
    return Response.json(lines, { headers: { 'cache-control': 'private, no-store' } })
  })
}
