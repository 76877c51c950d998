import { type BudgetLine, budgetRows, type CentreRow } from '../cost-centre/budget.ts'
import { type CentreNeed, sharesWhole } from '../cost-centre/share.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { lineAmount } from '../price/offer-price.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { buyGroups } from '../winter/buy-list.ts'
import { choiceAt } from '../winter/choice.ts'
import { type CopyNeed, copyChosen, winterNeeds } from '../winter/copy.ts'
import { type BudgetWatch, listedLines } from '../winter/overdrawn.ts'
import { database } from './client.ts'
import { type CentreView, costCentres } from './cost-centre.ts'
import { turnedNow, winterCopies, winterCopyRead } from './winter-copy.ts'
import { goodsLeft, winterDrafts, winterOrders } from './winter-order.ts'
import { type WinterStanding, winterBuying } from './winter-run.ts'

const NOTHING: CentreNeed = { certain: 0, mean: 0 }

/** What each cost centre needs of a part by what works ask for: one entry for each of `centreIds`, whose last is null. */
function needsByCentre(
  needs: readonly CopyNeed[],
  centreIds: readonly (number | null)[],
  centreOf: ReadonlyMap<number, number>,
): (partId: number) => readonly CentreNeed[] {
  const at = new Map(centreIds.map((id, index) => [id, index]))
  const byPart = new Map<number, CentreNeed[]>()
  for (const { partId, machineId, certain, mean } of needs) {
    const of = byPart.get(partId) ?? centreIds.map(() => ({ ...NOTHING }))
    const need = of[at.get(centreOf.get(machineId) ?? null) ?? centreIds.length - 1]!
    need.certain += certain
    need.mean += mean
    byPart.set(partId, of)
  }
  return (partId) => byPart.get(partId) ?? centreIds.map(() => NOTHING)
}

/** Lines of the orders of a plan by where their money stands; an order's carriage is paid with its lines, as they cost. */
async function orderedLines(planId: number) {
  const [orders, rows] = await Promise.all([
    winterOrders(planId),
    database().purchaseOrderLine.findMany({
      where: { order: { winter: { planId } } },
      include: { part: { select: { unit: true } }, order: { select: { id: true, rateMicro: true } } },
      orderBy: { id: 'asc' },
    }),
  ])
  const turn = await turnedNow(
    database(),
    rows.map(({ partId }) => partId),
  )
  return orders.flatMap(({ id, costMinor }) => {
    const lines = rows.filter(({ order }) => order.id === id)
    if (lines.length === 0) return []
    const costs = sharesWhole(
      costMinor,
      lines.map((line) => goodsLeft(line, line.order.rateMicro)),
    )
    return lines.map((line, at) => {
      const left = line.quantity - line.cancelled
      const received = left <= 0 ? 0 : Math.min(costs[at]!, Math.round((costs[at]! * line.received) / left))
      return {
        orderId: id,
        ...turn(line.partId, left),
        planned: 0,
        drafts: 0,
        onOrder: costs[at]! - received,
        received,
      }
    })
  })
}

/** Lines of the drafts of a plan that wait to be sent, their carriage with them; shared by what is needed now. */
async function draftedLines(planId: number, day: PlainDate): Promise<BudgetLine[]> {
  const drafts = await winterDrafts(database(), planId, day)
  const turn = await turnedNow(
    database(),
    drafts.flatMap(({ lines }) => lines.map(({ partId }) => partId)),
  )
  return drafts.flatMap(({ lines, goodsMinor, carriageMinor }) => {
    const costs = sharesWhole(
      goodsMinor + carriageMinor,
      lines.map((line) => lineAmount(line, line.part.unit as StockUnit)),
    )
    return lines.map(({ partId, quantity }, at) => ({
      ...turn(partId, quantity),
      ...{ planned: 0, drafts: costs[at]!, onOrder: 0, received: 0 },
    }))
  })
}

