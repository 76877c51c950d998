import { CONSUMABLE_CLASSES, type PartClass } from '../catalogue/part-class.ts'
import type { PartOnFile } from '../companion/suggest.ts'
import type { PartFacts } from '../figure/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import type { database, Tx } from './client.ts'

/** Parts on file that a rule may reach for, whether or not a figure lists them. */
export async function shelfCandidates(reader: Tx | ReturnType<typeof database>): Promise<PartOnFile[]> {
  const parts = await (reader as Tx).part.findMany({
    where: { partClass: { in: [...CONSUMABLE_CLASSES] } },
    select: { id: true, number: true, description: true, partClass: true, unit: true, facts: true },
    orderBy: { id: 'asc' },
    take: 2000,
  })
  return parts.map((part) => ({
    partId: part.id,
    partNumber: part.number,
    description: part.description,
    partClass: part.partClass as PartClass,
    unit: part.unit as StockUnit,
    partFacts: JSON.parse(part.facts) as PartFacts,
  }))
}
