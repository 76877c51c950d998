import { nameKey } from '../catalogue/part-number.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import type { PartPackInput, PartPackOffInput } from '../stock/pack-schema.ts'
import { database } from './client.ts'
import { partHead } from './ledger.ts'
import { type WriteContext, write } from './transaction.ts'

export interface PartPackRow {
  id: number
  name: string
  /** Minor units of the part's stock unit in one of them. */
  quantity: number
}

/** How a part comes packed; a name that is there already gets the new quantity. */
export function partPackSet(context: WriteContext, input: PartPackInput): Promise<{ unit: StockUnit }> {
  return write(context, 'part.pack', input, async (tx) => {
    const { partId, name, quantity } = input
    const part = await partHead(tx, partId)
    await tx.partPack.upsert({
      where: { partId_nameKey: { partId, nameKey: nameKey(name) } },
      create: { partId, name, nameKey: nameKey(name), quantity },
      update: { name, quantity },
    })
    return { unit: part.unit as StockUnit }
  })
}

export function partPackOff(context: WriteContext, input: PartPackOffInput): Promise<null> {
  return write(context, 'part.pack-off', input, async (tx) => {
    const pack = await tx.partPack.findUnique({ where: { id: input.packId } })
    if (!pack) throw new Refusal('stock/unknown-pack')
    await tx.partPack.delete({ where: { id: pack.id } })
    return null
  })
}

/** The packs of each part, largest first. */
export async function partPacks(partIds: readonly number[]): Promise<Map<number, PartPackRow[]>> {
  const rows = await database().partPack.findMany({
    where: { partId: { in: [...new Set(partIds)] } },
    orderBy: [{ quantity: 'desc' }, { id: 'asc' }],
  })
  const packs = new Map<number, PartPackRow[]>()
  for (const { partId, id, name, quantity } of rows)
    packs.set(partId, [...(packs.get(partId) ?? []), { id, name, quantity }])
  return packs
}
