import { partFound } from '../catalogue/part-search.ts'
import type { DiscontinueInput, PartChangeInput, PartNewInput } from '../catalogue/schema.ts'
import { Refusal } from '../refusal.ts'
import { batchesSettle } from './batch.ts'
import { database, type Tx } from './client.ts'
import { partKnown } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

function partRow({ maker, number, description, partClass, unit, criticality }: PartNewInput) {
  return {
    maker,
    number,
    description,
    partClass,
    unit,
    criticality,
    ...partFound({ maker, number, description }),
  }
}

async function numberFree(tx: Tx, row: ReturnType<typeof partRow>, own: number | null): Promise<void> {
  const { makerKey, numberKey } = row
  const there = await tx.part.findUnique({ where: { makerKey_numberKey: { makerKey, numberKey } } })
  if (there && there.id !== own)
    throw new Refusal(
      'catalogue/part-exists',
      { maker: there.maker, number: there.number },
      { fields: { number: 'taken' } },
    )
}

/** Enters a part by hand. Refuses with 'catalogue/part-exists'. */
export function partCreate(context: WriteContext, input: PartNewInput): Promise<{ partId: number }> {
  return write(context, 'catalogue.part-new', input, async (tx) => {
    const row = partRow(input)
    await numberFree(tx, row, null)
    const part = await tx.part.create({ data: row, select: { id: true } })
    return { partId: part.id }
  })
}

/** Why the stock unit of a part can no longer be another: every quantity on file is written in it. */
async function unitUse(reader: Tx, partId: number): Promise<boolean> {
  const where = { partId }
  const counts = await Promise.all([
    reader.movement.count({ where, take: 1 }),
    reader.offer.count({ where, take: 1 }),
    reader.partsListLine.count({ where, take: 1 }),
    reader.purchaseOrderLine.count({ where, take: 1 }),
    reader.orderDraftLine.count({ where, take: 1 }),
    reader.jobNeed.count({ where, take: 1 }),
    reader.stockLevel.count({ where, take: 1 }),
    reader.kitContent.count({ where: { contentId: partId }, take: 1 }),
  ])
  return counts.some((count) => count > 0)
}

export interface PartToEdit extends PartNewInput {
  id: number
  unitLocked: boolean
  discontinuedOn: string | null
  discontinuedNote: string | null
}

export async function partToEdit(partId: number): Promise<PartToEdit> {
  const db = database() as unknown as Tx
  const part = await partKnown(db, partId)
  return {
    id: part.id,
    maker: part.maker,
    number: part.number,
    description: part.description,
    partClass: part.partClass as PartNewInput['partClass'],
    unit: part.unit as PartNewInput['unit'],
    criticality: part.criticality as PartNewInput['criticality'],
    unitLocked: await unitUse(db, partId),
    discontinuedOn: part.discontinuedOn,
    discontinuedNote: part.discontinuedNote,
  }
}

/** Changes what a part is called and how it counts. Refuses with 'catalogue/unit-locked' and 'catalogue/part-exists'. */
export function partChange(context: WriteContext, input: PartChangeInput): Promise<{ partId: number }> {
  return write(context, 'catalogue.part-change', input, async (tx) => {
    const before = await partKnown(tx, input.partId)
    if (before.unit !== input.unit && (await unitUse(tx, before.id)))
      throw new Refusal(
        'catalogue/unit-locked',
        { number: before.number, unit: before.unit },
        { fields: { unit: `stays ${before.unit}` } },
      )
    const row = partRow(input)
    await numberFree(tx, row, before.id)
    await tx.part.update({ where: { id: before.id }, data: row })
    await batchesSettle(tx, context, 0, [before.id])
    return { partId: before.id }
  })
}

/** Marks a part as no longer made: from now on it is never proposed for an order. */
export function partDiscontinue(context: WriteContext, input: DiscontinueInput): Promise<null> {
  return write(context, 'catalogue.discontinue', input, async (tx) => {
    await partKnown(tx, input.partId)
    await tx.part.update({
      where: { id: input.partId },
      data: { discontinuedOn: input.on, discontinuedNote: input.note },
    })
    return null
  })
}

/** Takes the mark off again: it was wrong, or the maker took the part up again. */
export function partContinue(context: WriteContext, input: { partId: number }): Promise<null> {
  return write(context, 'catalogue.continue', input, async (tx) => {
    await partKnown(tx, input.partId)
    await tx.part.update({ where: { id: input.partId }, data: { discontinuedOn: null, discontinuedNote: null } })
    return null
  })
}
