import type { AlternativeForm, AlternativeUseInput } from '../catalogue/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import { dayOf } from './batch.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead, planRefresh } from './job.ts'
import { partStock } from './part.ts'
import { partKnown, partTyped, personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

export interface AlternativeView {
  id: number
  partId: number
  number: string
  maker: string
  description: string
  unit: StockUnit
  available: number
  /** True when it may stand in for the part asked about; false when only the part may stand in for it. */
  serves: boolean
  bothWays: boolean
  reason: string
  approvedBy: string
  approvedAt: Date
  withdrawn: { by: string; at: Date } | null
}

/** Approves another part for the same work, one for one. Who does it is written down as the one who approved. */
export function alternativeApprove(context: WriteContext, input: AlternativeForm): Promise<null> {
  return write(context, 'catalogue.alternative', input, async (tx) => {
    const wanted = await partKnown(tx, input.partId)
    const used = await partTyped(tx, input)
    if (used.id === wanted.id) throw new Refusal('catalogue/same-part', { number: wanted.number })
    if (used.unit !== wanted.unit)
      throw new Refusal('input/invalid', {
        what: `${used.number} is kept by the ${used.unit}, ${wanted.number} by the ${wanted.unit}; an alternative is one for one`,
      })
    const there = await tx.alternative.findFirst({
      where: {
        withdrawnAt: null,
        OR: [
          { wantedPartId: wanted.id, usedPartId: used.id },
          { wantedPartId: used.id, usedPartId: wanted.id, interchange: 'both-ways' },
        ],
      },
    })
    if (there) throw new Refusal('catalogue/known-link', { number: used.number, part: wanted.number })
    await tx.alternative.create({
      data: {
        wantedPartId: wanted.id,
        usedPartId: used.id,
        interchange: input.interchange,
        reason: input.reason,
        approvedById: context.personId,
        approvedAt: context.now,
      },
    })
    return null
  })
}

/** Takes an approval back. It stays on the card with who and when, because parts may have been fitted under it. */
export function alternativeWithdraw(context: WriteContext, input: { alternativeId: number }): Promise<null> {
  return write(context, 'catalogue.alternative-withdraw', input, async (tx) => {
    const { count } = await tx.alternative.updateMany({
      where: { id: input.alternativeId, withdrawnAt: null },
      data: { withdrawnAt: context.now, withdrawnById: context.personId },
    })
    if (count === 0) throw new Refusal('catalogue/no-such')
    return null
  })
}

/** The alternatives of many parts by part id, in the order they were approved; `withdrawn` ones too where asked. */
export async function alternativesOf(
  partIds: readonly number[],
  withWithdrawn = false,
): Promise<Map<number, AlternativeView[]>> {
  const db = database() as unknown as Tx
  const ids = [...new Set(partIds)]
  const found = new Map<number, AlternativeView[]>()
  if (ids.length === 0) return found
  const rows = await db.alternative.findMany({
    where: {
      OR: [{ wantedPartId: { in: ids } }, { usedPartId: { in: ids } }],
      ...(withWithdrawn ? {} : { withdrawnAt: null }),
    },
    include: { wanted: true, used: true },
    orderBy: { id: 'asc' },
  })
  const [names, stock] = await Promise.all([
    personNames(
      db,
      rows.flatMap((row) => [row.approvedById, row.withdrawnById]),
    ),
    partStock(
      db,
      rows.flatMap((row) => [row.wantedPartId, row.usedPartId]),
    ),
  ])
  for (const row of rows)
    for (const [own, other, serves] of [
      [row.wanted, row.used, true],
      [row.used, row.wanted, row.interchange === 'both-ways'],
    ] as const) {
      if (!ids.includes(own.id)) continue
      const view: AlternativeView = {
        id: row.id,
        partId: other.id,
        number: other.number,
        maker: other.maker,
        description: other.description,
        unit: other.unit as StockUnit,
        available: stock.get(other.id)?.available ?? 0,
        serves,
        bothWays: row.interchange === 'both-ways',
        reason: row.reason,
        approvedBy: names(row.approvedById),
        approvedAt: row.approvedAt,
        withdrawn: row.withdrawnAt && { by: names(row.withdrawnById), at: row.withdrawnAt },
      }
      found.set(own.id, [...(found.get(own.id) ?? []), view])
    }
  return found
}

/**
 * Uses an approved alternative for what a job still wants of a part: as much as the shelf has free. What was taken already of
 * the part itself stays; the alternative then stands as a line of its own. It is taken from the shelf as any other line, so the
 * movement is one of the alternative part, and the line says in whose place it stands.
 */
export function alternativeUse(context: WriteContext, input: AlternativeUseInput): Promise<{ used: number }> {
  return write(context, 'job.use-alternative', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const need = await tx.jobNeed.findUnique({ where: { id: input.needId }, include: { part: true } })
    if (!need || need.jobId !== job.id || need.state !== 'accepted' || !need.part) throw new Refusal('job/unknown-need')
    const row = await tx.alternative.findUnique({
      where: { id: input.alternativeId },
      include: { wanted: true, used: true },
    })
    const forward = row?.wantedPartId === need.partId
    const back = row?.usedPartId === need.partId && row.interchange === 'both-ways'
    if (!row || row.withdrawnAt !== null || !(forward || back)) throw new Refusal('catalogue/no-such')
    const other = forward ? row.used : row.wanted
    const free = (await partStock(tx, [other.id], dayOf(context.now))).get(other.id)!.available
    const still = need.wanted - need.taken
    const used = Math.min(free, still)
    if (used <= 0)
      throw new Refusal('input/invalid', {
        what: `nothing of ${other.number} is free on the shelf, or nothing is wanted`,
      })
    const names = await personNames(tx, [row.approvedById])
    const day = row.approvedAt.toISOString().slice(0, 10)
    const insteadOf = `in place of ${need.part.number}, approved by ${names(row.approvedById)} on ${day}`
    if (used === still && need.taken === 0) {
      await tx.jobNeed.update({ where: { id: need.id }, data: { partId: other.id, insteadOf } })
    } else {
      await tx.jobNeed.update({ where: { id: need.id }, data: { wanted: need.wanted - used } })
      const key = `by-hand:alternative:${need.id}:${other.id}`
      await tx.jobNeed.upsert({
        where: { jobId_key: { jobId: job.id, key } },
        create: {
          jobId: job.id,
          key,
          origin: 'by-hand',
          kind: need.kind,
          partId: other.id,
          item: need.item,
          positions: need.positions,
          description: need.description,
          strength: need.strength,
          suggested: used,
          wanted: used,
          state: 'accepted',
          insteadOf,
          sort: need.sort,
          decidedById: context.personId,
          decidedAt: context.now,
        },
        update: { wanted: { increment: used }, state: 'accepted', insteadOf },
      })
    }
    await planRefresh(tx, context, job.id)
    await allocationsRefresh(tx, context, need.part.id)
    await allocationsRefresh(tx, context, other.id)
    return { used }
  })
}
