import { BUYER, MECHANICS, STOREKEEPER } from '../../seed/estate/people.ts'
import { BARN } from '../../seed/estate/shelf.ts'
import { SUPPLIERS } from '../../seed/estate/suppliers.ts'
import { partFound } from '../catalogue/part-search.ts'
import { must } from '../must.ts'
import { orderPlace, orderRead } from './buying.ts'
import { database } from './client.ts'
import { offerDepositSet, oldUnitKeep } from './deposit.ts'
import { binsAdd } from './place.ts'
import { orderReceive } from './receiving.ts'
import { stockIssue, stockSetLevel } from './stock.ts'
import { inTransaction, type WriteContext } from './transaction.ts'

const MINUTE_MS = 60_000
const DAY_MS = 86_400_000

/** A starter that is bought rebuilt: the supplier charges a deposit until the old one is back. Invented, as all of the demo. */
const STARTER = {
  maker: 'Thornhollow Rebuilds',
  number: 'TR-1274',
  description: 'Starter motor 12 V, rebuilt, exchange',
  priceMinor: 16_800,
  depositMinor: 6_500,
  /** From the receipt: with the demo's making it falls due within the fortnight. */
  returnDays: 10,
}

/**
 * The exchange part of the demo: bought, fitted to a tractor between the end of the history and today's jobs, and its old unit on
 * the shelf to go back. `end` is the end of the history: movements run forward in time.
 */
export async function depositsMake(end: Date): Promise<void> {
  const context = (step: string, personId: string, minutes: number): WriteContext => ({
    key: `demo-deposit-${step}`,
    personId,
    now: new Date(end.getTime() + minutes * MINUTE_MS),
  })
  const db = database()
  const store = await db.store.findFirstOrThrow({ where: { name: BARN } })
  const supplier = await db.supplier.findFirstOrThrow({ where: { name: SUPPLIERS.factors.name } })
  const machine = await db.machine.findFirstOrThrow({ where: { fleetNumber: 'T-01' } })
  const shelf = await db.bin.findFirstOrThrow({ where: { storeId: store.id, code: 'F4-04' } })
  const { maker, number, description, priceMinor, depositMinor, returnDays } = STARTER
  const part = await inTransaction((tx) =>
    tx.part.create({
      data: {
        ...{ maker, number, description, ...partFound({ maker, number, description }) },
        partClass: 'electrical',
        criticality: 'vital',
        costMinor: priceMinor,
        offers: {
          create: { supplierId: supplier.id, supplierNumber: 'X-40117', priceMinor, preferred: true },
        },
      },
    }),
  )
  await offerDepositSet(context('offer', BUYER, 0), {
    partId: part.id,
    supplierId: supplier.id,
    depositMinor,
    returnDays,
  })
  await stockSetLevel(context('level', STOREKEEPER, 1), {
    partId: part.id,
    reorderPoint: 0,
    orderUpTo: 1,
    reason: 'a tractor that does not start stands',
  })
  const { binIds } = await binsAdd(context('bin', STOREKEEPER, 2), {
    storeId: store.id,
    codes: ['OLD-1'],
    kind: 'old-units',
  })
  await binsAdd(context('hold', STOREKEEPER, 2), { storeId: store.id, codes: ['Q-1'], kind: 'quarantine' })
  const { orderId } = await orderPlace(
    { ...context('order', BUYER, 0), now: new Date(end.getTime() - supplier.leadTimeDays * DAY_MS) },
    { supplierId: supplier.id, lines: [{ partId: part.id, quantity: 1 }] },
    new Map([[part.id, 'reorder point 0']]),
  )
  const [line] = (await orderRead(orderId)).lines
  must(line, 'the order of the starter has its line')
  await orderReceive(context('receive', STOREKEEPER, 10), {
    orderId,
    lines: [{ lineId: line.id, binId: shelf.id, quantity: 1 }],
  })
  await stockIssue(context('issue', MECHANICS[0], 40), {
    partId: part.id,
    binId: shelf.id,
    quantity: 1,
    machineId: machine.id,
    reason: 'starter turned, did not engage',
  })
  await oldUnitKeep(context('keep', MECHANICS[0], 45), {
    partId: part.id,
    binId: binIds[0]!,
    serialNumber: '88-20417',
    note: 'pinion worn, housing sound',
    machineId: machine.id,
  })
}
