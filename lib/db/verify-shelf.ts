import { balanceKey, ledgerBalances, ledgerFaults } from '../stock/ledger.ts'
import type { MovementKind } from '../stock/movement.ts'
import { type Check, checkRun, UNREAD } from '../verify/report.ts'
import { balanceFaults, type LedgerLine, movementFaults } from '../verify/shelf.ts'
import {
  type BinInBatches,
  batchFaults,
  batchSumFaults,
  lineValueFaults,
  type ValuedLine,
  type Worth,
  worthFaults,
} from '../verify/value.ts'
import { database, Prisma } from './client.ts'
import { BATCH_ASKED } from './ledger.ts'

/** Movements read at a time; whole parts only, because a part's ledger is checked in one walk. */
const MOVEMENTS_MAX = 8_000

interface Slice {
  from: number
  to: number
}

/** All part ids in slices that meet, each with as many movements as fit in memory together: parts without any lie in one too. */
async function* partSlices(): AsyncGenerator<Slice> {
  const counts = await database().$queryRaw<{ partId: number | bigint; lines: number | bigint }[]>`
    SELECT "partId", COUNT(*) AS "lines" FROM "Movement" GROUP BY "partId" ORDER BY "partId"`
  let from = 0
  let to = 0
  let size = 0
  for (const { partId, lines } of counts) {
    if (size > 0 && size + Number(lines) > MOVEMENTS_MAX) {
      yield { from, to }
      from = to + 1
      size = 0
    }
    to = Number(partId)
    size += Number(lines)
  }
  yield { from, to: Number.MAX_SAFE_INTEGER }
}

type Line = LedgerLine & ValuedLine

/** The movements of some parts as they were booked, past the client's own way: a ledger of a million lines is read here. */
async function linesOf({ from, to }: Slice): Promise<Line[]> {
  const rows = await database().$queryRaw<Line[]>(Prisma.sql`
    SELECT "id", "kind", "partId", "binId", "quantity", "balanceAfter", "reversesId", "writeKey", "writeLine", "valueMinor",
      "batchId"
    FROM "Movement" WHERE "partId" BETWEEN ${from} AND ${to} ORDER BY "partId", "id"`)
  return rows.map((row) => ({
    ...row,
    id: Number(row.id),
    kind: row.kind as MovementKind,
    partId: Number(row.partId),
    binId: Number(row.binId),
    quantity: Number(row.quantity),
    balanceAfter: Number(row.balanceAfter),
    reversesId: row.reversesId === null ? null : Number(row.reversesId),
    writeLine: Number(row.writeLine),
    valueMinor: row.valueMinor === null ? null : Number(row.valueMinor),
    batchId: row.batchId === null ? null : Number(row.batchId),
  }))
}

function worthOf(lines: readonly Line[]): Map<number, Worth> {
  const sums = new Map<number, Worth>()
  for (const { partId, quantity, valueMinor } of lines) {
    const worth = sums.get(partId) ?? { quantity: 0, valueMinor: 0 }
    worth.quantity += quantity
    worth.valueMinor += valueMinor ?? 0
    sums.set(partId, worth)
  }
  return sums
}

/** What is kept beside the ledger of these parts, held against the ledger itself. */
async function keptFaults(slice: Slice, lines: readonly Line[]): Promise<{ balances: string[]; worth: string[] }> {
  const partId = { gte: slice.from, lte: slice.to }
  const balances = await database().balance.findMany({ where: { partId } })
  const worth = await database().partValue.findMany({ where: { partId } })
  return {
    balances: balanceFaults(
      ledgerBalances(lines),
      new Map(balances.map((row) => [balanceKey(row.partId, row.binId), row.quantity])),
    ),
    worth: [...lineValueFaults(lines), ...worthFaults(worthOf(lines), new Map(worth.map((row) => [row.partId, row])))],
  }
}

/** Every bin that holds a batch, or a part of which everything belongs to one. */
async function binsInBatches(): Promise<BinInBatches[]> {
  const asked = Prisma.raw(BATCH_ASKED)
  const rows = await database().$queryRaw<Record<keyof BinInBatches, number | bigint>[]>(Prisma.sql`
    SELECT k."partId", k."binId", COALESCE(b."quantity", 0) AS "onHand", k."inBatches", ${asked} AS "asked"
     FROM (SELECT x."partId", l."binId", SUM(l."quantity") AS "inBatches" FROM "BatchBalance" l
         JOIN "Batch" x ON x."id" = l."batchId" GROUP BY x."partId", l."binId"
       UNION ALL SELECT b."partId", b."binId", 0 FROM "Balance" b WHERE b."quantity" > 0 AND NOT EXISTS (
         SELECT 1 FROM "Batch" x JOIN "BatchBalance" l ON l."batchId" = x."id" AND l."binId" = b."binId"
         WHERE x."partId" = b."partId")) k
     JOIN "Part" p ON p."id" = k."partId" LEFT JOIN "PartClassRule" c ON c."partClass" = p."partClass"
     LEFT JOIN "Balance" b ON b."partId" = k."partId" AND b."binId" = k."binId"
     WHERE k."inBatches" > 0 OR ${asked} ORDER BY k."partId", k."binId"`)
  return rows.map((row) => ({
    partId: Number(row.partId),
    binId: Number(row.binId),
    onHand: Number(row.onHand),
    inBatches: Number(row.inBatches),
    asked: Number(row.asked) === 1,
  }))
}

export async function shelfChecks(): Promise<Check[]> {
  const found = { kinds: [] as string[], balances: [] as string[], worth: [] as string[] }
  const batchSums = new Map<string, number>()
  const ledger = await checkRun('ledger follows', async () => {
    const faults: string[] = []
    for await (const slice of partSlices()) {
      const lines = await linesOf(slice)
      for (const fault of ledgerFaults(lines)) faults.push(fault)
      for (const fault of movementFaults(lines)) found.kinds.push(fault)
      const kept = await keptFaults(slice, lines)
      for (const fault of kept.balances) found.balances.push(fault)
      for (const fault of kept.worth) found.worth.push(fault)
      for (const { batchId, binId, quantity } of lines) {
        if (batchId === null) continue
        const key = balanceKey(batchId, binId)
        batchSums.set(key, (batchSums.get(key) ?? 0) + quantity)
      }
    }
    return faults
  })
  // What the walk could not read was not checked either.
  const walked = (name: string, faults: readonly string[]) =>
    checkRun(name, () => (ledger.faults.some(isUnread) ? [...faults, 'the ledger could not be read'] : [...faults]))
  return [
    ledger,
    await walked('movements go the right way', found.kinds),
    await walked('balances are the sum of their movements', found.balances),
    await walked('parts are worth what their movements say', found.worth),
    await checkRun('batches add up to what lies in the bin', async () => batchSumFaults(await binsInBatches())),
    await checkRun('batches are the sum of their movements', async () => {
      const rows = await database().batchBalance.findMany()
      return batchFaults(batchSums, new Map(rows.map((row) => [balanceKey(row.batchId, row.binId), row.quantity])))
    }),
  ]
}

function isUnread(fault: string): boolean {
  return fault.startsWith(UNREAD)
}
