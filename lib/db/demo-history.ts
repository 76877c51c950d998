import { createHash } from 'node:crypto'
import type { History } from '../../seed/estate/rows.ts'
import { SUPPLIER_KEYS } from '../../seed/estate/suppliers.ts'
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
  await inSlices(history.movements, (data) => tx.movement.createMany({ data }))
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
