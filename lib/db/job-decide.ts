import type { z } from 'zod'
import type { Strength } from '../companion/rule-terms.ts'
import { needRows, type RowNeed, wantedShare } from '../job/need-rows.ts'
import type { AcceptManyInput, DecideInput, RowDecideInput } from '../job/schema.ts'
import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import type { Prisma } from './client.ts'
import { ruleBookNow } from './companion-rule.ts'
import { jobOpenRead, planRefresh } from './job.ts'
import { type WriteContext, write } from './transaction.ts'

/** A stored line as the rows read it. */
export function rowNeed(
  need: Prisma.JobNeedGetPayload<{ include: { part: { select: { id: true; unit: true } } } }>,
): RowNeed {
  return {
    id: need.id,
    key: need.key,
    kind: need.kind as RowNeed['kind'],
    part: need.part && { id: need.part.id },
    positions: JSON.parse(need.positions) as string[],
    description: need.description,
    strength: need.strength as Strength,
    unit: (need.part?.unit ?? need.unit ?? 'each') as StockUnit,
    suggested: need.suggested,
    wanted: need.wanted,
    state: need.state as RowNeed['state'],
    declineReason: need.declineReason,
    insteadOf: need.insteadOf,
    reasons: JSON.parse(need.reasons) as RowNeed['reasons'],
  }
}

/** Accept, change the quantity, decline with a reason, or take the decision back. */
export function needDecide(context: WriteContext, { needId, ...input }: DecideInput): Promise<null> {
  return rowDecide(context, { ...input, needIds: [needId] })
}

/**
 * Answers a row: all its lines or none. A quantity is spread over the lines; a line that gets nothing of it is left out, and says
 * how many of how many were wanted.
 */
export function rowDecide(context: WriteContext, input: RowDecideInput): Promise<null> {
  return write(context, 'job.decide', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const needs = await tx.jobNeed.findMany({
      where: { id: { in: input.needIds }, jobId: input.jobId },
      include: { part: { select: { unit: true } } },
      orderBy: [{ sort: 'asc' }, { id: 'asc' }],
    })
    if (needs.length < new Set(input.needIds).size) throw new Refusal('job/unknown-need')
    if (needs.some((need) => need.state === 'in-kit'))
      throw new Refusal('input/invalid', { what: 'it comes in a kit; take the parts singly again first' })
    const reason = input.reason ?? ''
    if (input.decision === 'declined') {
      if (reason.length < 3 && needs.some((need) => need.strength === 'must'))
        throw new Refusal('job/not-declined', {}, { fields: { reason: 'say why it is left out' } })
      if (needs.some((need) => need.taken > 0))
        throw new Refusal('input/invalid', { what: 'some of it is taken already; put it back first' })
    }
    const shares = input.wanted === undefined ? null : wantedShare(input.wanted, needs)
    const all = needs.reduce((sum, need) => sum + need.suggested, 0)
    for (const [at, need] of needs.entries()) {
      const wanted = shares?.[at] ?? (need.state === 'open' ? need.suggested : need.wanted)
      const unit = (need.part?.unit ?? need.unit ?? 'each') as StockUnit
      const isLeftOut = input.decision === 'declined' || (shares !== null && wanted === 0 && need.kind !== 'act')
      const says =
        input.decision === 'declined'
          ? reason
          : `${quantityFormat(input.wanted ?? 0, unit)} of ${quantityFormat(all, unit)} wanted`
      const isOpen = input.decision === 'open'
      await tx.jobNeed.update({
        where: { id: need.id },
        data: {
          state: isLeftOut ? 'declined' : input.decision,
          wanted: isLeftOut ? Math.max(need.suggested, need.taken) : Math.max(wanted, need.taken),
          declineReason: isLeftOut ? says : null,
          // Taken back is not decided: the plan and a kit that is given up again look at this.
          decidedById: isOpen ? null : context.personId,
          decidedAt: isOpen ? null : context.now,
        },
      })
    }
    // Agreeing to the other side opens it up: its own split pins and seals come up then.
    await planRefresh(tx, context, input.jobId)
    for (const partId of new Set(needs.flatMap((need) => need.partId ?? [])))
      await allocationsRefresh(tx, context, partId)
    return null
  })
}

/** Accepts every row still open of the given strengths in one go. Answers how many rows that were. */
export function needsAccept(
  context: WriteContext,
  input: z.infer<typeof AcceptManyInput>,
): Promise<{ accepted: number }> {
  return write(context, 'job.accept-many', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const { known } = await ruleBookNow(tx)
    let accepted = 0
    // A second round picks up what the first one brought about (the other side's single-use parts); more never follow.
    for (let round = 0; round < 2; round++) {
      const open = await tx.jobNeed.findMany({
        // What is to be done is ticked when it was done, never in one go before the work.
        where: { jobId: input.jobId, state: 'open', origin: 'suggestion', kind: { not: 'act' } },
        include: { part: { select: { id: true, unit: true } } },
        orderBy: [{ sort: 'asc' }, { id: 'asc' }],
      })
      const rows = needRows(open.map(rowNeed), known).filter((row) => input.strength.includes(row.strength))
      if (rows.length === 0) break
      for (const need of rows.flatMap((row) => row.needs))
        await tx.jobNeed.update({
          where: { id: need.id },
          data: { state: 'accepted', wanted: need.suggested, decidedById: context.personId, decidedAt: context.now },
        })
      accepted += rows.length
      await planRefresh(tx, context, input.jobId)
    }
    return { accepted }
  })
}
