import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { pictureFile } from '@/lib/db/picture.ts'

/**
 * A picture of the parts book. Drawings are cleaned when they come in; served, they may still run and load nothing, even
 * when somebody opens the address by itself.
 */
export function GET(request: Request, { params }: { params: Promise<{ picture: string }> }): Promise<Response> {
  return routeAnswer('picture', async () => {
    await routeGuard(request, null)
    const picture = await pictureFile((await params).picture)
    if (!picture) return new Response('No such picture.', { status: 404 })
    return new Response(new Uint8Array(picture.bytes), {
      headers: {
        'content-type': picture.mediaType,
        'content-security-policy': "default-src 'none'; style-src 'unsafe-inline'; sandbox",
        'x-content-type-options': 'nosniff',
        // Named by its digest: what lies under this address never changes.
        'cache-control': 'private, max-age=31536000, immutable',
      },
    })
  })
}
