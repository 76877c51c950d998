import { type FreeStock, freeStock } from '../stock/free.ts'
import { lotHoldings } from './batch-read.ts'
import { database } from './client.ts'
import type { NeedView } from './job-read.ts'
import { partStock, partsOnOrder } from './part.ts'

/**
 * What the shelf can give a job of each of its parts, and of others that it may take (`more`, wanted in minor units): free, kept for
 * other jobs, and what is due. `today` is a calendar date.
 */
export async function jobFree(
  jobId: number,
  needs: readonly NeedView[],
  more: readonly { partId: number; wanted: number }[],
  today: string,
): Promise<{ freeOf: Map<number, FreeStock>; binsOf: Map<number, string[]> }> {
  const wanted = new Map<number, number>()
  const add = (partId: number, quantity: number) => wanted.set(partId, (wanted.get(partId) ?? 0) + quantity)
  for (const need of needs)
    if (need.part && need.state !== 'declined')
      add(need.part.id, need.state === 'open' ? need.suggested : Math.max(0, need.wanted - need.taken))
    else if (need.part) add(need.part.id, 0)
  for (const one of more) add(one.partId, one.wanted)
  const partIds = [...wanted.keys()]
  const [stock, orders, holdings, own] = await Promise.all([
    partStock(database(), partIds, today),
    partsOnOrder(partIds),
    lotHoldings(partIds, today),
    database().jobNeed.groupBy({
      by: ['partId'],
      where: { jobId, partId: { in: partIds }, allocated: { gt: 0 } },
      _sum: { allocated: true },
    }),
  ])
  const ownOf = new Map(own.map((row) => [row.partId!, row._sum.allocated ?? 0]))
  const freeOf = new Map(
    partIds.map((partId) => [
      partId,
      freeStock({
        stock: stock.get(partId)!,
        own: ownOf.get(partId) ?? 0,
        wanted: wanted.get(partId)!,
        order: orders.get(partId),
        today,
      }),
    ]),
  )
  const binsOf = new Map([...holdings].map(([partId, bins]) => [partId, [...new Set(bins.map((bin) => bin.bin))]]))
  return { freeOf, binsOf }
}
