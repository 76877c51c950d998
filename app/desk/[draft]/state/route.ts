import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { draftRead } from '@/lib/db/page-desk-read.ts'
import { readingsSettle } from '@/lib/db/page-reading.ts'

/** How far the reading of a page is. */
export function GET(request: Request, { params }: { params: Promise<{ draft: string }> }): Promise<Response> {
  return routeAnswer('desk.state', async () => {
    await routeGuard(request, 'catalogue.import')
    await readingsSettle(new Date())
    const { state, progress, step } = await draftRead(Number((await params).draft) || 0)
    return Response.json({ state, progress, step }, { headers: { 'cache-control': 'no-store' } })
  })
}
