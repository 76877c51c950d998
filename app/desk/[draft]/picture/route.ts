import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { draftViewPicture } from '@/lib/db/page-desk-read.ts'
import { pictureSniff } from '@/lib/picture/picture-type.ts'

/** The page as it was read, no larger than a screen needs. */
export function GET(request: Request, { params }: { params: Promise<{ draft: string }> }): Promise<Response> {
  return routeAnswer('desk.picture', async () => {
    await routeGuard(request, 'catalogue.import')
    const { bytes } = await draftViewPicture(Number((await params).draft) || 0)
    return new Response(new Uint8Array(bytes), {
      headers: {
        'content-type': pictureSniff(bytes) === 'JPEG' ? 'image/jpeg' : 'image/png',
        'x-content-type-options': 'nosniff',
        // The address names the picture: what lies under it never changes.
        'cache-control': 'private, max-age=31536000, immutable',
      },
    })
  })
}
