import type { NeedReplaceInput } from '../job/schema.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import { jobOpenRead } from './job.ts'
import { type WriteContext, write } from './transaction.ts'

/**
 * Says for a row which part serves where the rules asked for a kind of part and nothing on file fitted, and accepts it. The quantity stays
 * where the part is kept by the unit that was asked for; a part kept otherwise (a can, for litres) begins with one, to be changed.
 */
export function needChoose(context: WriteContext, input: NeedReplaceInput): Promise<null> {
  return write(context, 'job.need-choose', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const need = await tx.jobNeed.findUnique({ where: { id: input.needId } })
    if (!need || need.jobId !== input.jobId || need.kind === 'act') throw new Refusal('job/unknown-need')
    if (need.partId !== null) throw new Refusal('input/invalid', { what: 'a part is chosen for it already' })
    const part = await tx.part.findUnique({ where: { id: input.partId } })
    if (!part) throw new Refusal('stock/unknown-part', { part: input.partId })
    // The other lines of its row ask for the same thing, as strongly: what serves here serves there.
    const { jobId, kind, description, unit, state, strength } = need
    const alike = await tx.jobNeed.findMany({
      where: { jobId, kind, description, unit, state, strength, partId: null },
    })
    for (const one of alike) {
      const wanted = part.unit === (one.unit ?? 'each') ? one.suggested : part.unit === 'each' ? 1 : 1000
      await tx.jobNeed.update({
        where: { id: one.id },
        data: {
          partId: part.id,
          description: `${part.description}, for ${one.description}`,
          unit: part.unit,
          suggested: wanted,
          wanted,
          state: 'accepted',
          decidedById: context.personId,
          decidedAt: context.now,
        },
      })
    }
    await allocationsRefresh(tx, context, part.id)
    return null
  })
}
