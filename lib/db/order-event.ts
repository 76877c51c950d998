import type { OrderStep } from '../buying/order-life.ts'
import type { PlainDate } from '../service/plain-date.ts'
import { database, type Tx } from './client.ts'
import { personNames } from './part-typed.ts'
import type { WriteContext } from './transaction.ts'

interface Happened {
  draftId?: number
  orderId?: number
  kind: OrderStep
  words?: string
  promisedOn?: PlainDate
}

/** Writes a line of the record of an order: who, when and what. Never changed after. */
export async function orderEvent(tx: Tx, context: WriteContext, happened: Happened): Promise<void> {
  await tx.orderEvent.create({ data: { ...happened, at: context.now, personId: context.personId } })
}

export interface OrderEventRow {
  id: number
  kind: OrderStep
  words: string | null
  promisedOn: PlainDate | null
  at: Date
  person: string
}

/** The record of an order, with what happened while it was a draft, or of a draft; oldest first. */
export async function orderRecord(of: { orderId: number } | { draftId: number }): Promise<OrderEventRow[]> {
  const db = database()
  const where = 'orderId' in of ? { OR: [{ orderId: of.orderId }, { draft: { orderId: of.orderId } }] } : of
  const rows = await db.orderEvent.findMany({ where, orderBy: { id: 'asc' } })
  const names = await personNames(
    db as unknown as Tx,
    rows.map((row) => row.personId),
  )
  return rows.map(({ id, kind, words, promisedOn, at, personId }) => ({
    ...{ id, kind: kind as OrderStep, words, promisedOn, at },
    person: names(personId),
  }))
}
