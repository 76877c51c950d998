import { type PickList, pickList } from '../job/pick-list.ts'
import type { PutBackInput, TakeInput } from '../job/schema.ts'
import { moneyOfQuantity } from '../measure/money.ts'
import { quantityFormat, quantityScale, type StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { batchesKept } from '../stock/batch.ts'
import { allocationsRefresh, reservedCheck } from './allocation.ts'
import { batchRules, dayOf, notKnownBatch } from './batch.ts'
import { lotsOut } from './batch-move.ts'
import { batchesTaken, lotHoldings } from './batch-read.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead } from './job.ts'
import { keptElsewhere } from './job-kept.ts'
import { movementPlace, type Placed } from './ledger.ts'
import { personNames } from './part-typed.ts'
import { type WriteContext, write } from './transaction.ts'

/** What is still to be taken for a job, in bin order, and what the shelf cannot give or keeps for other jobs. */
export async function jobPickList(jobId: number, today = dayOf(new Date())): Promise<PickList> {
  const needs = await database().jobNeed.findMany({
    where: { jobId, state: 'accepted', partId: { not: null } },
    orderBy: [{ sort: 'asc' }, { id: 'asc' }],
  })
  const open = needs
    .map((need) => ({ needId: need.id, partId: need.partId!, stillWanted: need.wanted - need.taken }))
    .filter((need) => need.stillWanted > 0)
  const partIds = open.map((need) => need.partId)
  const kept = await keptElsewhere(jobId, partIds)
  return pickList(
    open,
    await lotHoldings(partIds, today),
    new Map([...kept].map(([partId, of]) => [partId, of.reduce((sum, one) => sum + one.quantity, 0)])),
  )
}

async function acceptedNeed(tx: Tx, jobId: number, needId: number) {
  const need = await tx.jobNeed.findUnique({ where: { id: needId }, include: { part: true } })
  if (!need || need.jobId !== jobId || need.state !== 'accepted' || need.partId === null || !need.part)
    throw new Refusal('job/unknown-need')
  return { ...need, partId: need.partId, part: need.part }
}

/**
 * Two people have the same list in hand: what one of them took since the other one's was shown is not taken once more, however
 * much the job could still use. Refuses with 'job/taken-meanwhile'.
 */
async function listStill(tx: Tx, jobId: number, lines: TakeInput['lines']): Promise<void> {
  for (const { needId, seen } of lines) {
    if (seen === undefined) continue
    const need = await acceptedNeed(tx, jobId, needId)
    if (need.taken === seen) continue
    const last = await tx.movement.findFirst({ where: { needId }, orderBy: { id: 'desc' }, select: { personId: true } })
    const names = await personNames(tx, [last?.personId ?? null])
    throw new Refusal('job/taken-meanwhile', {
      who: last ? names(last.personId) : 'Somebody',
      what: `${need.description} ${need.part.number}`,
    })
  }
}

/** Takes parts for a job: every line or none. What is kept for other jobs is not touched. */
export function jobTake(context: WriteContext, input: TakeInput): Promise<{ movements: Placed[] }> {
  return write(context, 'job.take', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    await listStill(tx, job.id, input.lines)
    const movements: Placed[] = []
    for (const line of input.lines) {
      const need = await acceptedNeed(tx, job.id, line.needId)
      // Two lines of one job may want the same part: what is kept for either is this job's.
      const kept = await tx.jobNeed.aggregate({
        where: { jobId: job.id, partId: need.partId },
        _sum: { allocated: true },
      })
      await reservedCheck(
        tx,
        context,
        { partId: need.partId, quantity: line.quantity, batchId: line.batchId },
        kept._sum.allocated ?? 0,
      )
      const out = await lotsOut(
        tx,
        context,
        movements.length,
        {
          kind: 'issue',
          partId: need.partId,
          binId: line.binId,
          quantity: line.quantity,
          jobId: job.id,
          needId: need.id,
        },
        { batchId: line.batchId, expiredWhy: line.expiredWhy, expired: 'stay' },
      )
      movements.push(...out.movements)
      await tx.jobNeed.update({
        where: { id: need.id },
        data: {
          taken: { increment: line.quantity },
          allocated: Math.max(0, need.allocated - line.quantity),
          // More than planned was needed: the plan follows what was really taken.
          wanted: Math.max(need.wanted, need.taken + line.quantity),
        },
      })
      await allocationsRefresh(tx, context, need.partId)
    }
    return { movements }
  })
}

