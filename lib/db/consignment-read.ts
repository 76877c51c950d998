import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { batchSays } from '../stock/batch.ts'
import { type ConsignmentState, consignmentState, stillOnTheWay } from '../stock/consignment.ts'
import type { PutAway } from '../stock/put-away.ts'
import { database, type Tx } from './client.ts'
import { personNames } from './part-typed.ts'
import { putAwayOf } from './put-away.ts'
import { binHoldings } from './shelf.ts'

export interface ConsignmentRow {
  id: number
  number: number
  from: string
  to: string
  state: ConsignmentState
  packedAt: Date
  sentAt: Date | null
  lines: number
  /** Lines of which something is still on the way. */
  open: number
}

/** Those being packed and those on the way, newest first, and the last `take` that are through. */
export async function consignmentsList(take = 20): Promise<{ open: ConsignmentRow[]; through: ConsignmentRow[] }> {
  const rows = await database().consignment.findMany({
    include: { lines: true, fromStore: true, toStore: true },
    orderBy: { number: 'desc' },
    take: 500,
  })
  const all = rows.map((row): ConsignmentRow => {
    const facts = row.lines.map((line) => ({ ...line, sent: line.quantity }))
    return {
      id: row.id,
      number: row.number,
      from: row.fromStore.name,
      to: row.toStore.name,
      state: consignmentState(row.sentAt !== null, facts),
      packedAt: row.packedAt,
      sentAt: row.sentAt,
      lines: row.lines.length,
      open: facts.filter((line) => stillOnTheWay(line) > 0).length,
    }
  })
  const isOpen = (row: ConsignmentRow) => row.state === 'packing' || row.state === 'on-the-way'
  return { open: all.filter(isOpen), through: all.filter((row) => !isOpen(row)).slice(0, take) }
}

export interface ConsignmentLineView {
  id: number
  partId: number
  number: string
  description: string
  unit: StockUnit
  fromBin: string
  /** Which batches were chosen, or went. */
  lots: { batchId: number; says: string; quantity: number }[]
  sent: number
  arrived: number
  lost: number
  lostReason: string | null
  open: number
  /** Bins of the receiving store to put it into, best first. */
  into: PutAway[]
}

/** One consignment with its lines. Refuses with 'consignment/unknown'. */
export async function consignmentRead(consignmentId: number) {
  const db = database()
  const row = await db.consignment.findUnique({
    where: { id: consignmentId },
    include: {
      lines: {
        include: { part: true, fromBin: true, lots: { include: { batch: true }, orderBy: { batchId: 'asc' } } },
        orderBy: { id: 'asc' },
      },
      fromStore: true,
      toStore: true,
    },
  })
  if (!row) throw new Refusal('consignment/unknown')
  const [names, into] = await Promise.all([
    personNames(db as unknown as Tx, [row.packedById, row.sentById]),
    putAwayOf(
      row.lines.map((line) => line.partId),
      row.toStoreId,
    ),
  ])
  const lines = row.lines.map((line): ConsignmentLineView => {
    const { arrived, lost, quantity: sent } = line
    return {
      id: line.id,
      partId: line.partId,
      number: line.part.number,
      description: line.part.description,
      unit: line.part.unit as StockUnit,
      fromBin: line.fromBin.code,
      lots: line.lots.map(({ batch, quantity }) => ({ batchId: batch.id, says: batchSays(batch), quantity })),
      sent,
      arrived,
      lost,
      lostReason: line.lostReason,
      open: row.sentAt === null ? 0 : stillOnTheWay({ sent, arrived, lost }),
      into: into.get(line.partId) ?? [],
    }
  })
  return {
    id: row.id,
    number: row.number,
    from: row.fromStore,
    to: row.toStore,
    packedAt: row.packedAt,
    packedBy: names(row.packedById),
    sentAt: row.sentAt,
    sentBy: row.sentById === null ? null : names(row.sentById),
    state: consignmentState(row.sentAt !== null, lines),
    lines,
  }
}

/** Where in a store each part lies to be packed, by part id. */
export async function holdingsIn(storeId: number, partIds: readonly number[]) {
  const holdings = await binHoldings(partIds)
  return new Map([...holdings].map(([partId, bins]) => [partId, bins.filter((bin) => bin.storeId === storeId)]))
}
