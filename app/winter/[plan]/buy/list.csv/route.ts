import { csvResponse } from '@/app/_server/csv-response.ts'
import { routeAnswer, routeGuard } from '@/app/_server/route.ts'
import { levelSettings } from '@/lib/db/level-settings.ts'
import { winterBuying, winterStanding } from '@/lib/db/winter-run.ts'
import { moneyParse } from '@/lib/measure/money.ts'
import { Refusal } from '@/lib/refusal.ts'
import { settingsRead } from '@/lib/settings.ts'
import { buyGroups } from '@/lib/winter/buy-list.ts'
import { choiceAt } from '@/lib/winter/choice.ts'
import { winterCsv } from '@/lib/winter/list-csv.ts'
import { listLots } from '@/lib/winter/lots.ts'

/** The list to buy for a budget, the one of the plan where none is named; columns in lib/winter/list-csv.ts. */
export function GET(request: Request, { params }: { params: Promise<{ plan: string }> }): Promise<Response> {
  return routeAnswer('winter list', async () => {
    const { context } = await routeGuard(request, null)
    const { plan } = await params
    if (!/^[1-9]\d{0,8}$/.test(plan)) throw new Refusal('winter/no-such')
    const standing = await winterStanding(Number(plan), context.now)
    const buying = await winterBuying(standing)
    if (!buying || !standing.answer) throw new Refusal('winter/at-work')
    const { curve, budgetMinor } = standing.answer
    const budget = moneyParse(new URL(request.url).searchParams.get('budget') ?? '') ?? budgetMinor
    const groups = buyGroups(curve, choiceAt(curve, budget).count, buying.parts, buying.suppliers)
    const lots = listLots(groups, await levelSettings())
    const { absent } = buying
    const file = winterCsv(groups, { absent, lots }, settingsRead().currency)
    return csvResponse(`winter-list-${standing.facts.today}.csv`, file)
  })
}
