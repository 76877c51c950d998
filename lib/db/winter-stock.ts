import { chainFitsBack } from '../buying/chain-need.ts'
import { type SupersessionResolved, supersessionResolve } from '../catalogue/supersession.ts'
import type { PlanFault } from '../readiness/plan-check.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { database, type Tx } from './client.ts'
import { slices } from './exchange-rows.ts'
import { partStock, supersessionLinks } from './part.ts'

/** A statement takes a limited number of values. */
const AT_ONCE = 500

interface Stock {
  free: number
  onOrder: { quantity: number; date: PlainDate }[]
}

/** What is still to come of each part, by the day it is due; what is late comes today at the soonest. */
async function comingOf(partIds: readonly number[], today: PlainDate): Promise<Map<number, Stock['onOrder']>> {
  const coming = new Map<number, Stock['onOrder']>()
  for (const slice of slices(partIds, AT_ONCE)) {
    const lines = await database().purchaseOrderLine.findMany({
      where: { partId: { in: slice }, order: { state: 'ordered' } },
      select: { partId: true, quantity: true, received: true, cancelled: true, order: { select: { dueOn: true } } },
      orderBy: { id: 'asc' },
    })
    for (const { partId, quantity, received, cancelled, order } of lines) {
      const due = quantity - received - cancelled
      if (due <= 0) continue
      const date = order.dueOn < today ? today : order.dueOn
      coming.set(partId, [...(coming.get(partId) ?? []), { quantity: due, date }])
    }
  }
  return coming
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
  const [here, coming] = await Promise.all([partStock(db, ids, today), comingOf(ids, today)])
  const wantedOf = new Map<number, number>()
  for (const { partId, quantity } of wants) wantedOf.set(partId, (wantedOf.get(partId) ?? 0) + quantity)
  const stock = new Map<number, Stock>([...ends].map((id) => [id, { free: 0, onOrder: [] }]))
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
    for (const { quantity, date } of coming.get(id) ?? []) {
      const taken = take(quantity)
      if (taken > 0) of.onOrder.push({ quantity: taken, date })
    }
  }
  return { resolved, stock, faults: await replacedFaults(db as unknown as Tx, asked, resolved) }
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
