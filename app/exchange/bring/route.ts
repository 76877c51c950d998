import { z } from 'zod'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { RunId, runTake, runWork } from '@/lib/db/exchange-run.ts'
import type { SignedIn } from '@/lib/db/session.ts'
import { KIND_NAMES, type Kind } from '@/lib/exchange/columns.ts'
import { rightRequire } from '@/lib/people/role.ts'
import { isRefusal, Refusal } from '@/lib/refusal.ts'

const Query = z.object({
  kind: z.enum(KIND_NAMES as [Kind, ...Kind[]]),
  file: z.string().min(1).max(200),
  bytes: z.coerce.number().int().positive(),
  from: z.coerce.number().int().min(0),
})

async function* pieces(body: ReadableStream<Uint8Array> | null): AsyncGenerator<Uint8Array> {
  if (body) for await (const piece of body) yield piece
}

/** The whole file is here: it is looked at at once, unless another one is being worked on; then the page offers it. */
async function lookNow(id: string, kind: Kind, { personId, roles }: SignedIn): Promise<void> {
  if (kind === 'stock' || kind === 'counts') rightRequire(roles, 'stock.count')
  try {
    await runWork(id, 'look', personId)
  } catch (error) {
    if (!isRefusal(error) || error.code !== 'exchange/busy') throw error
  }
}

/** A piece of a file, straight to the disk. The idempotency key is the id of the run, so a piece sent twice is taken once. */
export function POST(request: Request): Promise<Response> {
  return routeAnswer('exchange.bring', async () => {
    const { person, context } = await routeGuard(request, 'catalogue.import')
    const query = Query.safeParse(Object.fromEntries(new URL(request.url).searchParams))
    const id = RunId.safeParse(context.key)
    if (!query.success || !id.success)
      throw new Refusal('input/invalid', { what: 'kind, name, size or place of the piece' })
    const { from, ...facts } = query.data
    const startedAt = context.now.toISOString()
    const taken = await runTake(
      { id: id.data, ...facts, personId: person.personId, startedAt },
      from,
      pieces(request.body),
    )
    if (taken.bytes === facts.bytes) await lookNow(id.data, facts.kind, person)
    return Response.json(taken)
  })
}