/**
 * What one stock unit of the need cost when it was taken, on average over what is still out, rounded down. Parts go back
 * at that cost: a price that rose in between must not turn the job's cost negative.
 */
async function costTaken(tx: Tx, needId: number, taken: number, unit: StockUnit): Promise<number> {
  const movements = await tx.movement.findMany({ where: { needId }, select: { quantity: true, costMinor: true } })
  const out = movements.reduce(
    (sum, move) =>
      sum + -Math.sign(move.quantity) * moneyOfQuantity(move.costMinor ?? 0, Math.abs(move.quantity), unit),
    0,
  )
  return Math.max(0, Math.floor((out * quantityScale(unit)) / taken))
}

/**
 * Which batches go back: the one that was chosen, the only one that was taken, or all of them where everything goes back.
 * Refuses with 'stock/batch-which'.
 */
async function lotsBack(
  tx: Tx,
  need: { id: number; jobId: number; partId: number; part: { number: string } },
  { quantity, batchId }: PutBackInput,
): Promise<{ batchId?: number; quantity: number }[]> {
  const out = (await batchesTaken(tx, { jobId: need.jobId, needId: need.id })).map((lot) => ({
    ...lot,
    batchId: lot.batchId ?? undefined,
  }))
  const asked = batchesKept((await batchRules(tx, [need.partId])).get(need.partId)!)
  const lots = out.length > 0 ? out : [{ batchId: undefined, quantity }]
  const chosen = batchId === undefined ? lots : lots.filter((lot) => lot.batchId === batchId)
  if (batchId !== undefined && (chosen[0]?.quantity ?? 0) < quantity)
    throw new Refusal('stock/unknown-batch', { part: need.part.number }, { fields: { batchId: 'not so many taken' } })
  const all = chosen.reduce((sum, lot) => sum + lot.quantity, 0)
  if (chosen.length > 1 && all !== quantity)
    throw new Refusal('stock/batch-which', { part: need.part.number }, { fields: { batchId: 'choose one' } })
  const back = chosen.length > 1 ? chosen : [{ batchId: chosen[0]!.batchId, quantity }]
  // Taken before batches were kept: nobody can say any more.
  const notKnown =
    asked && back.some((lot) => lot.batchId === undefined) ? await notKnownBatch(tx, need.partId) : undefined
  return back.map((lot) => ({ ...lot, batchId: lot.batchId ?? notKnown }))
}

/** Puts back what the job did not use. At most what it took. */
export function jobPutBack(context: WriteContext, input: PutBackInput): Promise<Placed> {
  return write(context, 'job.put-back', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const need = await acceptedNeed(tx, job.id, input.needId)
    if (input.quantity > need.taken) {
      const unit = need.part.unit as StockUnit
      throw new Refusal(
        'input/invalid',
        { what: `only ${quantityFormat(need.taken, unit)} were taken` },
        { fields: { quantity: `at most ${quantityFormat(need.taken, unit)}` } },
      )
    }
    const costMinor = await costTaken(tx, need.id, need.taken, need.part.unit as StockUnit)
    const movements: Placed[] = []
    for (const lot of await lotsBack(tx, need, input))
      movements.push(
        await movementPlace(tx, context, movements.length, {
          kind: 'return',
          partId: need.partId,
          binId: input.binId,
          ...lot,
          jobId: job.id,
          needId: need.id,
          costMinor,
        }),
      )
    const taken = need.taken - input.quantity
    // A part that must be renewed is still to be fitted: it goes back on the pick list, and closing without it asks why.
    const stays = need.kind === 'part' && need.strength === 'must' ? Math.min(need.wanted, need.suggested) : 0
    await tx.jobNeed.update({ where: { id: need.id }, data: { taken, wanted: Math.max(taken, stays) } })
    await allocationsRefresh(tx, context, need.partId)
    return movements.at(-1)!
  })
}
