import { nameKey, partNumberKey } from '../catalogue/part-number.ts'
import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import { walkMoved } from '../stock/bin-kind.ts'
import type {
  BinChangeInput,
  BinEmptyInput,
  BinInput,
  BinMapInput,
  BinsAddInput,
  BinWalkInput,
  PartBinInput,
  PartBinOffInput,
  StoreAddInput,
  StoreChangeInput,
} from '../stock/place-schema.ts'
import { allocationsRefresh } from './allocation.ts'
import type { Tx } from './client.ts'
import { movementPlace, partHead } from './ledger.ts'
import { binInUse } from './stock.ts'
import { type WriteContext, write } from './transaction.ts'

async function storeOf(tx: Tx, storeId: number) {
  const store = await tx.store.findUnique({ where: { id: storeId } })
  if (!store) throw new Refusal('stock/unknown-store')
  return store
}

async function storeNameFree(tx: Tx, name: string, storeId: number | null): Promise<void> {
  const other = await tx.store.findUnique({ where: { nameKey: nameKey(name) } })
  if (other && other.id !== storeId)
    throw new Refusal('stock/store-taken', { store: other.name }, { fields: { name: 'taken already' } })
}

/** A building, a van, a container: whatever has bins of its own. */
export function storeAdd(context: WriteContext, input: StoreAddInput): Promise<{ storeId: number }> {
  return write(context, 'place.store-add', input, async (tx) => {
    await storeNameFree(tx, input.name, null)
    const store = await tx.store.create({ data: { ...input, nameKey: nameKey(input.name) } })
    return { storeId: store.id }
  })
}

export function storeChange(context: WriteContext, input: StoreChangeInput): Promise<null> {
  return write(context, 'place.store-change', input, async (tx) => {
    const { storeId, name, kind } = input
    await storeOf(tx, storeId)
    await storeNameFree(tx, name, storeId)
    await tx.store.update({ where: { id: storeId }, data: { name, nameKey: nameKey(name), kind } })
    return null
  })
}

async function binCodeFree(
  tx: Tx,
  store: { id: number; name: string },
  code: string,
  field: string,
  binId: number | null,
): Promise<void> {
  const other = await tx.bin.findUnique({
    where: { storeId_codeKey: { storeId: store.id, codeKey: partNumberKey(code) } },
  })
  if (other && other.id !== binId)
    throw new Refusal(
      'stock/bin-taken',
      { store: store.name, bin: other.code },
      { fields: { [field]: `${other.code} is there${other.closedAt ? ', closed' : ''}` } },
    )
}

/** New bins at the end of the walk through the store, in the order they were entered. */
export function binsAdd(context: WriteContext, input: BinsAddInput): Promise<{ binIds: number[] }> {
  return write(context, 'place.bins-add', input, async (tx) => {
    const store = await storeOf(tx, input.storeId)
    const last = await tx.bin.aggregate({ where: { storeId: store.id }, _max: { walkOrder: true } })
    const binIds: number[] = []
    for (const [at, code] of input.codes.entries()) {
      await binCodeFree(tx, store, code, 'codes', null)
      const bin = await tx.bin.create({
        data: {
          storeId: store.id,
          code,
          codeKey: partNumberKey(code),
          kind: input.kind,
          walkOrder: (last._max.walkOrder ?? 0) + at + 1,
        },
      })
      binIds.push(bin.id)
    }
    return { binIds }
  })
}

/** Bins in use in the order of the walk. */
async function walkOf(tx: Tx, storeId: number): Promise<{ id: number; walkOrder: number }[]> {
  return tx.bin.findMany({
    where: { storeId, closedAt: null, kind: { not: 'on-the-way' } },
    select: { id: true, walkOrder: true },
    orderBy: [{ walkOrder: 'asc' }, { id: 'asc' }],
  })
}

/** Puts a bin elsewhere on the walk and numbers all of it anew: bins of a list may share a number. */
async function walkKeep(tx: Tx, storeId: number, binId: number, to: 'earlier' | 'later' | number): Promise<number> {
  const walk = await walkOf(tx, storeId)
  const before = new Map(walk.map((bin) => [bin.id, bin.walkOrder]))
  const order = walkMoved(
    walk.map((bin) => bin.id),
    binId,
    to,
  )
  for (const [at, id] of order.entries())
    if (before.get(id) !== at + 1) await tx.bin.update({ where: { id }, data: { walkOrder: at + 1 } })
  return order.indexOf(binId) + 1
}

/** One step earlier or later on the walk; answers where the bin stands now. */
export function binWalk(context: WriteContext, input: BinWalkInput): Promise<{ code: string; place: number }> {
  return write(context, 'place.bin-walk', input, async (tx) => {
    const bin = await binInUse(tx, input.binId)
    return { code: bin.code, place: await walkKeep(tx, bin.storeId, bin.id, input.to) }
  })
}

/** Code, purpose and place on the walk. What becomes quarantine is promised to nobody from then on. */
export function binChange(context: WriteContext, input: BinChangeInput): Promise<{ code: string }> {
  return write(context, 'place.bin-change', input, async (tx) => {
    const bin = await binInUse(tx, input.binId)
    const { code, kind, place } = input
    await binCodeFree(tx, bin.store, code, 'code', bin.id)
    // An old unit is never to lie among what is free to take.
    if (kind !== bin.kind && kind !== 'old-units' && (await tx.oldUnit.count({ where: { binId: bin.id } })) > 0)
      throw new Refusal('deposit/bin-in-use', { bin: bin.code }, { fields: { kind: 'old units lie here' } })
    await tx.bin.update({ where: { id: bin.id }, data: { code, codeKey: partNumberKey(code), kind } })
    await walkKeep(tx, bin.storeId, bin.id, place)
    if (kind !== bin.kind) {
      const parts = await tx.balance.findMany({ where: { binId: bin.id, quantity: { gt: 0 } } })
      for (const { partId } of parts) await allocationsRefresh(tx, context, partId)
    }
    return { code }
  })
}

