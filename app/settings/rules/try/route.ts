import { z } from 'zod'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { routeBody } from '@/app/_server/route-body.ts'
import { RuleDraft } from '@/lib/companion/rule-form.ts'
import { figuresToTry, figureToTry, ruleTryOnFigure } from '@/lib/db/rule-try.ts'
import { isRefusal } from '@/lib/refusal.ts'

const Id = z.number().int().positive()
const Asked = z.object({
  draft: RuleDraft.nullable(),
  figureId: Id,
  modelId: Id,
  machineId: Id.optional(),
  today: z.iso.date(),
  targets: z
    .array(z.object({ lineId: Id, positions: z.array(z.string().max(12)).max(400) }))
    .min(1)
    .max(20),
})

/** Figures to try a rule on, or the lines and positions of one. */
export function GET(request: Request): Promise<Response> {
  return routeAnswer('rules.try', async () => {
    await routeGuard(request, null)
    const query = new URL(request.url).searchParams
    const [figure, model] = [Number(query.get('figure')), Number(query.get('model'))]
    if (Id.safeParse(figure).success && Id.safeParse(model).success)
      return Response.json(await figureToTry(figure, model))
    const classes = (query.get('classes') ?? '').split(',').filter(Boolean).slice(0, 100)
    return Response.json(await figuresToTry(query.get('q') ?? '', classes))
  })
}

/** What the draft of a rule would ask for beside the present ones. Keeps nothing. */
export function POST(request: Request): Promise<Response> {
  return routeAnswer('rules.try', async () => {
    await routeGuard(request, null)
    const asked = await routeBody(request, Asked)
    try {
      return Response.json(await ruleTryOnFigure(asked))
    } catch (error) {
      // Half a rule is what a form holds while it is filled in: an answer, and no fault of the request.
      if (isRefusal(error) && error.code === 'companion/bad-rule') return Response.json({ refused: error.happened })
      throw error
    }
  })
}
