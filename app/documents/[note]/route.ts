import { idOf } from '@/app/_parts/found.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { documentOfNote } from '@/lib/db/part-note.ts'

/** A document kept with a part: always saved, never opened inside our pages, so that nothing in it runs here. */
export function GET(request: Request, { params }: { params: Promise<{ note: string }> }): Promise<Response> {
  return routeAnswer('document', async () => {
    await routeGuard(request, null)
    const document = await documentOfNote(idOf((await params).note))
    if (!document) return new Response('No such document.', { status: 404 })
    const plain = document.fileName.replace(/[^\x20-\x7e]/g, '_').replace(/["\\]/g, '_')
    const encoded = encodeURIComponent(document.fileName).replace(
      /['()*]/g,
      (letter) => `%${letter.charCodeAt(0).toString(16).toUpperCase()}`,
    )
    return new Response(new Uint8Array(document.bytes), {
      headers: {
        'content-type': 'application/pdf',
        // RFC 6266: a plain name for old readers, the real one in UTF-8.
        'content-disposition': `attachment; filename="${plain}"; filename*=UTF-8''${encoded}`,
        'content-security-policy': "default-src 'none'; sandbox",
        'x-content-type-options': 'nosniff',
        'cache-control': 'private, no-cache',
      },
    })
  })
}
