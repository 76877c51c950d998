import type { BinHolding } from '../job/pick-list.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { type BinKind, binKindOf } from '../stock/bin-kind.ts'
import { database } from './client.ts'
import { freeBin } from './free-bins.ts'
import { type PartStock, partStock } from './part.ts'

export async function storesList() {
  return database().store.findMany({ orderBy: { name: 'asc' } })
}

/**
 * Every bin in use in walking order, with the number of parts that lie in it; for the list of bins and the bin pickers. Closed
 * bins are left out, and those of goods on the way: those are filled and emptied by sending and by arrival.
 */
export async function binsList(): Promise<
  { id: number; code: string; store: string; storeId: number; kind: BinKind; parts: number; oldUnits: number }[]
> {
  const bins = await database().bin.findMany({
    where: { closedAt: null, kind: { not: 'on-the-way' } },
    include: { store: true, _count: { select: { balances: { where: { quantity: { gt: 0 } } }, oldUnits: true } } },
    orderBy: [{ store: { name: 'asc' } }, { walkOrder: 'asc' }, { id: 'asc' }],
  })
  return bins.map((bin) => ({
    id: bin.id,
    code: bin.code,
    store: bin.store.name,
    storeId: bin.storeId,
    kind: binKindOf(bin.kind),
    parts: bin._count.balances,
    oldUnits: bin._count.oldUnits,
  }))
}

/**
 * What a bin holds, by part number, for the bin view and for counting it. Parts that lay here before are in it with 0, so
 * that a find can be counted in. Refuses with 'stock/unknown-bin'.
 */
export async function binRead(binId: number) {
  const db = database()
  const bin = await db.bin.findUnique({
    where: { id: binId },
    include: { store: true, balances: { include: { part: { include: { level: true } } } } },
  })
  if (!bin) throw new Refusal('stock/unknown-bin', { bin: binId })
  const stock = await partStock(
    db,
    bin.balances.map((row) => row.partId),
  )
  return {
    id: bin.id,
    code: bin.code,
    store: bin.store.name,
    kind: binKindOf(bin.kind),
    closed: bin.closedAt !== null,
    parts: bin.balances
      .sort((a, b) => (a.part.numberKey < b.part.numberKey ? -1 : 1))
      .map(
        ({ part, quantity }): BinPart => ({
          partId: part.id,
          number: part.number,
          description: part.description,
          unit: part.unit as StockUnit,
          quantity,
          stock: stock.get(part.id)!,
          reorderPoint: part.level?.reorderPoint ?? null,
        }),
      ),
  }
}

export interface BinPart {
  partId: number
  number: string
  description: string
  unit: StockUnit
  /** In this bin, minor units. */
  quantity: number
  /** Over all bins. */
  stock: PartStock
  reorderPoint: number | null
}

/** A part that has never lain in the bin, ready to be counted into it; null when the part is unknown. */
export async function binPartNew(partId: number): Promise<BinPart | null> {
  const db = database()
  const part = await db.part.findUnique({ where: { id: partId }, include: { level: true } })
  if (!part) return null
  const { id, number, description, unit, level } = part
  const stock = (await partStock(db, [id])).get(id)!
  return {
    partId: id,
    number,
    description,
    unit: unit as StockUnit,
    quantity: 0,
    stock,
    reorderPoint: level?.reorderPoint ?? null,
  }
}

/** The names that a sentence about a movement needs. */
export async function placeNames(
  partId: number,
  binId: number,
): Promise<{ number: string; unit: StockUnit; bin: string }> {
  const db = database()
  const [part, bin] = await Promise.all([
    db.part.findUnique({ where: { id: partId }, select: { number: true, unit: true } }),
    db.bin.findUnique({ where: { id: binId }, select: { code: true } }),
  ])
  if (!part) throw new Refusal('stock/unknown-part', { part: partId })
  if (!bin) throw new Refusal('stock/unknown-bin', { bin: binId })
  return { number: part.number, unit: part.unit as StockUnit, bin: bin.code }
}

/** Which bins hold the parts to take; empty bins are left out, and those that nobody takes from. */
export async function binHoldings(partIds: readonly number[]): Promise<Map<number, BinHolding[]>> {
  const rows = await database().balance.findMany({
    where: { partId: { in: [...new Set(partIds)] }, quantity: { gt: 0 }, ...freeBin },
    include: { bin: { include: { store: true } } },
  })
  const holdings = new Map<number, BinHolding[]>()
  for (const row of rows) {
    const list = holdings.get(row.partId) ?? []
    list.push({
      binId: row.binId,
      bin: row.bin.code,
      store: row.bin.store.name,
      storeId: row.bin.storeId,
      walkOrder: row.bin.walkOrder,
      quantity: row.quantity,
    })
    holdings.set(row.partId, list)
  }
  return holdings
}
