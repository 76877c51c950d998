import type { z } from 'zod'
import type { KitChoice } from '../catalogue/kit-choice.ts'
import { strongest } from '../companion/draft.ts'
import type { Strength } from '../companion/rule-terms.ts'
import { kitKey, kitLineIds, kitUseSays } from '../job/kit-line.ts'
import type { KitChooseInput, KitUndoInput } from '../job/schema.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead, planRefresh } from './job.ts'
import { kitChoicesFor } from './kit.ts'
import { type WriteContext, write } from './transaction.ts'

/** Lines of a job that a kit may stand in for: wanted or worth wanting, and none of it taken yet. */
async function replaceable(tx: Tx, jobId: number) {
  const needs = await tx.jobNeed.findMany({
    where: {
      jobId,
      kind: 'part',
      partId: { not: null },
      taken: 0,
      OR: [{ state: 'accepted' }, { state: 'open', strength: { not: 'consider' } }],
    },
    include: { part: { select: { unit: true } } },
    orderBy: [{ sort: 'asc' }, { id: 'asc' }],
  })
  return needs.map((need) => ({
    ...need,
    partId: need.partId!,
    quantity: need.state === 'open' ? need.suggested : need.wanted,
    unit: need.part!.unit as StockUnit,
    positions: JSON.parse(need.positions) as string[],
  }))
}

/** Kits that can stand in for several of the job's parts. */
export async function jobKits(jobId: number): Promise<KitChoice[]> {
  const db = database() as unknown as Tx
  return kitChoicesFor(db, await replaceable(db, jobId))
}

/** Takes a kit in place of the parts it covers. They stay on the job as they were, until the kit is given up again. */
export function jobKitChoose(context: WriteContext, input: z.infer<typeof KitChooseInput>): Promise<{ lines: number }> {
  return write(context, 'job.kit-choose', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const all = await replaceable(tx, job.id)
    const choice = (await kitChoicesFor(tx, all)).find((one) => one.kit.kitId === input.kitId)
    if (!choice) throw new Refusal('input/invalid', { what: 'that kit no longer holds what this job wants' })
    const covered = new Set(choice.covers.map((one) => one.partId))
    const lines = all.filter((need) => covered.has(need.partId))
    const strengths = lines.map((need) => need.strength as Strength)
    await tx.jobNeed.create({
      data: {
        jobId: job.id,
        key: kitKey(
          input.kitId,
          lines.map((need) => need.id),
        ),
        origin: 'by-hand',
        kind: 'part',
        partId: input.kitId,
        positions: JSON.stringify([...new Set(lines.flatMap((need) => need.positions))]),
        description: choice.kit.description,
        strength: strongest(strengths),
        suggested: choice.kits,
        wanted: choice.kits,
        state: 'accepted',
        insteadOf: kitUseSays(choice, lines),
        // Among the parts to renew when one of them is in it.
        sort: Math.min(...lines.map((need) => need.sort)),
        decidedById: context.personId,
        decidedAt: context.now,
      },
    })
    await tx.jobNeed.updateMany({ where: { id: { in: lines.map((need) => need.id) } }, data: { state: 'in-kit' } })
    await planRefresh(tx, context, job.id)
    for (const partId of [...covered, input.kitId]) await allocationsRefresh(tx, context, partId)
    return { lines: lines.length }
  })
}

/** Gives the kit up: its lines are what they were before, open or accepted. */
export function jobKitUndo(context: WriteContext, input: z.infer<typeof KitUndoInput>): Promise<null> {
  return write(context, 'job.kit-undo', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const kit = await tx.jobNeed.findUnique({ where: { id: input.needId } })
    const lineIds = kit?.jobId === job.id ? kitLineIds(kit.key) : null
    if (!kit || !lineIds) throw new Refusal('job/unknown-need')
    if (kit.taken > 0) throw new Refusal('input/invalid', { what: 'the kit is taken already; put it back first' })
    const lines = await tx.jobNeed.findMany({ where: { id: { in: lineIds }, jobId: job.id, state: 'in-kit' } })
    for (const line of lines)
      await tx.jobNeed.update({
        where: { id: line.id },
        // A suggestion that nobody had answered is open again.
        data: { state: line.origin === 'suggestion' && line.decidedAt === null ? 'open' : 'accepted' },
      })
    // The ledger keeps the lines of a kit that went out and came back: what they name must stay.
    const moved = await tx.movement.count({ where: { needId: kit.id } })
    if (moved === 0) await tx.jobNeed.delete({ where: { id: kit.id } })
    else
      await tx.jobNeed.update({
        where: { id: kit.id },
        data: { key: `given-up:${kit.id}`, state: 'declined', declineReason: 'its parts are taken singly' },
      })
    await planRefresh(tx, context, job.id)
    for (const partId of new Set([...lines.flatMap((line) => line.partId ?? []), kit.partId!]))
      await allocationsRefresh(tx, context, partId)
    return null
  })
}
