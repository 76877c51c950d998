import { BATCHED_MAKER, BATCHED_PARTS } from '../../seed/estate/batches.ts'
import { STOREKEEPER } from '../../seed/estate/people.ts'
import { daysLater } from '../stock/batch.ts'
import { batchPartSet, dayOf } from './batch.ts'
import { database } from './client.ts'
import { partCreate } from './part-edit.ts'
import { stockIssue, stockReceive } from './stock.ts'
import type { WriteContext } from './transaction.ts'

const DAY_MS = 86_400_000

/** Parts of the estate that spoil, booked as the storekeeper would have: each batch on the day it came. */
export async function demoBatchesPlace(now: Date): Promise<void> {
  const db = database()
  const bin = await db.bin.findFirst({
    where: { code: { startsWith: 'E' }, kind: 'shelf' },
    orderBy: [{ storeId: 'asc' }, { walkOrder: 'asc' }],
  })
  const machine = await db.machine.findFirst({ orderBy: { id: 'asc' } })
  if (!bin || !machine) return
  for (const {
    number,
    description,
    partClass,
    asksBatch,
    shelfLifeMonths,
    costMinor,
    batches,
    taken,
  } of BATCHED_PARTS) {
    const context = (step: string, daysAgo: number): WriteContext => ({
      key: `demo-batch-${number}-${step}`,
      personId: STOREKEEPER,
      now: new Date(now.getTime() - daysAgo * DAY_MS),
    })
    const first = Math.max(...batches.map((batch) => batch.cameDaysAgo))
    const part = {
      maker: BATCHED_MAKER,
      number,
      description,
      partClass,
      unit: 'each',
      criticality: 'desirable',
    } as const
    const { partId } = await partCreate(context('part', first), part)
    await batchPartSet(context('rule', first), { partId, asksBatch, asksUseBy: true, shelfLifeMonths })
    for (const [at, { code, cameDaysAgo, daysLeft, quantity }] of batches.entries())
      await stockReceive(context(`came-${at}`, cameDaysAgo), {
        partId,
        binId: bin.id,
        quantity,
        costMinor,
        useBy: daysLater(dayOf(now), daysLeft),
        ...(code === undefined ? {} : { batch: code }),
      })
    if (taken)
      await stockIssue(context('taken', taken.daysAgo), {
        partId,
        binId: bin.id,
        quantity: taken.quantity,
        machineId: machine.id,
        reason: 'cab and tank mended',
      })
  }
}
