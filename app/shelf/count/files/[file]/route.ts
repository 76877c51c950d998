import { pdfResponse } from '@/app/_server/pdf-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { countSheetRows } from '@/lib/db/exchange-counts.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { FORMATS, formatIs, tableBytes } from '@/lib/exchange/write.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { countPdf } from '@/lib/picture/count-pdf.ts'
import type { CountRow } from '@/lib/print/count-layout.ts'

const ABOUT =
  'Write down what lies there, 0 when there is none; a line left empty is left alone. Count without looking at the books. Say when you counted: what is taken or put away meanwhile is asked about.'

/** The count sheet of a store, or of all of them, as a file. */
export function GET(request: Request, { params }: { params: Promise<{ file: string }> }): Promise<Response> {
  return routeAnswer('count.sheets', async () => {
    const { context } = await routeGuard(request, null)
    const [name, format = ''] = (await params).file.split('.')
    const asked = new URL(request.url).searchParams.get('store')
    const store = asked === null ? null : (await storesList()).find(({ id }) => String(id) === asked)
    if (name !== 'sheets' || store === undefined || !(format === 'pdf' || formatIs(format)))
      return new Response('No such sheet.', { status: 404 })
    const rows = countSheetRows(store?.id ?? null)
    const file = `count-sheet-${context.now.toISOString().slice(0, 10)}.${format}`
    if (format === 'pdf') {
      const title = `Count sheet, ${store?.name ?? 'all stores'}`
      const lines: CountRow[] = []
      for await (const row of rows) lines.push(row as unknown as CountRow)
      return pdfResponse(file, await countPdf({ title, about: ABOUT, printed: dateSays(context.now) }, lines))
    }
    const pieces: Uint8Array[] = []
    for await (const piece of tableBytes('counts', format, rows)) pieces.push(piece)
    return new Response(Buffer.concat(pieces), {
      headers: {
        'content-type': FORMATS[format].mediaType,
        'content-disposition': `attachment; filename="${file}"`,
        'x-content-type-options': 'nosniff',
        'cache-control': 'private, no-store',
      },
    })
  })
}