/** Where the bin stands on the map of its store; null takes it off. */
export function binMap(
  context: WriteContext,
  input: BinMapInput,
): Promise<{ code: string; square: { column: number; row: number } | null }> {
  return write(context, 'place.bin-map', input, async (tx) => {
    const bin = await binInUse(tx, input.binId)
    const { mapColumn, mapRow } = input
    await tx.bin.update({ where: { id: bin.id }, data: { mapColumn, mapRow } })
    return { code: bin.code, square: mapColumn === null || mapRow === null ? null : { column: mapColumn, row: mapRow } }
  })
}

/** Takes an empty bin out of use. Its movements stay; no part belongs there any more. */
export function binClose(context: WriteContext, input: BinInput): Promise<{ code: string }> {
  return write(context, 'place.bin-close', input, async (tx) => {
    const bin = await binInUse(tx, input.binId)
    const parts = await tx.balance.count({ where: { binId: bin.id, quantity: { gt: 0 } } })
    if (parts > 0)
      throw new Refusal('stock/bin-not-empty', {
        bin: bin.code,
        parts: `${counted(parts, 'part')} ${parts === 1 ? 'lies' : 'lie'}`,
      })
    const oldUnits = await tx.oldUnit.count({ where: { binId: bin.id } })
    if (oldUnits > 0)
      throw new Refusal('stock/bin-not-empty', {
        bin: bin.code,
        parts: `${counted(oldUnits, 'old unit')} ${oldUnits === 1 ? 'lies' : 'lie'}`,
      })
    await tx.partBin.deleteMany({ where: { binId: bin.id } })
    await tx.bin.update({ where: { id: bin.id }, data: { closedAt: context.now, mapColumn: null, mapRow: null } })
    return { code: bin.code }
  })
}

export function binReopen(context: WriteContext, input: BinInput): Promise<{ code: string }> {
  return write(context, 'place.bin-reopen', input, async (tx) => {
    const bin = await binInUse(tx, input.binId)
    await tx.bin.update({ where: { id: bin.id }, data: { closedAt: null } })
    return { code: bin.code }
  })
}

/**
 * Moves everything that lies in a bin into another one, all of it in one write: what belongs to a batch goes as that batch.
 * Refuses with 'stock/nothing-to-move'.
 */
export function binEmptyInto(
  context: WriteContext,
  input: BinEmptyInput,
): Promise<{ from: string; to: string; parts: number }> {
  return write(context, 'place.bin-move', input, async (tx) => {
    if (input.fromBinId === input.toBinId)
      throw new Refusal(
        'input/invalid',
        { what: 'both bins are the same' },
        { fields: { toBinId: 'choose another bin' } },
      )
    const [from, to] = [await binInUse(tx, input.fromBinId), await binInUse(tx, input.toBinId)]
    const there = await tx.balance.findMany({
      where: { binId: from.id, quantity: { gt: 0 } },
      orderBy: { partId: 'asc' },
    })
    if (there.length === 0) throw new Refusal('stock/nothing-to-move', { bin: from.code })
    const batches = await tx.batchBalance.findMany({
      where: { binId: from.id, quantity: { gt: 0 } },
      include: { batch: { select: { partId: true } } },
    })
    let line = 0
    for (const { partId, quantity } of there) {
      const own = batches.filter(({ batch }) => batch.partId === partId)
      const loose = quantity - own.reduce((sum, batch) => sum + batch.quantity, 0)
      const lots = own.map(({ batchId, quantity: of }) => ({ batchId, quantity: of }))
      for (const lot of loose > 0 ? [...lots, { quantity: loose }] : lots) {
        const move = { partId, reason: `whole bin ${from.code} moved`, ...lot }
        await movementPlace(tx, context, line++, {
          ...move,
          kind: 'transfer-out',
          binId: from.id,
          quantity: -lot.quantity,
        })
        await movementPlace(tx, context, line++, { ...move, kind: 'transfer-in', binId: to.id })
      }
      await allocationsRefresh(tx, context, partId)
    }
    return { from: from.code, to: to.code, parts: there.length }
  })
}

/** Says where a part belongs. A part has one fixed bin in a store: a new one takes the place of the old. */
export function partBinSet(
  context: WriteContext,
  input: PartBinInput,
): Promise<{ bin: string; kind: 'fixed' | 'overflow' }> {
  return write(context, 'place.part-bin', input, async (tx) => {
    await partHead(tx, input.partId)
    const bin = await binInUse(tx, input.binId)
    if (bin.closedAt) throw new Refusal('stock/bin-closed', { bin: bin.code }, { fields: { binId: 'closed' } })
    if (input.kind === 'fixed')
      await tx.partBin.deleteMany({ where: { partId: input.partId, kind: 'fixed', bin: { storeId: bin.storeId } } })
    await tx.partBin.upsert({
      where: { partId_binId: { partId: input.partId, binId: input.binId } },
      create: input,
      update: { kind: input.kind },
    })
    return { bin: bin.code, kind: input.kind }
  })
}

export function partBinOff(context: WriteContext, input: PartBinOffInput): Promise<null> {
  return write(context, 'place.part-bin-off', input, async (tx) => {
    await tx.partBin.deleteMany({ where: input })
    return null
  })
}
