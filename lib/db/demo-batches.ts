import { BATCHED_MAKER, BATCHED_PARTS } from '../../seed/estate/batches.ts'
import { STOREKEEPER } from '../../seed/estate/people.ts'
import { daysLater } from '../stock/batch.ts'
import { batchPartSet, dayOf } from './batch.ts'
import { database } from './client.ts'
import { partCreate } from './part-edit.ts'
import { stockIssue, stockReceive } from './stock.ts'
import type { WriteContext } from './transaction.ts'

/** The ledger runs forward: the cupboard is booked in when everything else of the estate has happened. */
const BEGAN_SECONDS_AGO = 50

/** Parts of the estate that spoil, booked in from the cupboard where they lay, with what is written on the packs. */
export async function demoBatchesPlace(now: Date): Promise<void> {
  const db = database()
  const bin = await db.bin.findFirst({
    where: { code: { startsWith: 'E' }, kind: 'shelf' },
    orderBy: [{ storeId: 'asc' }, { walkOrder: 'asc' }],
  })
  let booked = 0
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
    const context = (step: string): WriteContext => ({
      key: `demo-batch-${number}-${step}`,
      personId: STOREKEEPER,
      now: new Date(now.getTime() - (BEGAN_SECONDS_AGO - booked++) * 1000),
    })
    const part = {
      maker: BATCHED_MAKER,
      number,
      description,
      partClass,
      unit: 'each',
      criticality: 'desirable',
    } as const
    const { partId } = await partCreate(context('part'), part)
    await batchPartSet(context('rule'), { partId, asksBatch, asksUseBy: true, shelfLifeMonths })
    for (const [at, { code, daysLeft, quantity }] of batches.entries())
      await stockReceive(context(`came-${at}`), {
        partId,
        binId: bin.id,
        quantity,
        costMinor,
        reason: 'from the old cupboard',
        useBy: daysLater(dayOf(now), daysLeft),
        expiredKept: true,
        ...(code === undefined ? {} : { batch: code }),
      })
    if (taken)
      await stockIssue(context('taken'), {
        partId,
        binId: bin.id,
        quantity: taken,
        machineId: machine.id,
        reason: 'cab and tank mended',
      })
  }
}
