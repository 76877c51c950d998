import { inputRefusal } from '@/app/_server/answer.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { draftSave } from '@/lib/db/page-desk.ts'
import { DraftSaveInput } from '@/lib/figure/desk-schema.ts'
import { Refusal } from '@/lib/refusal.ts'

/** Keeps a page as it is put right; sent by itself a moment after each change. */
export function PUT(request: Request, { params }: { params: Promise<{ draft: string }> }): Promise<Response> {
  return routeAnswer('desk.save', async () => {
    const { context } = await routeGuard(request, 'catalogue.import')
    const body = (await request.json().catch(() => {
      throw new Refusal('input/invalid', { what: 'what was sent is no JSON' })
    })) as object
    const read = DraftSaveInput.safeParse({ ...body, draftId: Number((await params).draft) })
    if (!read.success) throw inputRefusal(read.error.issues)
    return Response.json(await draftSave(context, read.data))
  })
}
