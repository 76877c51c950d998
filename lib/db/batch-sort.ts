import { Refusal } from '../refusal.ts'
import type { BatchSortInput } from '../stock/batch-schema.ts'
import { batchOf, saysOf } from './batch.ts'
import { binLots } from './batch-move.ts'
import { movementPlace, partHead } from './ledger.ts'
import { binInUse } from './stock.ts'
import { type WriteContext, write } from './transaction.ts'

/**
 * Says how much of each batch lies in a bin, where the books had it otherwise: what is too much of one goes over to another, in the
 * same bin, so that nothing is gained or lost. Refuses with 'stock/batch-sum' and 'stock/unknown-batch'.
 */
export function batchesSort(context: WriteContext, input: BatchSortInput): Promise<{ moved: number }> {
  return write(context, 'batch.sort', input, async (tx) => {
    const part = await partHead(tx, input.partId)
    const bin = await binInUse(tx, input.binId)
    const lots = await binLots(part.id, bin.id)
    const wanted = new Map(input.lots.map(({ batchId, quantity }) => [batchId, quantity]))
    if (input.more) {
      const place = { partId: part.id, binId: bin.id, notKnown: true }
      // It lies there already, expired or not.
      const batchId = await batchOf(tx, context, place, { ...input.more, expiredKept: true })
      if (batchId === undefined) throw new Refusal('stock/batch-needed', { part: part.number })
      wanted.set(batchId, (wanted.get(batchId) ?? 0) + input.more.quantity)
    }
    const books = lots.reduce((sum, lot) => sum + lot.quantity, 0)
    const sum = [...wanted.values()].reduce((all, quantity) => all + quantity, 0)
    const says = saysOf(part.unit)
    if (sum !== books) throw new Refusal('stock/batch-sum', { sum: says(sum), books: says(books), bin: bin.code })
    const over = lots
      .map((lot) => ({ batchId: lot.batchId, left: lot.quantity - (wanted.get(lot.batchId ?? 0) ?? 0) }))
      .filter(({ left }) => left > 0)
    let [line, moved] = [0, 0]
    const move = { partId: part.id, binId: bin.id, reason: 'batches looked at in the bin' }
    for (const [batchId, quantity] of wanted) {
      let short = quantity - (lots.find((lot) => lot.batchId === batchId)?.quantity ?? 0)
      for (const from of over) {
        const goes = Math.min(short, from.left)
        if (goes <= 0) continue
        const own = from.batchId === null ? {} : { batchId: from.batchId }
        await movementPlace(tx, context, line++, { ...move, ...own, kind: 'transfer-out', quantity: -goes })
        await movementPlace(tx, context, line++, { ...move, batchId, kind: 'transfer-in', quantity: goes })
        from.left -= goes
        short -= goes
        moved += goes
      }
    }
    return { moved }
  })
}
