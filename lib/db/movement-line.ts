import type { StockUnit } from '../measure/quantity.ts'
import type { ForWhat } from '../stock/for-what.ts'
import { type MovementKind, movementWhyNotReversible } from '../stock/movement.ts'
import { database, type Prisma } from './client.ts'

/** A line of the ledger in the words of a screen. */
export interface MovementLine {
  id: number
  kind: MovementKind
  partId: number
  number: string
  description: string
  unit: StockUnit
  binId: number
  bin: string
  /** Signed minor units. */
  quantity: number
  balanceAfter: number
  at: Date
  person: string
  job: { id: number; number: number } | null
  order: { id: number; number: number } | null
  batch: { id: number; code: string } | null
  /** What it was for, where it was no job. */
  forWhat: ForWhat
  reason: string | null
  reversedById: number | null
  reversesId: number | null
  /** Why it cannot be put right by a reversal; null when it can. */
  whyNotReversible: string | null
}

export const MOVEMENT_PAGE_ROWS = 200

export async function movementRead(movementId: number): Promise<MovementLine | null> {
  return (await movementLines({ id: movementId }, 1))[0] ?? null
}

/** Lines of the ledger that answer `where`, newest first. */
export async function movementLines(where: Prisma.MovementWhereInput, take: number): Promise<MovementLine[]> {
  const db = database()
  const rows = await db.movement.findMany({
    where,
    orderBy: { id: 'desc' },
    take,
    include: {
      part: { select: { number: true, description: true, unit: true } },
      bin: { select: { code: true } },
      job: { select: { id: true, number: true, state: true } },
      orderLine: { select: { order: { select: { id: true, number: true } } } },
      reversedBy: { select: { id: true } },
      machine: { select: { id: true, fleetNumber: true, name: true } },
      batch: { select: { id: true, code: true } },
    },
  })
  const people = await db.person.findMany({
    where: { id: { in: [...new Set(rows.flatMap((row) => [row.personId, row.forPersonId ?? row.personId]))] } },
    select: { id: true, name: true },
  })
  const names = new Map(people.map((person) => [person.id, person.name]))
  return rows.map((row) => {
    const kind = row.kind as MovementKind
    const closed = row.job?.state === 'closed' ? `job ${row.job.number} is closed` : null
    return {
      id: row.id,
      kind,
      partId: row.partId,
      number: row.part.number,
      description: row.part.description,
      unit: row.part.unit as StockUnit,
      binId: row.binId,
      bin: row.bin.code,
      quantity: row.quantity,
      balanceAfter: row.balanceAfter,
      at: row.at,
      person: names.get(row.personId) ?? 'somebody who left',
      job: row.job && { id: row.job.id, number: row.job.number },
      order: row.orderLine?.order ?? null,
      batch: row.batch,
      forWhat: {
        machine: row.machine && { id: row.machine.id, says: `${row.machine.fleetNumber} ${row.machine.name}` },
        costCentre: row.costCentre,
        person: row.forPersonId === null ? null : (names.get(row.forPersonId) ?? 'somebody who left'),
      },
      reason: row.reason,
      reversedById: row.reversedBy?.id ?? null,
      reversesId: row.reversesId,
      whyNotReversible: movementWhyNotReversible({ kind }) ?? closed,
    }
  })
}
