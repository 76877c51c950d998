import { expect, it } from 'vitest'
import { orderListWhole } from '../../lib/db/buying.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { useWorkshop } from '../support/database.ts'

useWorkshop()

/** More than the database client hands on in one statement: it refuses 10,000 values beside another condition (found by trying). */
const PARTS = 12_000

it('more parts below their level than a statement takes values are all on the order list', async () => {
  await inTransaction(async (tx) => {
    await tx.$executeRaw`
      WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < ${PARTS})
      INSERT INTO "Part" ("maker", "number", "makerKey", "numberKey", "description", "partClass", "unit", "facts",
        "criticality", "searchText")
      SELECT 'Oakmoor', 'L-' || i, 'oakmoor', 'l' || i, 'Split pin', 'split-pin', 'each', '{}', 'essential', '' FROM n`
    await tx.$executeRaw`
      INSERT INTO "StockLevel" ("partId", "reorderPoint", "orderUpTo", "reason", "setAt")
      SELECT "id", 2, 5, 'Counted in autumn', ${new Date('2026-11-01T00:00:00Z')} FROM "Part"`
  })
  const { groups } = await orderListWhole()
  const lines = groups.flatMap((group) => group.lines)
  expect([lines.length, new Set(lines.map((line) => line.partId)).size]).toEqual([PARTS, PARTS])
})
