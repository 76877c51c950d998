import { readFile } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'

/** The reader of symbols for the browser. From our own server: a workshop without internet scans too. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('symbol reader', async () => {
    await routeGuard(request, null)
    const file = createRequire(join(process.cwd(), 'package.json')).resolve('zxing-wasm/reader/zxing_reader.wasm')
    return new Response(new Uint8Array(await readFile(file)), {
      headers: {
        'content-type': 'application/wasm',
        'x-content-type-options': 'nosniff',
        // The address holds the version.
        'cache-control': 'private, max-age=31536000, immutable',
      },
    })
  })
}
