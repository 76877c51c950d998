import { createHash } from 'node:crypto'
import type { History } from '../../seed/estate/rows.ts'
import { SUPPLIER_KEYS } from '../../seed/estate/suppliers.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { EMPTY_POOL, movementValue, type Pool, pooled } from '../value/moving-average.ts'
import type { Tx } from './client.ts'
import { entryDigest } from './job-close.ts'

/** Rows a statement: few enough values for every build of SQLite, enough that the way there costs nothing. */
const ROWS_AT_ONCE = 400

async function inSlices<T>(rows: readonly T[], create: (slice: T[]) => Promise<unknown>): Promise<void> {
  for (let at = 0; at < rows.length; at += ROWS_AT_ONCE) await create(rows.slice(at, at + ROWS_AT_ONCE))
}

/** Writes three years into the database, in the order in which rows refer to each other. */
export async function historyPlace(
  tx: Tx,
  history: History,
  prices: ReadonlyMap<number, { priceMinor: number; criticality: string }>,
): Promise<void> {
  for (const [id, { priceMinor, criticality }] of prices)
    await tx.part.update({ where: { id }, data: { costMinor: history.costs.get(id) ?? priceMinor, criticality } })
  await inSlices(history.jobs, (data) => tx.job.createMany({ data }))
  await inSlices(history.targets, (data) => tx.jobTarget.createMany({ data }))
  await inSlices(history.needs, (data) => tx.jobNeed.createMany({ data }))
  await inSlices(history.checks, (data) => tx.jobCheck.createMany({ data }))
  await inSlices(
    history.orders.map(({ supplier, ...order }) => ({ ...order, supplierId: SUPPLIER_KEYS.indexOf(supplier) + 1 })),
    (data) => tx.purchaseOrder.createMany({ data }),
  )
  await inSlices(history.orderLines, (data) => tx.purchaseOrderLine.createMany({ data }))
  await inSlices(
    history.writes.map(({ content, answer, ...write }) => ({
      ...write,
      contentHash: createHash('sha256')
        .update(`${write.kind}\n${JSON.stringify(content)}`)
        .digest('hex'),
      answer: JSON.stringify(answer),
    })),
    (data) => tx.write.createMany({ data }),
  )
  const { movements, worth } = await valued(tx, history)
  await inSlices(movements, (data) => tx.movement.createMany({ data }))
  await inSlices(worth, (data) => tx.partValue.createMany({ data }))
  await inSlices(history.balances, (data) => tx.balance.createMany({ data }))
  await inSlices(
    history.levels.map((level) => ({ ...level, setAt: history.movements.at(-1)!.at })),
    (data) => tx.stockLevel.createMany({ data }),
  )
  await inSlices(history.readings, (data) => tx.hourReading.createMany({ data }))
  const last = new Map(history.readings.map((reading) => [reading.machineId, reading.hourTenths]))
  for (const [id, hourTenths] of last) await tx.machine.update({ where: { id }, data: { hourTenths } })
  await inSlices(
    history.entries.map((entry) => {
      const content = JSON.stringify(entry.content)
      return { ...entry, content, digest: entryDigest(content) }
    }),
    (data) => tx.serviceBookEntry.createMany({ data }),
  )
}

/** What each movement of the three years added to the value of the stock, and what the parts are worth at their end. */
async function valued(tx: Tx, history: History) {
  const parts = await tx.part.findMany({ select: { id: true, unit: true } })
  const scales = new Map(parts.map(({ id, unit }) => [id, quantityScale(unit as StockUnit)]))
  const pools = new Map<number, Pool>()
  const added = new Map<number, number>()
  const movements = history.movements.map((row) => {
    const { id, partId, kind, quantity, costMinor, reversesId } = row
    const pool = pools.get(partId) ?? EMPTY_POOL
    const reversedMinor = reversesId === null ? null : (added.get(reversesId) ?? null)
    const valueMinor = movementValue(pool, { kind, quantity, costMinor, reversedMinor }, scales.get(partId)!)
    pools.set(partId, pooled(pool, kind, quantity, valueMinor))
    added.set(id, valueMinor)
    return { ...row, valueMinor }
  })
  return { movements, worth: [...pools].map(([partId, pool]) => ({ partId, ...pool })) }
}
