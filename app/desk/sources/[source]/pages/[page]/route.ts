import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { sourceThumbnail } from '@/lib/db/page-desk-read.ts'
import { pageReader } from '../../../../_reader.ts'

type Params = { params: Promise<{ source: string; page: string }> }

/** A small picture of one page of a file, to choose by. */
export function GET(request: Request, { params }: Params): Promise<Response> {
  return routeAnswer('desk.thumbnail', async () => {
    await routeGuard(request, 'catalogue.import')
    const { source, page } = await params
    const bytes = await sourceThumbnail(pageReader, source, /^\d{1,6}$/.test(page) ? Number(page) : 0)
    return new Response(new Uint8Array(bytes), {
      headers: { 'content-type': 'image/png', 'cache-control': 'private, max-age=86400, immutable' },
    })
  })
}