export interface WinterBudgets {
  rows: (CentreRow & { centre: CentreView | null })[]
  /** For what sum the list stands; null where the plan is closed, or is still being reckoned: then nothing counts as planned. */
  listMinor: number | null
  /** Orders of which nothing was kept: they are shared by what is needed now. */
  ordersWithout: number
  /** For a list that is still chosen; null where nothing is to be bought any more, or no cost centre has a budget. */
  watch: BudgetWatch | null
}

/**
 * What the season costs each cost centre, against its budget: the list of a sum that is still to buy, the drafts of the plan that
 * wait to be sent, and its orders.
 * Carriage is paid with the lines. A line is shared by the need of the machines that its cost centres have now; an order by the need as it was when it was made.
 */
export async function winterBudgets(standing: WinterStanding, budgetMinor: number | null): Promise<WinterBudgets> {
  const { plan, answer, facts, planned } = standing
  const [all, copies, buying, orders, drafted, kept] = await Promise.all([
    costCentres(),
    winterCopies(plan.id),
    winterBuying(standing),
    orderedLines(plan.id),
    draftedLines(plan.id, facts.today),
    database().centreBudget.findMany({ where: { planId: plan.id } }),
  ])
  const budgets = new Map(kept.map(({ centreId, amountMinor }) => [centreId, amountMinor]))
  const centres = all.filter(({ id, isClosed }) => !isClosed || budgets.has(id))
  const centreIds = [...centres.map(({ id }) => id), null]
  const centreOf = new Map(all.flatMap(({ id, machines }) => machines.map((machine) => [machine.id, id] as const)))
  const bySource = new Map<number | null, (partId: number) => readonly CentreNeed[]>()
  const now = needsByCentre(winterNeeds(facts, planned), centreIds, centreOf)
  const begun = copyChosen(copies, plan.work.from)
  const sourceOf = (orderId: number) => (copies.find(({ orderIds }) => orderIds.includes(orderId)) ?? begun)?.id ?? null
  for (const source of new Set(orders.map(({ orderId }) => sourceOf(orderId))))
    bySource.set(
      source,
      source === null ? now : needsByCentre((await winterCopyRead(source)).needs, centreIds, centreOf),
    )
  const isOpen = plan.endedAt === null && answer !== null && buying !== null
  const listMinor = isOpen ? (budgetMinor ?? answer.budgetMinor) : null
  const lines =
    isOpen && listMinor !== null
      ? [
          ...listedLines(
            buyGroups(answer.curve, choiceAt(answer.curve, listMinor).count, buying.parts, buying.suppliers),
          ),
        ]
      : []
  const ofOrder = new Map<BudgetLine, number>(orders.map((line) => [line, line.orderId]))
  const rows = budgetRows(
    centreIds,
    [...lines, ...drafted, ...orders],
    (line) => {
      const orderId = ofOrder.get(line)
      return (orderId === undefined ? now : bySource.get(sourceOf(orderId))!)(line.partId)
    },
    budgets,
  )
  const byId = new Map(centres.map((centre) => [centre.id, centre]))
  const watch =
    isOpen && budgets.size > 0
      ? {
          centres: rows.map(({ centreId, budgetMinor: most, drafts, onOrder, received }) => {
            const { code, name } = centreId === null ? { code: '', name: '' } : byId.get(centreId)!
            return { id: centreId, code, name, budgetMinor: most, boundMinor: drafts + onOrder + received }
          }),
          needs: buying.parts.map(({ partId }): BudgetWatch['needs'][number] => [partId, [...now(partId)]]),
        }
      : null
  return {
    watch,
    rows: rows.map((row) => ({ ...row, centre: row.centreId === null ? null : byId.get(row.centreId)! })),
    listMinor,
    ordersWithout: new Set(orders.map(({ orderId }) => orderId).filter((id) => sourceOf(id) === null)).size,
  }
}
