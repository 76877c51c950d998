import { z } from 'zod'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { routeBody } from '@/app/_server/route-body.ts'
import { RuleDraft } from '@/lib/companion/rule-form.ts'
import { BENCH_JOBS_MAX, ruleBenchSlice } from '@/lib/db/rule-try.ts'

const Day = z.iso.date('enter a date')
const Asked = z.object({
  draft: RuleDraft.nullable(),
  from: Day,
  to: Day,
  before: z.number().int().positive().nullable(),
  done: z.number().int().min(0).max(BENCH_JOBS_MAX),
})

/** One slice of past jobs, planned again with the present rules and with a draft. Keeps nothing. */
export function POST(request: Request): Promise<Response> {
  return routeAnswer('rules.bench', async () => {
    await routeGuard(request, null)
    return Response.json(await ruleBenchSlice(await routeBody(request, Asked)))
  })
}
