import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { runRefusedRead } from '@/lib/db/exchange-run.ts'

/** The refused rows of a rehearsal, to mend and bring again. */
export function GET(request: Request, { params }: { params: Promise<{ run: string }> }): Promise<Response> {
  return routeAnswer('exchange.refused', async () => {
    await routeGuard(request, 'catalogue.import')
    return csvResponse('refused-rows.csv', await runRefusedRead((await params).run))
  })
}
