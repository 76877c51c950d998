import type { SupersedeForm, SupersessionChangeInput } from '../catalogue/schema.ts'
import { supersessionResolve } from '../catalogue/supersession.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { slices } from './exchange-rows.ts'
import { type PartStock, partStock, supersessionLinks, supersessionPlace } from './part.ts'
import { partKnown, partTyped } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/** "This part is replaced by the one written down." Refuses loops ('catalogue/cycle') and what is entered already. */
export function supersede(context: WriteContext, input: SupersedeForm): Promise<null> {
  return write(context, 'catalogue.supersede', input, async (tx) => {
    const old = await partKnown(tx, input.partId)
    const fresh = await partTyped(tx, input)
    if (fresh.id === old.id) throw new Refusal('catalogue/same-part', { number: old.number })
    const link = { oldPartId: old.id, newPartId: fresh.id }
    const there = await tx.supersession.findUnique({ where: { oldPartId_newPartId: link } })
    if (there) throw new Refusal('catalogue/known-link', { number: fresh.number, part: old.number })
    await supersessionPlace(tx, context.now, {
      ...link,
      ratio: input.ratio,
      interchange: input.interchange,
      ...(input.note ? { note: input.note } : {}),
    })
    return null
  })
}

/** Changes how many, which way and the note; the two parts stay, so no loop can come of it. */
export function supersessionChange(context: WriteContext, input: SupersessionChangeInput): Promise<null> {
  return write(context, 'catalogue.supersession-change', input, async (tx) => {
    const { count } = await tx.supersession.updateMany({
      where: { id: input.linkId },
      data: { ratio: input.ratio, interchange: input.interchange, note: input.note ?? null },
    })
    if (count === 0) throw new Refusal('catalogue/no-such')
    return null
  })
}

export function supersessionRemove(context: WriteContext, input: { linkId: number }): Promise<null> {
  return write(context, 'catalogue.supersession-remove', input, async (tx) => {
    const { count } = await tx.supersession.deleteMany({ where: { id: input.linkId } })
    if (count === 0) throw new Refusal('catalogue/no-such')
    return null
  })
}

export interface ChainStep {
  partId: number
  number: string
  description: string
  unit: string
  discontinuedOn: string | null
  stock: PartStock
  /** New stock units of the end of the chain that do the work of one of this part. */
  ratioToEnd: number
  /** How this part follows the one before it; null for the first. */
  link: { id: number; ratio: number; interchange: string; note: string | null } | null
}

export interface Chain {
  /** From what this part replaces, oldest first, over the part itself to what can be ordered now. */
  steps: ChainStep[]
  /** Where the part itself stands in `steps`. */
  at: number
  /** Links of this part itself, for changing. */
  own: { id: number; newPartId: number; number: string; ratio: number; interchange: string; note: string | null }[]
  /** Parts that lead here by another way than the chain shown. */
  others: { partId: number; number: string; available: number }[]
}

/**
 * The whole chain of supersession a part stands in. Several parts may be replaced by one: the way back follows the link entered
 * last, the rest is named as `others`.
 */
export async function supersessionChain(partId: number): Promise<Chain> {
  const db = database()
  const links = await supersessionLinks(db, [partId])
  const rows = await db.supersession.findMany({
    where: { OR: links.map(({ oldPartId, newPartId }) => ({ oldPartId, newPartId })) },
    orderBy: { id: 'asc' },
  })
  const forward = supersessionResolve(partId, links).chain
  const back: number[] = []
  for (let at = partId; ; ) {
    // Only a link that the resolution of its old part really follows leads here.
    const before = links.findLast(
      (link) => link.newPartId === at && supersessionResolve(link.oldPartId, links).chain[1] === at,
    )
    if (!before || back.includes(before.oldPartId) || forward.includes(before.oldPartId)) break
    at = before.oldPartId
    back.unshift(at)
  }
  const ids = [...back, ...forward]
  const all = [...new Set([...ids, ...links.flatMap((link) => [link.oldPartId, link.newPartId])])]
  const [parts, stock] = await Promise.all([
    db.part.findMany({
      where: { id: { in: all } },
      select: { id: true, number: true, description: true, unit: true, discontinuedOn: true },
    }),
    partStock(db, all),
  ])
  const partOf = new Map(parts.map((part) => [part.id, part]))
  const number = (id: number) => partOf.get(id)?.number ?? String(id)
  return {
    at: back.length,
    steps: ids.map((id, index) => {
      const part = partOf.get(id)
      const row = index === 0 ? null : rows.findLast((one) => one.oldPartId === ids[index - 1] && one.newPartId === id)
      return {
        partId: id,
        number: number(id),
        description: part?.description ?? '',
        unit: part?.unit ?? 'each',
        discontinuedOn: part?.discontinuedOn ?? null,
        stock: stock.get(id)!,
        ratioToEnd: supersessionResolve(id, links).ratio,
        link: row ? { id: row.id, ratio: row.ratio, interchange: row.interchange, note: row.note } : null,
      }
    }),
    own: rows
      .filter((row) => row.oldPartId === partId)
      .map((row) => ({
        id: row.id,
        newPartId: row.newPartId,
        number: number(row.newPartId),
        ratio: row.ratio,
        interchange: row.interchange,
        note: row.note,
      })),
    others: all
      .filter((id) => !ids.includes(id))
      .map((id) => ({ partId: id, number: number(id), available: stock.get(id)?.available ?? 0 })),
  }
}

/** Whether a discontinued part at the end of a chain leaves nothing to order; for the order list. */
export async function partsDiscontinued(
  reader: Tx | ReturnType<typeof database>,
  partIds: readonly number[],
): Promise<Map<number, { on: string; note: string }>> {
  const gone = new Map<number, { on: string; note: string }>()
  // A statement takes a limited number of values.
  for (const slice of slices([...new Set(partIds)], 500)) {
    const rows = await (reader as Tx).part.findMany({
      where: { id: { in: slice }, discontinuedOn: { not: null } },
      select: { id: true, discontinuedOn: true, discontinuedNote: true },
    })
    for (const row of rows) gone.set(row.id, { on: row.discontinuedOn!, note: row.discontinuedNote ?? '' })
  }
  return gone
}
