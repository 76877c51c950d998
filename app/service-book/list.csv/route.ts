import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { entriesFind } from '@/lib/db/service-book.ts'
import { serviceBookCsv } from '@/lib/job/book-text.ts'
import { bookQuestion } from '../question.ts'

/** As many as a spreadsheet is opened for; the dates narrow a longer book. */
const ENTRIES_MAX = 5000

/** The entries that the screen shows, all pages of them; columns in lib/job/book-text.ts. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('service book', async () => {
    await routeGuard(request, null)
    const question = bookQuestion(Object.fromEntries(new URL(request.url).searchParams))
    return csvResponse('service-book.csv', serviceBookCsv(await entriesFind(question, 0, ENTRIES_MAX)))
  })
}
