import { lotOrder } from '../stock/batch.ts'

/** The batch that lies in a bin, where batches are kept. */
export interface PickBatch {
  id: number
  code: string
  expiresOn: string | null
}

/** A bin that holds a part, or a batch of it, with its place on the walk through the store. */
export interface BinHolding {
  binId: number
  bin: string
  store: string
  storeId: number
  walkOrder: number
  quantity: number
  batch?: PickBatch
}

export interface PickNeed {
  needId: number
  partId: number
  /** Accepted and not yet taken, minor units. */
  stillWanted: number
}

export interface PickLine {
  needId: number
  partId: number
  binId: number
  bin: string
  store: string
  walkOrder: number
  quantity: number
  batch?: PickBatch
}

export interface PickList {
  /** In the order in which a person walks past the bins. */
  lines: PickLine[]
  /** What the shelf cannot give, by need: it is not there, or it is kept for other jobs. */
  short: { needId: number; partId: number; quantity: number }[]
}

/**
 * Spreads the needs over the bins: the first bins of the walk are emptied first, nothing is promised twice when two needs
 * want one part, and what is kept for other jobs (`kept`, by part id) stays where it is. Of a part in batches the earliest use-by
 * day goes first, wherever it lies. Needs come in order of precedence. `holdings` is by part id, without what is expired.
 */
export function pickList(
  needs: readonly PickNeed[],
  holdings: ReadonlyMap<number, readonly BinHolding[]>,
  kept: ReadonlyMap<number, number> = new Map(),
): PickList {
  const free = new Map<number, number>()
  for (const [partId, bins] of holdings)
    free.set(partId, Math.max(0, bins.reduce((sum, bin) => sum + bin.quantity, 0) - (kept.get(partId) ?? 0)))
  const left = new Map<string, number>()
  const lines: PickLine[] = []
  const short: PickList['short'] = []
  for (const need of needs) {
    let wanted = need.stillWanted
    const bins = [...(holdings.get(need.partId) ?? [])].sort(
      (a, b) => lotOrder(lotOf(a), lotOf(b)) || a.storeId - b.storeId || a.walkOrder - b.walkOrder || a.binId - b.binId,
    )
    for (const bin of bins) {
      if (wanted <= 0) break
      const key = `${need.partId}:${bin.binId}:${bin.batch?.id ?? ''}`
      const there = left.get(key) ?? bin.quantity
      const take = Math.min(there, wanted, free.get(need.partId) ?? 0)
      if (take <= 0) continue
      left.set(key, there - take)
      free.set(need.partId, free.get(need.partId)! - take)
      wanted -= take
      lines.push({
        needId: need.needId,
        partId: need.partId,
        binId: bin.binId,
        bin: bin.bin,
        store: bin.store,
        walkOrder: bin.walkOrder,
        quantity: take,
        ...(bin.batch ? { batch: bin.batch } : {}),
      })
    }
    if (wanted > 0) short.push({ needId: need.needId, partId: need.partId, quantity: wanted })
  }
  const storeOf = new Map([...holdings.values()].flat().map((bin) => [bin.binId, bin.storeId]))
  lines.sort(
    (a, b) =>
      (storeOf.get(a.binId) ?? 0) - (storeOf.get(b.binId) ?? 0) ||
      a.walkOrder - b.walkOrder ||
      a.binId - b.binId ||
      a.needId - b.needId,
  )
  return { lines, short }
}

/** By the day alone: of one day the nearer bin comes first. */
function lotOf({ batch }: BinHolding) {
  return { batchId: null, expiresOn: batch?.expiresOn ?? null }
}

/** Lines of one part in one bin: one reach into the bin, whichever side they are for. */
export interface PickRow extends Omit<PickLine, 'needId'> {
  needs: { needId: number; quantity: number }[]
}

/** The lines as a person walks: the same part from the same bin is one row, where the first of its lines stood. */
export function pickRows(lines: readonly PickLine[]): PickRow[] {
  const rows = new Map<string, PickRow>()
  for (const { needId, quantity, ...place } of lines) {
    const key = `${place.partId} ${place.binId} ${place.batch?.id ?? ''}`
    const before = rows.get(key)
    rows.set(key, {
      ...place,
      quantity: (before?.quantity ?? 0) + quantity,
      needs: [...(before?.needs ?? []), { needId, quantity }],
    })
  }
  return [...rows.values()]
}

/** How the form names the needs of a row, each with its share, and the batch in its bin. */
export function pickRowName(row: Pick<PickRow, 'needs' | 'binId' | 'batch'>): string {
  const needs = row.needs.map(({ needId, quantity }) => `${needId}:${quantity}`).join('+')
  return `${needs}.${row.binId}${row.batch ? `@${row.batch.id}` : ''}`
}
