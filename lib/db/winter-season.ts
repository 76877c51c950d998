import type { Looked } from '../service/chance.ts'
import { dateOf, daysAdd, type PlainDate } from '../service/plain-date.ts'
import { database } from './client.ts'
import { slices } from './exchange-rows.ts'
import { goodsLeft } from './winter-order.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500
const NEVER: Looked = { looked: 0, renewed: 0 }

/** First and last day that count. */
export interface Span {
  from: PlainDate
  until: PlainDate
}

const startOf = (day: PlainDate) => new Date(`${day}T00:00:00Z`)
const within = ({ from, until }: Span) => ({ gte: startOf(from), lt: startOf(daysAdd(until, 1)) })

/** What jobs took of each part, day by day; what was put back is negative. */
export async function takesOf(span: Span) {
  const rows = await database().movement.findMany({
    where: { jobId: { not: null }, at: within(span) },
    select: { partId: true, jobId: true, quantity: true, valueMinor: true, at: true },
    orderBy: { id: 'asc' },
  })
  return rows.map(({ partId, jobId, quantity, valueMinor, at }) => ({
    partId,
    jobId: jobId!,
    on: dateOf(at),
    quantity: -quantity,
    costMinor: -(valueMinor ?? 0),
  }))
}

/** Lines of the orders of the plan, and of all that were ordered beside it in the season. */
export async function ordersOf(planId: number, span: Span) {
  const rows = await database().purchaseOrderLine.findMany({
    where: { OR: [{ order: { winter: { planId } } }, { order: { orderedAt: within(span) } }] },
    include: {
      part: { select: { unit: true } },
      order: { select: { rateMicro: true, winter: true, orderedAt: true } },
    },
    orderBy: { id: 'asc' },
  })
  return rows.map((line) => {
    return {
      partId: line.partId,
      quantity: line.quantity - line.cancelled,
      costMinor: goodsLeft(line, line.order.rateMicro),
      isOfPlan: line.order.winter?.planId === planId,
      orderedAt: line.order.orderedAt,
    }
  })
}

/**
 * The shelf over the season: what lay there when it began, with what came later of orders that had been placed before it beside
 * the plan, and what moved since. Moving from bin to bin is left out.
 */
export async function shelfOf(planId: number, partIds: readonly number[], span: Span) {
  const [opening, coming] = [new Map<number, number>(), new Map<number, number>()]
  const lines: { partId: number; on: PlainDate; quantity: number; isReceipt: boolean }[] = []
  for (const slice of slices(partIds, AT_ONCE)) {
    const [before, during] = await Promise.all([
      database().movement.groupBy({
        by: ['partId'],
        where: { partId: { in: slice }, at: { lt: startOf(span.from) } },
        _sum: { quantity: true },
      }),
      database().movement.findMany({
        where: { partId: { in: slice }, at: within(span), kind: { notIn: ['transfer-in', 'transfer-out'] } },
        select: {
          partId: true,
          quantity: true,
          kind: true,
          at: true,
          orderLine: { select: { order: { select: { orderedAt: true, winter: true } } } },
        },
        orderBy: { id: 'asc' },
      }),
    ])
    for (const { partId, _sum } of before) opening.set(partId, _sum.quantity ?? 0)
    for (const { at, kind, partId, quantity, orderLine } of during) {
      lines.push({ partId, quantity, on: dateOf(at), isReceipt: kind === 'receive' })
      if (orderLine && orderLine.order.orderedAt < startOf(span.from) && orderLine.order.winter?.planId !== planId)
        coming.set(partId, (coming.get(partId) ?? 0) + quantity)
    }
  }
  return { opening, coming, lines }
}

export async function partsOf(partIds: readonly number[]) {
  const parts = []
  for (const slice of slices(partIds, AT_ONCE))
    parts.push(
      ...(await database().part.findMany({
        where: { id: { in: slice } },
        select: { id: true, number: true, description: true, unit: true, costMinor: true },
        orderBy: { id: 'asc' },
      })),
    )
  return parts
}

/** What looks of services closed in the season found, by the key of their line. */
export async function looksFound(span: Span): Promise<Map<string, Looked>> {
  const tasks = await database().serviceTask.findMany({
    where: { kind: 'look', state: { in: ['good', 'renewed'] }, job: { state: 'closed' }, doneAt: within(span) },
    select: { state: true, line: { select: { key: true } } },
  })
  const found = new Map<string, Looked>()
  for (const { state, line } of tasks) {
    const before = found.get(line.key) ?? NEVER
    const renewed = before.renewed + Number(state === 'renewed')
    found.set(line.key, { looked: before.looked + 1, renewed })
  }
  return found
}

/** Services that were opened in the season, by machine. */
export async function servicesOpened(span: Span) {
  const jobs = await database().job.findMany({
    where: { services: { some: {} }, openedAt: within(span), state: { in: ['open', 'closed'] } },
    select: { id: true, number: true, machineId: true, openedAt: true, closedAt: true },
    orderBy: { id: 'asc' },
  })
  return jobs.map(({ openedAt, closedAt, ...job }) => ({
    ...job,
    openedOn: dateOf(openedAt),
    closedOn: closedAt === null ? null : dateOf(closedAt),
  }))
}
