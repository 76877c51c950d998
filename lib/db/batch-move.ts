import { Refusal } from '../refusal.ts'
import { isExpired, type Lot, lotsTake } from '../stock/batch.ts'
import { dayOf, saysOf } from './batch.ts'
import { statement, type Tx } from './client.ts'
import { movementPlace, type Placed, type Placing, partHead } from './ledger.ts'
import type { WriteContext } from './transaction.ts'

/** So much of a batch in a bin; of what belongs to none the code is ''. */
export interface BinLot extends Lot {
  code: string
}

/** What lies in a bin of a part, by batch; one lot without a batch where batches are not kept. */
export async function binLots(partId: number, binId: number): Promise<BinLot[]> {
  const lots = await statement<BinLot>(
    `SELECT b."id" AS "batchId", b."code", b."expiresOn", l."quantity" FROM "Batch" b
     JOIN "BatchBalance" l ON l."batchId" = b."id" AND l."binId" = ? WHERE b."partId" = ? AND l."quantity" > 0 ORDER BY b."id"`,
    [binId, partId],
  )
  const [row] = await statement<{ quantity: number }>(
    'SELECT "quantity" FROM "Balance" WHERE "partId" = ? AND "binId" = ?',
    [partId, binId],
  )
  const loose = (row?.quantity ?? 0) - lots.reduce((sum, lot) => sum + lot.quantity, 0)
  return loose > 0 ? [...lots, { batchId: null, code: '', expiresOn: null, quantity: loose }] : lots
}

export interface Going {
  /** Chosen by a person; left out, the earliest use-by day goes first. */
  batchId?: number
  /** Why a batch whose day is past is taken for use. */
  expiredWhy?: string
  /** For use expired ones stay; who moves away or scraps takes them first. */
  expired: 'stay' | 'too'
}

export interface LotsPlaced {
  last: Placed
  movements: Placed[]
  /** What went, by batch. */
  lots: BinLot[]
}

/**
 * Takes `quantity` (above zero) out of a bin, a line of the ledger for each batch. Where there are no batches that is one line, as
 * ever. Refuses with 'stock/batch-expired', 'stock/only-expired', 'stock/batch-not-there' and what `movementPlace` refuses.
 */
export async function lotsOut(
  tx: Tx,
  context: WriteContext,
  firstLine: number,
  placing: Omit<Placing, 'batchId'>,
  going: Going,
): Promise<LotsPlaced> {
  const lots = await lotsGoing(tx, context, placing, going)
  const movements: Placed[] = []
  for (const [at, lot] of lots.entries()) {
    const past =
      going.expired === 'stay' && isExpired(lot.expiresOn, dayOf(context.now))
        ? `past its use-by date ${lot.expiresOn}: ${going.expiredWhy}`
        : undefined
    const reason = [placing.reason, past].filter(Boolean).join('; ')
    movements.push(
      await movementPlace(tx, context, firstLine + at, {
        ...placing,
        quantity: -lot.quantity,
        ...(reason === '' ? {} : { reason: reason.slice(0, 400) }),
        ...(lot.batchId === null ? {} : { batchId: lot.batchId }),
      }),
    )
  }
  return { last: movements.at(-1)!, movements, lots }
}

async function lotsGoing(
  tx: Tx,
  context: WriteContext,
  { partId, binId, quantity }: Pick<Placing, 'partId' | 'binId' | 'quantity'>,
  { batchId, expiredWhy = '', expired }: Going,
): Promise<BinLot[]> {
  const today = dayOf(context.now)
  // The ledger says what is wrong with the quantity.
  if (!(quantity > 0)) return [{ batchId: null, code: '', expiresOn: null, quantity }]
  const lots = await binLots(partId, binId)
  if (batchId !== undefined) {
    const batch = await tx.batch.findUnique({ where: { id: batchId } })
    if (batch && expired === 'stay' && isExpired(batch.expiresOn, today) && expiredWhy.length < 3)
      throw new Refusal(
        'stock/batch-expired',
        { batch: batch.code, day: batch.expiresOn! },
        { fields: { expiredWhy: 'say why it is taken all the same' } },
      )
    return [{ batchId, code: batch?.code ?? '', expiresOn: batch?.expiresOn ?? null, quantity }]
  }
  const { taken, short, expired: past } = lotsTake(lots, quantity, today, expired)
  if (short <= 0) return taken
  // Too few for one line too: the ledger says who took them and what is on order.
  if (short > past) return [{ batchId: null, code: '', expiresOn: null, quantity }]
  const part = await partHead(tx, partId)
  const bin = await tx.bin.findUnique({ where: { id: binId } })
  const says = saysOf(part.unit)
  throw new Refusal('stock/only-expired', {
    part: part.number,
    bin: bin?.code ?? '',
    good: says(quantity - short),
    expired: says(past),
  })
}

/** Moves so much from bin to bin, each batch as itself: two lines of the ledger a batch. */
export async function lotsMove(
  tx: Tx,
  context: WriteContext,
  firstLine: number,
  move: { partId: number; fromBinId: number; toBinId: number; quantity: number; reason?: string; batchId?: number },
  /** Expired ones go first, unless what is moved is meant for use elsewhere. */
  expired: Going['expired'] = 'too',
): Promise<{ out: Placed; in: Placed; lines: number; lots: BinLot[] }> {
  const { partId, fromBinId, toBinId, quantity, reason, batchId } = move
  const going: Going = batchId === undefined ? { expired } : { expired: 'too', batchId }
  const lots = await lotsGoing(tx, context, { partId, binId: fromBinId, quantity }, going)
  let [out, into]: (Placed | undefined)[] = []
  for (const [at, lot] of lots.entries()) {
    const line = {
      partId,
      ...(reason === undefined ? {} : { reason }),
      ...(lot.batchId === null ? {} : { batchId: lot.batchId }),
    }
    out = await movementPlace(tx, context, firstLine + 2 * at, {
      ...line,
      kind: 'transfer-out',
      binId: fromBinId,
      quantity: -lot.quantity,
    })
    into = await movementPlace(tx, context, firstLine + 2 * at + 1, {
      ...line,
      kind: 'transfer-in',
      binId: toBinId,
      quantity: lot.quantity,
    })
  }
  return { out: out!, in: into!, lines: 2 * lots.length, lots }
}
