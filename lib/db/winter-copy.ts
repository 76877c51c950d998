import { supersessionResolve } from '../catalogue/supersession.ts'
import { dateOf } from '../service/plain-date.ts'
import { type CopyKind, WinterCopyContent, WinterWaiting, winterCopy } from '../winter/copy.ts'
import { database, type Tx } from './client.ts'
import { supersessionLinks } from './part.ts'
import { inTransaction } from './transaction.ts'
import { winterPlans } from './winter.ts'
import { type WinterStanding, winterStanding } from './winter-run.ts'

type Reader = Tx | ReturnType<typeof database>

/** Turns quantities of parts into those of what replaces them now: a function of part and quantity. */
export async function turnedNow(reader: Reader, partIds: readonly number[]) {
  const links = await supersessionLinks(reader as Tx, partIds)
  return (partId: number, quantity: number) => {
    const { partId: end, ratio } = supersessionResolve(partId, links)
    return { partId: end, quantity: quantity * ratio }
  }
}

/** Sums quantities by what replaces their parts now. */
async function summed(rows: readonly { partId: number; quantity: number }[]): Promise<Map<number, number>> {
  const turn = await turnedNow(
    database(),
    rows.map(({ partId }) => partId),
  )
  const sums = new Map<number, number>()
  for (const row of rows) {
    const { partId, quantity } = turn(row.partId, row.quantity)
    sums.set(partId, (sums.get(partId) ?? 0) + quantity)
  }
  return sums
}

/** What a plan says now, to be kept; null while it is still being reckoned. */
export async function winterCopyOf({
  plan,
  facts,
  planned,
  answer,
}: WinterStanding): Promise<WinterCopyContent | null> {
  if (answer === null) return null
  const db = database()
  const [needs, lines] = await Promise.all([
    db.jobNeed.findMany({
      where: { state: 'accepted', partId: { not: null }, allocated: { gt: 0 }, job: { state: 'open' } },
      select: { partId: true, allocated: true },
    }),
    db.purchaseOrderLine.findMany({
      where: { order: { winter: { planId: plan.id } } },
      select: { partId: true, quantity: true, cancelled: true },
    }),
  ])
  const [kept, ordered] = await Promise.all([
    summed(needs.map(({ partId, allocated }) => ({ partId: partId!, quantity: allocated }))),
    summed(lines.map(({ partId, quantity, cancelled }) => ({ partId, quantity: quantity - cancelled }))),
  ])
  return winterCopy({ facts, planned, answer }, { kept, ordered })
}

export interface CopyRow {
  id: number
  kind: CopyKind
  at: Date
  orderIds: number[]
}

/** The copies that a plan has, without what they say, in the order in which they were kept. */
export async function winterCopies(planId: number): Promise<CopyRow[]> {
  const rows = await database().winterCopy.findMany({
    where: { planId },
    select: { id: true, kind: true, at: true, orderIds: true },
    orderBy: { id: 'asc' },
  })
  return rows.map(({ kind, orderIds, ...row }) => ({
    ...row,
    kind: kind as CopyKind,
    orderIds: JSON.parse(orderIds) as number[],
  }))
}

async function contentOf(id: number): Promise<unknown> {
  const { content } = await database().winterCopy.findUniqueOrThrow({ where: { id }, select: { content: true } })
  return JSON.parse(content)
}

/** What a copy of the kinds 'begin' and 'orders' says. */
export const winterCopyRead = async (id: number) => WinterCopyContent.parse(await contentOf(id))

/** The lines that waited when the plan was closed, of a copy of the kind 'end'. */
export const winterEndRead = async (id: number) => WinterWaiting.parse(await contentOf(id)).waiting

/** Keeps what a plan says when its season has begun, once. Does nothing before, after, or while it is being reckoned. */
export async function winterCopyBegin(standing: WinterStanding, now: Date): Promise<void> {
  const { plan, answer } = standing
  const today = dateOf(now)
  if (answer === null || plan.endedAt !== null || today < plan.work.from || today > plan.work.until) return
  const where = { planId: plan.id, kind: 'begin' }
  if ((await database().winterCopy.count({ where })) > 0) return
  const content = JSON.stringify(await winterCopyOf(standing))
  await inTransaction(async (tx) => {
    if ((await tx.winterCopy.count({ where })) > 0) return
    await tx.winterCopy.create({ data: { ...where, at: now, content } })
  })
}

const HOUR_MS = 3_600_000

/** Looks every hour for a plan whose season has begun, so that what it says is kept even where nobody opens it. */
export function winterCopySchedule(now: () => Date): void {
  const look = async () => {
    const today = dateOf(now())
    for (const { id, endedAt, work } of await winterPlans())
      if (endedAt === null && today >= work.from && today <= work.until) {
        const begun = await database().winterCopy.count({ where: { planId: id, kind: 'begin' } })
        if (begun === 0) await winterCopyBegin(await winterStanding(id, now()), now())
      }
  }
  const timer = setInterval(() => {
    look().catch((error: unknown) => {
      console.error('What the winter plan says could not be kept:', error)
    })
  }, HOUR_MS)
  timer.unref()
}
