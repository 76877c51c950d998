import { BUYER } from '../../seed/estate/people.ts'
import { dateOf, daysAdd, monthsAdd, type PlainDate } from '../service/plain-date.ts'
import { winterAnswer } from '../winter/answer.ts'
import { winterCopy } from '../winter/copy.ts'
import type { WinterFacts } from '../winter/facts.ts'
import { winterPlan } from '../winter/plan.ts'
import { type DaySpan, mondayOf, seasonName, seasonProposed, seasonWeeks } from '../winter/season.ts'
import { database } from './client.ts'
import { looksCounted, looksKnown } from './service-schedule.ts'
import { inTransaction, type WriteContext } from './transaction.ts'
import { winterBegin, winterEnd, winterMachineSet, winterPlanRead } from './winter.ts'
import { winterFacts } from './winter-facts.ts'

const startOf = (day: PlainDate) => new Date(`${day}T00:00:00Z`)

/** Two machines a week, shut between Christmas and the new year. */
function begin(context: WriteContext, season: DaySpan): Promise<{ planId: number }> {
  const year = Number(season.until.slice(0, 4))
  return winterBegin(context, {
    ...season,
    name: seasonName(season),
    machinesAWeek: 2,
    workdays: [1, 2, 3, 4, 5],
    shut: [{ from: `${year - 1}-12-24`, until: `${year}-01-01` }],
  })
}

/** The winter ahead of the demo, and the one that is over with what its plan had said. */
export async function winterMake(now: Date): Promise<void> {
  const today = dateOf(now)
  await begin({ key: 'demo-winter-plan', personId: BUYER, now }, seasonProposed(today))
  const [near, far] = [12, 24].map((months) => seasonProposed(monthsAdd(today, -months)))
  await pastWinterMake(near!.until < today ? near! : far!)
}

/** What lay on the shelf and was on its way when a season began. */
async function stockOn(day: PlainDate): Promise<Map<number, number>> {
  const at = startOf(day)
  const [lying, lines, came] = await Promise.all([
    database().movement.groupBy({ by: ['partId'], where: { at: { lt: at } }, _sum: { quantity: true } }),
    database().purchaseOrderLine.findMany({ where: { order: { orderedAt: { lt: at } } } }),
    database().movement.groupBy({
      by: ['orderLineId'],
      where: { at: { lt: at }, orderLineId: { not: null } },
      _sum: { quantity: true },
    }),
  ])
  const cameOf = new Map(came.map(({ orderLineId, _sum }) => [orderLineId, _sum.quantity ?? 0]))
  const stock = new Map(lying.map(({ partId, _sum }) => [partId, _sum.quantity ?? 0]))
  for (const { id, partId, quantity, cancelled } of lines)
    stock.set(partId, (stock.get(partId) ?? 0) + Math.max(0, quantity - cancelled - (cameOf.get(id) ?? 0)))
  return stock
}

/** What is known of the plan now, put back to the day on which its season began. */
async function factsThen(planId: number, now: Date): Promise<WinterFacts> {
  const facts = await winterFacts(planId, now)
  const { from } = facts.work
  const [stock, counted] = await Promise.all([stockOn(from), looksCounted(database(), startOf(from))])
  return {
    ...facts,
    today: from,
    jobs: [],
    parts: facts.parts.map((part) => ({ ...part, free: stock.get(part.id) ?? 0, onOrder: [] })),
    looks: facts.looks.map(({ key, text }) => ({ key, text, ...looksKnown(key, counted) })),
  }
}

/** Orders of the first weeks of a season, most of whose lines the plan names, are taken for orders of it. */
const ORDER_DAYS = 28
const ORDERS_MOST = 4

/**
 * A season that is over: the machines that were serviced had been planned for the week in which they were; what the plan said is reckoned as of its first day, and the first orders of the season were made of it.
 */
async function pastWinterMake(season: DaySpan): Promise<void> {
  let step = 0
  const context = (day: PlainDate): WriteContext => {
    step += 1
    return { key: `demo-past-winter-${step}`, personId: BUYER, now: startOf(day) }
  }
  const within = { gte: startOf(season.from), lte: startOf(season.until) }
  const jobs = await database().job.findMany({
    where: { services: { some: {} }, openedAt: within },
    orderBy: { openedAt: 'asc' },
  })
  if (jobs.length === 0) return
  const { planId } = await begin(context(daysAdd(season.from, -20)), season)
  const { work } = await winterPlanRead(planId)
  const open = new Set(seasonWeeks(work).flatMap(({ on, day }) => (day === null ? [] : [on])))
  const weekOf = new Map(jobs.map(({ machineId, openedAt }) => [machineId, mondayOf(dateOf(openedAt))]))
  for (const { id } of await database().machine.findMany({ select: { id: true }, orderBy: { id: 'asc' } })) {
    const week = weekOf.get(id)
    await winterMachineSet(context(season.from), {
      planId,
      machineId: id,
      comes: week === undefined ? 'out' : 'in',
      weekOn: week !== undefined && open.has(week) ? week : null,
    })
  }
  const facts = await factsThen(planId, startOf(daysAdd(season.until, 1)))
  const planned = winterPlan(facts)
  const answer = winterAnswer(planned, { budgetMinor: null, spentMinor: 0 })
  const content = JSON.stringify(winterCopy({ facts, planned, answer }, { kept: new Map(), ordered: new Map() }))
  const isPlanned = new Set(facts.parts.map(({ id }) => id))
  const ordered = await database().purchaseOrder.findMany({
    where: { orderedAt: { gte: startOf(season.from), lt: startOf(daysAdd(season.from, ORDER_DAYS)) } },
    include: { lines: { select: { partId: true } } },
    orderBy: { orderedAt: 'asc' },
  })
  const orders = ordered
    .filter(({ lines }) => lines.filter(({ partId }) => isPlanned.has(partId)).length * 2 > lines.length)
    .slice(0, ORDERS_MOST)
  await inTransaction(async (tx) => {
    await tx.winterCopy.create({ data: { planId, kind: 'begin', at: startOf(season.from), content } })
    for (const { id } of orders) await tx.winterOrder.create({ data: { planId, orderId: id } })
    await tx.winterPlan.update({ where: { id: planId }, data: { ordersMade: orders.length } })
  })
  await winterEnd(context(daysAdd(season.until, 12)), { planId })
}
