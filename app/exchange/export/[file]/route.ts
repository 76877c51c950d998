import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { exchangeExport } from '@/lib/db/exchange-export.ts'
import { kindIs } from '@/lib/exchange/columns.ts'
import { FORMATS, formatIs } from '@/lib/exchange/write.ts'

/** Everything of a kind as a file, sent while it is read. */
export function GET(request: Request, { params }: { params: Promise<{ file: string }> }): Promise<Response> {
  return routeAnswer('exchange.export', async () => {
    const { context } = await routeGuard(request, null)
    const [kind = '', format = ''] = (await params).file.split('.')
    if (!kindIs(kind) || !formatIs(format)) return new Response('No such export.', { status: 404 })
    const bytes = exchangeExport(kind, format)
    const body = new ReadableStream<Uint8Array>({
      async pull(controller) {
        const next = await bytes.next()
        if (next.done) controller.close()
        else controller.enqueue(next.value)
      },
      async cancel() {
        await bytes.return(undefined)
      },
    })
    return new Response(body, {
      headers: {
        'content-type': FORMATS[format].mediaType,
        'content-disposition': `attachment; filename="${kind}-${context.now.toISOString().slice(0, 10)}.${format}"`,
        'x-content-type-options': 'nosniff',
        'cache-control': 'private, no-store',
      },
    })
  })
}
