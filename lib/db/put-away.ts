import { BIN_KINDS, binKindOf } from '../stock/bin-kind.ts'
import { type PutAway, putAway } from '../stock/put-away.ts'
import { database } from './client.ts'

/** Bins to put each part into, best first; in one store where it is named, else in all. */
export async function putAwayOf(partIds: readonly number[], storeId: number | null): Promise<Map<number, PutAway[]>> {
  const db = database()
  const ids = [...new Set(partIds)]
  const [bins, belongs, balances, last] = await Promise.all([
    db.bin.findMany({ where: { closedAt: null }, select: { id: true, kind: true, storeId: true } }),
    db.partBin.findMany({ where: { partId: { in: ids } }, orderBy: { bin: { walkOrder: 'asc' } } }),
    db.balance.findMany({ where: { partId: { in: ids }, quantity: { gt: 0 } } }),
    db.movement.groupBy({
      by: ['partId', 'binId'],
      where: { partId: { in: ids }, quantity: { gt: 0 } },
      _max: { id: true },
    }),
  ])
  const open = new Set(
    bins
      .filter((bin) => BIN_KINDS[binKindOf(bin.kind)].free && (storeId === null || bin.storeId === storeId))
      .map((bin) => bin.id),
  )
  // Put into quarantine last is no reason to put it there again.
  const lastOpen = last.filter((row) => open.has(row.binId)).sort((a, b) => b._max.id! - a._max.id!)
  return new Map(
    ids.map((partId) => {
      const of = belongs.filter((row) => row.partId === partId)
      const facts = {
        fixed: of.filter((row) => row.kind === 'fixed').map((row) => row.binId),
        overflow: of.filter((row) => row.kind === 'overflow').map((row) => row.binId),
        now: balances.filter((row) => row.partId === partId),
        last: lastOpen.find((row) => row.partId === partId)?.binId ?? null,
        open,
      }
      return [partId, putAway(facts)]
    }),
  )
}
