import { z } from 'zod'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { paths } from '@/app/paths.ts'
import { type ScanAnswer, type ScanThing, scanResolve } from '@/lib/db/scan.ts'
import { LABEL_KINDS } from '@/lib/label/label-code.ts'

/** What a scanned text stands for, and where that is on the screen. */
export type ScanReply = ScanAnswer & { href: string | null }

const Want = z.enum([...LABEL_KINDS, 'batch', 'any']).catch('any')

const PLACE: Record<ScanThing['kind'], (id: number) => string> = {
  part: paths.part,
  bin: paths.bin,
  machine: paths.machine,
}

export function GET(request: Request): Promise<Response> {
  return routeAnswer('scan', async () => {
    await routeGuard(request, null)
    const { searchParams } = new URL(request.url)
    const text = (searchParams.get('text') ?? '').slice(0, 1000)
    const found = await scanResolve(text, Want.parse(searchParams.get('want')), new Date().getFullYear())
    const { thing, search } = found
    const href = thing ? PLACE[thing.kind](thing.id) : search ? paths.search(search) : null
    const reply: ScanReply = { ...found, href }
    return Response.json(reply, { headers: { 'cache-control': 'no-store' } })
  })
}
