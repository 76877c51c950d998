import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { pictureTile } from '@/lib/db/picture.ts'

type Params = { picture: string; level: string; tile: string }

/** A tile of a large scan, cut when it is first asked for. */
export function GET(request: Request, { params }: { params: Promise<Params> }): Promise<Response> {
  return routeAnswer('tile', async () => {
    await routeGuard(request, null)
    const { picture, level, tile } = await params
    const match = /^(\d{1,2})\/(\d{1,3})_(\d{1,3})$/.exec(`${level}/${tile}`)
    const bytes =
      match && (await pictureTile(picture, { level: Number(match[1]), x: Number(match[2]), y: Number(match[3]) }))
    if (!bytes) return new Response('No such tile.', { status: 404 })
    return new Response(new Uint8Array(bytes), {
      headers: {
        'content-type': 'image/webp',
        'x-content-type-options': 'nosniff',
        'cache-control': 'private, max-age=31536000, immutable',
      },
    })
  })
}
