import { quantityFormat, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { allocationShare, precedenceOrder } from '../stock/allocation.ts'
import { isExpired } from '../stock/batch.ts'
import { dayOf } from './batch.ts'
import { statement, type Tx } from './client.ts'
import { freeBin, spoiledOf } from './free-bins.ts'
import { partHead } from './ledger.ts'
import type { WriteContext } from './transaction.ts'

/** On hand of a part over all bins that are free to take from, less what is past its use-by day; minor units. */
async function onHandOf(tx: Tx, { now }: Pick<WriteContext, 'now'>, partId: number): Promise<number> {
  const sum = await tx.balance.aggregate({ where: { partId, ...freeBin }, _sum: { quantity: true } })
  const spoiled = await spoiledOf(tx, [partId], dayOf(now))
  return (sum._sum.quantity ?? 0) - (spoiled.get(partId) ?? 0)
}

/** Shares the shelf among open jobs again; called after every movement of the part and every decision on a need. */
export async function allocationsRefresh(tx: Tx, context: Pick<WriteContext, 'now'>, partId: number): Promise<void> {
  const needs = await tx.jobNeed.findMany({
    where: { partId, OR: [{ allocated: { gt: 0 } }, { state: 'accepted', job: { state: 'open' } }] },
    select: {
      id: true,
      jobId: true,
      wanted: true,
      taken: true,
      allocated: true,
      state: true,
      job: { select: { state: true, priority: true, needOn: true } },
    },
    orderBy: { id: 'asc' },
  })
  if (needs.length === 0) return
  needs.sort((a, b) => precedenceOrder({ ...a.job, jobId: a.jobId }, { ...b.job, jobId: b.jobId }))
  const claims = needs.map((need) => ({
    needId: need.id,
    stillWanted: need.state === 'accepted' && need.job.state === 'open' ? Math.max(0, need.wanted - need.taken) : 0,
    allocated: need.allocated,
  }))
  const shares = allocationShare(await onHandOf(tx, context, partId), claims)
  for (const [at, claim] of claims.entries()) {
    if (shares[at] !== claim.allocated)
      await tx.jobNeed.update({ where: { id: claim.needId }, data: { allocated: shares[at]! } })
  }
}

/**
 * Refuses to take what is kept for other jobs. `own` is what the taking job has been promised itself. A batch past its day, chosen
 * by a person, is promised to nobody.
 */
export async function reservedCheck(
  tx: Tx,
  context: Pick<WriteContext, 'now'>,
  { partId, quantity, batchId }: { partId: number; quantity: number; batchId?: number },
  own: number,
): Promise<void> {
  const kept = await statement<{ allocated: number; job: number }>(
    `SELECT n."allocated", j."number" AS "job" FROM "JobNeed" n JOIN "Job" j ON j."id" = n."jobId"
     WHERE n."partId" = ? AND n."allocated" > 0 ORDER BY j."number"`,
    [partId],
  )
  const allocated = kept.reduce((sum, need) => sum + need.allocated, 0)
  if (allocated === 0) return
  const batch = batchId === undefined ? null : await tx.batch.findUnique({ where: { id: batchId } })
  if (batch && isExpired(batch.expiresOn, dayOf(context.now))) return
  const onHand = await onHandOf(tx, context, partId)
  if (onHand < quantity || onHand - (allocated - own) >= quantity) return
  const part = await partHead(tx, partId)
  throw new Refusal('stock/reserved', {
    left: quantityFormat(onHand, part.unit as StockUnit),
    part: `${part.number} ${part.description}`,
    allocated: quantityFormat(allocated - own, part.unit as StockUnit),
    jobs: `job ${[...new Set(kept.map((need) => need.job))].join(', ')}`,
  })
}
