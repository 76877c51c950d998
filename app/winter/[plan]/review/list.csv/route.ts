import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { winterReview } from '@/lib/db/winter-review.ts'
import { Refusal } from '@/lib/refusal.ts'
import { reviewCsv } from '@/lib/winter/review-csv.ts'

/** The review of a season, a row a part; columns in lib/winter/review-csv.ts. */
export function GET(request: Request, { params }: { params: Promise<{ plan: string }> }): Promise<Response> {
  return routeAnswer('winter review', async () => {
    const { context } = await routeGuard(request, null)
    const { plan } = await params
    if (!/^[1-9]\d{0,8}$/.test(plan)) throw new Refusal('winter/no-such')
    const review = await winterReview(Number(plan), context.now)
    if (review === null) throw new Refusal('winter/not-begun')
    return csvResponse(`winter-review-${review.span.until}.csv`, reviewCsv(review.rows, review.currency))
  })
}
