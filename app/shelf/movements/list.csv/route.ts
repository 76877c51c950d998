import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { movementsFind } from '@/lib/db/movement-search.ts'
import { movementsCsv } from '@/lib/stock/movement-text.ts'
import { movementQuestion } from '../question.ts'

/** As many as a spreadsheet is opened for; the dates narrow a longer ledger. */
const MOVEMENTS_MAX = 10_000

/** The movements that the screen shows, all pages of them, newest first; columns in lib/stock/movement-text.ts. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('movements', async () => {
    await routeGuard(request, null)
    const question = movementQuestion(Object.fromEntries(new URL(request.url).searchParams))
    const { rows } = await movementsFind(question, null, MOVEMENTS_MAX)
    return csvResponse('movements.csv', movementsCsv(rows))
  })
}
