import { type DepositKept, depositFaults, returnNoteFaults, unitFaults } from '../verify/deposits.ts'
import { database } from './client.ts'

/** Holds deposits, old units and return notes against their lines and against the receipts they came with. */
export async function depositsVerify(): Promise<string[]> {
  const db = database()
  const rows = await db.deposit.findMany({
    include: { events: { orderBy: { id: 'asc' } }, oldUnit: { select: { id: true } } },
    orderBy: { id: 'asc' },
  })
  const deposits = rows.map(
    ({ events, oldUnit, ...row }): DepositKept => ({ ...row, unitId: oldUnit?.id ?? null, lines: events }),
  )
  const units = await db.oldUnit.findMany({
    include: { events: { orderBy: { id: 'asc' } }, bin: { select: { kind: true } } },
    orderBy: { id: 'asc' },
  })
  const receipts = await db.$queryRaw<
    {
      id: number | bigint
      partId: number | bigint
      kind: string
      quantity: number | bigint
      reversed: number | bigint
    }[]
  >`SELECT m."id", m."partId", m."kind", m."quantity",
      EXISTS (SELECT 1 FROM "Movement" r WHERE r."reversesId" = m."id") AS "reversed"
    FROM "Movement" m WHERE m."id" IN (SELECT "movementId" FROM "Deposit")`
  const loose = await db.depositEvent.findMany({
    where: {
      OR: [
        { depositId: null, unitId: null },
        { depositId: { not: null }, unitId: { not: null } },
      ],
    },
    select: { id: true },
  })
  const notes = await db.returnNote.findMany({ select: { number: true, _count: { select: { units: true } } } })
  return [
    ...depositFaults(
      deposits,
      new Map(
        receipts.map((row) => [
          Number(row.id),
          {
            id: Number(row.id),
            partId: Number(row.partId),
            kind: row.kind,
            quantity: Number(row.quantity),
            reversed: Boolean(Number(row.reversed)),
          },
        ]),
      ),
    ),
    ...unitFaults(
      units.map(({ events, bin, ...unit }) => ({
        ...unit,
        binKind: bin?.kind ?? null,
        kinds: events.map((event) => event.kind),
      })),
      deposits,
    ),
    ...returnNoteFaults(notes.map(({ number, _count }) => ({ number, units: _count.units }))),
    ...loose.map(({ id }) => `line ${id} of the deposits is of nothing, or of two things`),
  ]
}
