import { chainFitsBack } from '../buying/chain-need.ts'
import { lineDueOn } from '../buying/due-day.ts'
import { type SupersessionResolved, supersessionResolve } from '../catalogue/supersession.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { database, type Tx } from './client.ts'
import { draftsComing } from './draft-coming.ts'
import { slices } from './exchange-rows.ts'
import { partStock, supersessionLinks } from './part.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500

interface Coming {
  quantity: number
  date: PlainDate
  /** The draft in which it stands; null: it is on order. */
  draftId: number | null
}

interface Stock {
  free: number
  /** What comes of orders, and of drafts as if they were sent today. */
  onOrder: { quantity: number; date: PlainDate }[]
  /** What of it stands in drafts. */
  drafts: { draftId: number; quantity: number }[]
}

/** What is still to come of each part, by the day it is looked for; what is late comes today at the soonest. */
async function comingOf(partIds: readonly number[], today: PlainDate) {
  const coming = new Map<number, Coming[]>()
  const add = (partId: number, one: Coming) => coming.set(partId, [...(coming.get(partId) ?? []), one])
  for (const slice of slices(partIds, AT_ONCE)) {
    const lines = await database().purchaseOrderLine.findMany({
      where: { partId: { in: slice }, order: { state: 'ordered' } },
      include: { order: { select: { dueOn: true } } },
      orderBy: { id: 'asc' },
    })
    for (const { partId, quantity, received, cancelled, order, ...line } of lines) {
      const due = quantity - received - cancelled
      if (due <= 0) continue
      const on = lineDueOn(line, order.dueOn)
      add(partId, { quantity: due, date: on < today ? today : on, draftId: null })
    }
  }
  const drafts = await draftsComing(database(), partIds, today)
  for (const [partId, lines] of drafts.coming)
    for (const { draftId, quantity, on } of lines) add(partId, { quantity, date: on, draftId })
  const faults = drafts.stuck.map(
    ({ draftId, number }): PlanFault => ({
      where: number,
      says: `stands in draft ${draftId} but is no longer made, so nothing of that is expected`,
      next: 'Take the line off the draft.',
    }),
  )
  return { coming, faults }
}

/**
 * To what each part that is wanted is superseded now, and what is free and coming of that, in its minor units. What lies of a
 * number that was replaced both ways is as good as the new one; of one replaced one way, only as much as asks for that number.
 */
export async function stockOfChains(wants: readonly { partId: number; quantity: number }[], today: PlainDate) {
  const db = database()
  const asked = [...new Set(wants.map(({ partId }) => partId))]
  const links = []
  for (const slice of slices(asked, AT_ONCE)) links.push(...(await supersessionLinks(db, slice)))
  const once = [...new Map(links.map((link) => [`${link.oldPartId} ${link.newPartId}`, link])).values()]
  const resolved = new Map<number, SupersessionResolved>(asked.map((id) => [id, supersessionResolve(id, once)]))
  const ends = new Set([...resolved.values()].map(({ partId }) => partId))
  for (const id of new Set(once.flatMap(({ oldPartId, newPartId }) => [oldPartId, newPartId])))
    if (ends.has(supersessionResolve(id, once).partId)) resolved.set(id, supersessionResolve(id, once))
  const ids = [...new Set([...resolved.keys(), ...ends])]
  const [here, { coming, faults }] = await Promise.all([partStock(db, ids, today), comingOf(ids, today)])
  const wantedOf = new Map<number, number>()
  for (const { partId, quantity } of wants) wantedOf.set(partId, (wantedOf.get(partId) ?? 0) + quantity)
  const stock = new Map<number, Stock>([...ends].map((id) => [id, { free: 0, onOrder: [], drafts: [] }]))
  for (const id of ids) {
    const { partId, ratio, chain } = resolved.get(id) ?? { partId: id, ratio: 1, chain: [id] }
    const of = stock.get(partId)
    if (!of) continue
    const serves = chainFitsBack(chain, once)
    let most = serves ? Number.POSITIVE_INFINITY : (wantedOf.get(id) ?? 0)
    const take = (quantity: number) => {
      const taken = Math.min(Math.max(0, quantity), most)
      most -= taken
      return taken * ratio
    }
    of.free += take(here.get(id)!.available)
    for (const { quantity, date, draftId } of coming.get(id) ?? []) {
      const taken = take(quantity)
      if (taken <= 0) continue
      of.onOrder.push({ quantity: taken, date })
      if (draftId !== null) of.drafts.push({ draftId, quantity: taken })
    }
  }
  return { resolved, stock, faults: [...(await replacedFaults(db as unknown as Tx, asked, resolved)), ...faults] }
}

/** Numbers that somebody asks for and that are superseded, so that the lists that name them can be put right. */
async function replacedFaults(
  tx: Tx,
  asked: readonly number[],
  resolved: ReadonlyMap<number, SupersessionResolved>,
): Promise<PlanFault[]> {
  const old = asked.filter((id) => resolved.get(id)!.partId !== id)
  const faults: PlanFault[] = []
  for (const slice of slices(old, AT_ONCE / 2)) {
    const ids = [...new Set(slice.flatMap((id) => [id, resolved.get(id)!.partId]))]
    const rows = await tx.part.findMany({ where: { id: { in: ids } }, select: { id: true, number: true } })
    const numberOf = new Map(rows.map(({ id, number }) => [id, number]))
    for (const id of slice)
      faults.push({
        where: numberOf.get(id) ?? String(id),
        says: `is superseded by ${numberOf.get(resolved.get(id)!.partId)}, which is taken in its place`,
        next: 'Nothing has to be done; name the new number where the old one still stands.',
      })
  }
  return faults
}
