import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { type DayChange, type StockLine, stockLine } from '../stock/stock-line.ts'
import { database } from './client.ts'
import { MOVEMENT_PAGE_ROWS, type MovementLine, movementLines } from './movement-line.ts'

export interface PartLedgerLine extends MovementLine {
  /** On hand over all bins once it was booked, minor units. */
  onHandAfter: number
}

/** The words and the levels that the ledger of a part is read with. Refuses with 'stock/unknown-part'. */
export async function partLedgerHead(partId: number): Promise<{
  number: string
  description: string
  unit: StockUnit
  level: { reorderPoint: number; orderUpTo: number } | null
}> {
  const part = await database().part.findUnique({ where: { id: partId }, include: { level: true } })
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  const { number, description, unit, level } = part
  return { number, description, unit: unit as StockUnit, level }
}

/**
 * The ledger of one part, newest first, one page of it, with what was on hand over all bins after each line. Lines older than
 * `beforeId` where that is given.
 */
export async function partLedgerPage(
  partId: number,
  beforeId: number | null,
): Promise<{ rows: PartLedgerLine[]; more: boolean }> {
  const lines = await movementLines(
    { partId, ...(beforeId === null ? {} : { id: { lt: beforeId } }) },
    MOVEMENT_PAGE_ROWS + 1,
  )
  const sum = await database().movement.aggregate({
    where: { partId, id: { lte: lines[0]?.id ?? 0 } },
    _sum: { quantity: true },
  })
  let onHandAfter = sum._sum.quantity ?? 0
  const rows = lines.slice(0, MOVEMENT_PAGE_ROWS).map((line) => {
    const row = { ...line, onHandAfter }
    onHandAfter -= line.quantity
    return row
  })
  return { rows, more: lines.length > MOVEMENT_PAGE_ROWS }
}

/** On hand of a part from `from` to `to`, calendar dates, UTC days; `to` is today or earlier. */
export async function partStockLine(partId: number, from: string, to: string): Promise<StockLine> {
  const db = database()
  const [later] = await db.$queryRaw<{ onHand: number }[]>`
    SELECT COALESCE((SELECT SUM("quantity") FROM "Balance" WHERE "partId" = ${partId}), 0)
      - COALESCE((SELECT SUM("quantity") FROM "Movement" WHERE "partId" = ${partId} AND substr("at", 1, 10) > ${to}), 0) AS "onHand"`
  const changes = await db.$queryRaw<DayChange[]>`
    SELECT substr("at", 1, 10) AS "day", SUM("quantity") AS "quantity" FROM "Movement"
    WHERE "partId" = ${partId} AND substr("at", 1, 10) >= ${from} GROUP BY 1 HAVING SUM("quantity") <> 0`
  const days = changes.map(({ day, quantity }) => ({ day, quantity: Number(quantity) }))
  return stockLine(Number(later?.onHand ?? 0), days, from, to)
}
