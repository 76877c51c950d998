import { Refusal } from '../refusal.ts'
import { type BinKind, binKindOf, type StoreKind } from '../stock/bin-kind.ts'
import { database } from './client.ts'

export interface StoreRow {
  id: number
  name: string
  kind: StoreKind
  /** In use. */
  bins: number
}

export async function storesToSetUp(): Promise<StoreRow[]> {
  const stores = await database().store.findMany({
    include: { _count: { select: { bins: { where: { closedAt: null, kind: { not: 'on-the-way' } } } } } },
    orderBy: { name: 'asc' },
  })
  return stores.map(({ id, name, kind, _count }) => ({ id, name, kind: kind as StoreKind, bins: _count.bins }))
}

export interface BinRow {
  id: number
  code: string
  kind: BinKind
  /** Place on the walk, counted from 1. */
  place: number
  square: { column: number; row: number } | null
  parts: number
}

export interface StoreView {
  id: number
  name: string
  kind: StoreKind
  /** In walking order. */
  bins: BinRow[]
  closed: { id: number; code: string }[]
}

/** A store with its bins, for setting it up and for its map. Refuses with 'stock/unknown-store'. */
export async function storeRead(storeId: number): Promise<StoreView> {
  const store = await database().store.findUnique({
    where: { id: storeId },
    include: {
      bins: {
        where: { kind: { not: 'on-the-way' } },
        orderBy: [{ walkOrder: 'asc' }, { id: 'asc' }],
        include: { _count: { select: { balances: { where: { quantity: { gt: 0 } } } } } },
      },
    },
  })
  if (!store) throw new Refusal('stock/unknown-store')
  const inUse = store.bins.filter((bin) => bin.closedAt === null)
  return {
    id: store.id,
    name: store.name,
    kind: store.kind as StoreKind,
    bins: inUse.map((bin, at) => ({
      id: bin.id,
      code: bin.code,
      kind: binKindOf(bin.kind),
      place: at + 1,
      square: bin.mapColumn === null || bin.mapRow === null ? null : { column: bin.mapColumn, row: bin.mapRow },
      parts: bin._count.balances,
    })),
    closed: store.bins.filter((bin) => bin.closedAt !== null).map(({ id, code }) => ({ id, code })),
  }
}

export interface PartBinRow {
  binId: number
  bin: string
  store: string
  kind: 'fixed' | 'overflow'
}

/** Where a part belongs: fixed bins first, then those for what does not fit. */
export async function partBins(partId: number): Promise<PartBinRow[]> {
  const rows = await database().partBin.findMany({
    where: { partId },
    include: { bin: { include: { store: true } } },
    orderBy: [{ kind: 'asc' }, { bin: { walkOrder: 'asc' } }],
  })
  return rows.map(({ binId, bin, kind }) => ({
    binId,
    bin: bin.code,
    store: bin.store.name,
    kind: kind as PartBinRow['kind'],
  }))
}
