import { randomChance, randomInteger, randomSeeded } from '../../lib/maths/random.ts'
import { EMPTY_POOL, movementValue, type Pool, pooled } from '../../lib/value/moving-average.ts'
import type { Sink } from './sink.ts'
import { DAYS, instant, type Sizes } from './sizes.ts'

const LINES_PER_WRITE = 4
const COST_MINOR = 1_250
/** A year's ordering leaves about one part in a hundred below its reorder point on any one day. */
const LOW_SHARE = 0.01

export interface Shelved {
  /** Part and bin pairs that hold the most, for the issues that are measured. */
  full: { partId: number; binId: number; quantity: number }[]
}

interface Pile {
  partId: number
  binId: number
  quantity: number
}

/**
 * Bins, suppliers, orders and the ledger. A tenth of the parts moves nine tenths of the time, as on a real shelf; every
 * balance is the sum of its movements and none falls below zero on the way.
 */
export async function partsShelve(sink: Sink, sizes: Sizes, personId: string): Promise<Shelved> {
  const bins = Math.max(20, Math.round(sizes.parts / 100))
  await sink.add('Store', { id: 1, name: 'Long barn', nameKey: 'long barn', kind: 'building' })
  await sink.add('Store', { id: 2, name: 'Van', nameKey: 'van', kind: 'van' })
  for (let id = 1; id <= bins; id++) {
    const code = `B-${String(id).padStart(4, '0')}`
    await sink.add('Bin', { id, storeId: id % 10 === 0 ? 2 : 1, code, codeKey: `b${id}`, walkOrder: id })
  }
  const piles = await ledgerMake(sink, sizes, bins, personId)
  const onHand = new Map<number, number>()
  for (const pile of piles.values()) {
    await sink.add('Balance', { ...pile })
    onHand.set(pile.partId, (onHand.get(pile.partId) ?? 0) + pile.quantity)
  }
  await buyingMake(sink, sizes, onHand, personId)
  const full = [...piles.values()].sort((a, b) => b.quantity - a.quantity).slice(0, 500)
  return { full }
}

async function ledgerMake(sink: Sink, sizes: Sizes, bins: number, personId: string): Promise<Map<number, Pile>> {
  const random = randomSeeded('bench ledger')
  const piles = new Map<number, Pile>()
  const worth = new Map<number, Pool>()
  const movers = Math.max(1, Math.round(sizes.parts / 10))
  for (let at = 0; at < sizes.movements; at++) {
    const partId = randomInteger(random, 1, randomChance(random, 0.9) ? movers : sizes.parts)
    // One part in four lies in a second bin.
    const second = partId % 4 === 0 && randomChance(random, 0.3)
    const binId = 1 + ((partId * 7 + (second ? 3 : 0)) % bins)
    const key = partId * 2 + (second ? 1 : 0)
    const pile = piles.get(key) ?? { partId, binId, quantity: 0 }
    piles.set(key, pile)
    const taken = randomInteger(random, 1, 4)
    const quantity = pile.quantity < taken ? randomInteger(random, 10, 60) : -taken
    pile.quantity += quantity
    const kind = quantity > 0 ? 'receive' : 'issue'
    const pool = worth.get(partId) ?? EMPTY_POOL
    const valueMinor = movementValue(pool, { kind, quantity, costMinor: COST_MINOR, reversedMinor: null }, 1)
    worth.set(partId, pooled(pool, kind, quantity, valueMinor))
    const write = Math.floor(at / LINES_PER_WRITE)
    const day = (at / sizes.movements) * DAYS
    await sink.add('Movement', {
      id: at + 1,
      kind,
      partId,
      binId,
      quantity,
      balanceAfter: pile.quantity,
      at: instant(day),
      personId,
      costMinor: COST_MINOR,
      valueMinor,
      reason: 'yard use',
      writeKey: `bench-ledger-${write}`,
      writeLine: at % LINES_PER_WRITE,
    })
    if (at % LINES_PER_WRITE === 0)
      await sink.add('Write', {
        key: `bench-ledger-${write}`,
        kind: 'stock.issue',
        contentHash: String(write).padStart(64, '0'),
        answer: '{"movements":[]}',
        personId,
        at: instant(day),
      })
  }
  for (const [partId, pool] of worth) await sink.add('PartValue', { partId, ...pool })
  return piles
}

async function buyingMake(sink: Sink, sizes: Sizes, onHand: Map<number, number>, personId: string): Promise<void> {
  const random = randomSeeded('bench buying')
  for (let id = 1; id <= 5; id++)
    await sink.add('Supplier', {
      id,
      name: `Supplier ${id}`,
      nameKey: `supplier ${id}`,
      leadTimeDays: id * 3,
      minimumOrderMinor: 5_000,
      carriageMinor: 950,
      carriagePaidFromMinor: 25_000,
    })
  for (const [partId, quantity] of onHand) {
    const low = randomChance(random, LOW_SHARE)
    const reorderPoint = low ? quantity + 2 : Math.max(0, Math.floor(quantity / 2) - 1)
    if (low || quantity > 0)
      await sink.add('StockLevel', {
        partId,
        reorderPoint,
        orderUpTo: reorderPoint + 20,
        reason: 'bench',
        setAt: instant(0),
      })
    await sink.add('Offer', {
      supplierId: 1 + (partId % 5),
      partId,
      supplierNumber: `${100_000 + partId}-${partId % 7}`,
      pack: 5,
      minimum: 5,
      priceMinor: 1_100,
      preferred: 1,
    })
  }
  const orders = Math.max(20, Math.round(sizes.movements / 500))
  for (let id = 1; id <= orders; id++) {
    const open = id > orders - 20
    await sink.add('PurchaseOrder', {
      id,
      number: id,
      supplierId: 1 + (id % 5),
      state: open ? 'ordered' : 'received',
      orderedAt: instant(0),
      dueOn: '2026-01-09',
      personId,
    })
    const first = randomInteger(random, 1, Math.max(1, sizes.parts - 20))
    for (let line = 0; line < 10; line++)
      await sink.add('PurchaseOrderLine', {
        orderId: id,
        partId: Math.min(sizes.parts, first + line),
        quantity: 20,
        received: open ? 0 : 20,
        cancelled: 0,
        priceMinor: 1_100,
        reason: 'bench',
      })
  }
}
