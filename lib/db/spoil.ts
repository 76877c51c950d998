import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { isExpired } from '../stock/batch.ts'
import { BIN_KINDS, BIN_KINDS_FREE, type BinKind, binKindOf } from '../stock/bin-kind.ts'
import { database } from './client.ts'

export interface SpoilRow {
  batchId: number
  code: string
  expiresOn: string
  partId: number
  number: string
  description: string
  unit: StockUnit
  binId: number
  bin: string
  store: string
  kind: BinKind
  quantity: number
  /** At moving average cost, money minor units. */
  valueMinor: number
}

/** Batches whose use-by date is not later than `until`, the earliest first, with what they are worth. Goods on the way are in it. */
export async function spoilList(until: string): Promise<SpoilRow[]> {
  const rows = await database().batchBalance.findMany({
    where: { quantity: { gt: 0 }, batch: { expiresOn: { lte: until } } },
    include: { batch: { include: { part: { include: { value: true } } } }, bin: { include: { store: true } } },
    orderBy: [{ batch: { expiresOn: 'asc' } }, { batchId: 'asc' }, { binId: 'asc' }],
  })
  return rows.map(({ batch, bin, quantity }) => {
    const { part } = batch
    return {
      batchId: batch.id,
      code: batch.code,
      expiresOn: batch.expiresOn!,
      partId: part.id,
      number: part.number,
      description: part.description,
      unit: part.unit as StockUnit,
      binId: bin.id,
      bin: bin.code,
      store: bin.store.name,
      kind: binKindOf(bin.kind),
      quantity,
      valueMinor:
        part.value && part.value.quantity > 0
          ? Math.round((part.value.valueMinor * quantity) / part.value.quantity)
          : moneyOfQuantity(part.costMinor ?? 0, quantity, part.unit as StockUnit),
    }
  })
}

/** How many batches are past their date in bins that people take from. */
export async function expiredCount(today: string): Promise<number> {
  return database().batchBalance.count({
    where: { quantity: { gt: 0 }, batch: { expiresOn: { lt: today } }, bin: { kind: { in: [...BIN_KINDS_FREE] } } },
  })
}

/** What to do about a batch in a bin: by its day, and by whether anybody takes from there. */
export function spoilAdvice({ expiresOn, kind }: Pick<SpoilRow, 'expiresOn' | 'kind'>, today: string): string {
  if (!isExpired(expiresOn, today)) return BIN_KINDS[kind].free ? 'Use first' : 'Not free to use'
  return BIN_KINDS[kind].free ? 'Move to quarantine, or scrap' : 'Scrap, or send back'
}
