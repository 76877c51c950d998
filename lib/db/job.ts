import type { z } from 'zod'
import { reasonsMarked } from '../companion/rule-book.ts'
import { agreedElsewhere } from '../job/agreed.ts'
import { byNumberKey } from '../job/by-number.ts'
import { type JobPlan, jobPlan } from '../job/plan.ts'
import { renewedOf } from '../job/renewed.ts'
import type { JobOpenInput, NeedAddInput, NeedReplaceInput, TargetInput, TargetRemoveInput } from '../job/schema.ts'
import { targetAimed } from '../job/target-aimed.ts'
import { unsafeFor } from '../job/words.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import type { Tx } from './client.ts'
import { ruleBookNow } from './companion-rule.ts'
import { figureView } from './figure.ts'
import { stepsPlace } from './job-steps.ts'
import { machineNow } from './machine-now.ts'
import { meterRead } from './meter.ts'
import { supersessionLinks } from './part.ts'
import { shelfCandidates } from './shelf-candidates.ts'
import { type WriteContext, write } from './transaction.ts'

export async function jobOpenRead(tx: Tx, jobId: number) {
  const job = await tx.job.findUnique({ where: { id: jobId }, include: { machine: true } })
  if (!job) throw new Refusal('job/no-such', { job: jobId })
  if (job.state !== 'open') throw new Refusal('job/closed', { job: job.number })
  return job
}

/** Reads what the plan needs, plans, and brings the job's needs and steps into line with it. Decisions and ticks stay. */
export async function planRefresh(tx: Tx, context: WriteContext, jobId: number): Promise<JobPlan> {
  const job = await tx.job.findUniqueOrThrow({
    where: { id: jobId },
    include: { machine: true, targets: { orderBy: { id: 'asc' } }, needs: { include: { part: true } } },
  })
  const targets = job.targets.map((target) => ({
    ...target,
    positions: JSON.parse(target.positions) as string[],
    partNumber: job.needs.find((need) => need.key === `${target.figureId}:target:${target.lineId}`)?.part?.number,
  }))
  const figureIds = [...new Set(targets.map((target) => target.figureId))]
  const figures = []
  for (const id of figureIds)
    figures.push(
      await figureView(tx, id, {
        modelId: job.machine.modelId,
        serialNumber: job.machine.serialNumber,
        // A newer edition may have dropped a line while the job was open: its target stays what it was.
        lineIds: targets.map((target) => target.lineId),
      }),
    )
  const { alsoStripped, pairsOpened } = agreedElsewhere(job.needs, figures)
  const book = await ruleBookNow(tx)
  const plan = jobPlan({
    figures,
    targets,
    rules: book.inForce,
    shelf: await shelfCandidates(tx),
    alsoStripped,
    pairsOpened,
    machine: await machineNow(tx, job.machineId, job.openedAt),
    renewed: renewedOf(job.needs),
  })

  // Targets first: they are wanted unless somebody takes the target back.
  const wanted = new Map<string, () => Promise<unknown>>()
  for (const [sort, target] of targets.entries()) {
    const figure = figures.find((one) => one.id === target.figureId)!
    const line = figure.lines.find((one) => one.lineId === target.lineId)
    if (!line) continue
    const key = `${target.figureId}:target:${target.lineId}`
    const data = {
      partId: line.partId,
      item: line.item,
      positions: JSON.stringify(target.positions),
      description: line.description,
      suggested: target.quantity,
      sort,
    }
    wanted.set(key, () => {
      const before = job.needs.find((need) => need.key === key)
      return before
        ? tx.jobNeed.update({
            where: { id: before.id },
            // The part stays: somebody may have chosen the one that replaces it. So does a quantity changed by hand.
            data: {
              ...data,
              partId: before.partId,
              ...(before.suggested === target.quantity ? {} : { wanted: Math.max(target.quantity, before.taken) }),
            },
          })
        : tx.jobNeed.create({
            data: {
              ...data,
              jobId,
              key,
              origin: 'target',
              kind: 'part',
              strength: 'must',
              wanted: target.quantity,
              state: 'accepted',
            },
          })
    })
  }
  for (const [at, suggestion] of plan.suggestions.entries()) {
    const key = suggestion.jobKey
    const data = {
      kind: suggestion.kind,
      partId: suggestion.partId,
      item: suggestion.item,
      positions: JSON.stringify(suggestion.positions),
      description:
        suggestion.wanted && suggestion.wanted !== suggestion.description
          ? `${suggestion.description} (${suggestion.wanted})`
          : suggestion.description,
      unit: suggestion.unit,
      strength: suggestion.strength,
      suggested: suggestion.quantity,
      reasons: JSON.stringify(reasonsMarked(suggestion.reasons, book)),
      sort: 1000 + at,
    }
    wanted.set(key, () => {
      const before = job.needs.find((need) => need.key === key)
      if (!before)
        return tx.jobNeed.create({
          data: { ...data, jobId, key, origin: 'suggestion', wanted: suggestion.quantity, state: 'open' },
        })
      // A decided line keeps the person's quantity and part; only an open one follows the plan.
      return before.state === 'open'
        ? tx.jobNeed.update({
            where: { id: before.id },
            data: { ...data, wanted: suggestion.quantity, insteadOf: null },
          })
        : tx.jobNeed.update({ where: { id: before.id }, data: { sort: data.sort } })
    })
  }
  for (const need of job.needs) {
    const stale = need.origin !== 'by-hand' && !wanted.has(need.key)
    // What was decided or taken is history of the job and stays; an open suggestion without its cause goes.
    if (stale && need.taken === 0 && (need.state === 'open' || need.origin === 'target'))
      await tx.jobNeed.delete({ where: { id: need.id } })
  }
  for (const put of wanted.values()) await put()

  await stepsPlace(tx, jobId, plan)
  const parts = new Set(
    (await tx.jobNeed.findMany({ where: { jobId, partId: { not: null } }, select: { partId: true } })).map(
      (n) => n.partId!,
    ),
  )
  for (const need of job.needs) if (need.partId !== null) parts.add(need.partId)
  for (const partId of parts) await allocationsRefresh(tx, context, partId)
  return plan
}

export async function targetPlace(
  tx: Tx,
  jobId: number,
  machine: { modelId: number; serialNumber: string | null },
  input: Omit<TargetInput, 'jobId'>,
): Promise<{ key: string; insteadOf: string | null }> {
  const figure = await figureView(tx, input.figureId, { modelId: machine.modelId, serialNumber: machine.serialNumber })
  const asked = figure.lines.find((one) => one.lineId === input.lineId)
  if (!asked) throw new Refusal('figure/unknown-item', { item: input.lineId, where: `figure ${figure.number}` })
  const { line, quantity, insteadOf, positions, sides, allowed } = targetAimed(figure, asked, input)
  const strange = positions.find((code) => !allowed.has(code))
  if (strange !== undefined)
    throw new Refusal(
      'input/invalid',
      { what: `there is no position ${strange}` },
      { fields: { positions: 'choose one that is offered' } },
    )
  if (sides.length > 0 && !positions.some((code) => sides.includes(code)))
    throw new Refusal(
      'input/invalid',
      { what: 'the side is missing' },
      { fields: { positions: 'choose at least one side' } },
    )
  const data = { item: line.item, positions: JSON.stringify(positions), quantity }
  const key = `${input.figureId}:target:${line.lineId}`
  notInKit(await tx.jobNeed.findUnique({ where: { jobId_key: { jobId, key } } }))
  await tx.jobTarget.upsert({
    where: { jobId_lineId: { jobId, lineId: line.lineId } },
    create: { jobId, figureId: input.figureId, lineId: line.lineId, ...data },
    update: data,
  })
  return { key, insteadOf }
}

/** Aims the job at a part, plans anew, and writes at its need why it is another part than the one that was pointed at. */
export async function targetAim(
  tx: Tx,
  context: WriteContext,
  job: { id: number; machine: { modelId: number; serialNumber: string | null } },
  input: Omit<TargetInput, 'jobId'>,
): Promise<void> {
  const { key, insteadOf } = await targetPlace(tx, job.id, job.machine, input)
  await planRefresh(tx, context, job.id)
  if (insteadOf !== null) await tx.jobNeed.updateMany({ where: { jobId: job.id, key }, data: { insteadOf } })
}

/** The next job by number, with nothing on it yet. */
export async function jobCreate(
  tx: Tx,
  context: WriteContext,
  job: { machineId: number; kind: string; complaint: string; hourTenths: number | null; foundOnJobId?: number },
): Promise<{ id: number; number: number }> {
  const last = await tx.job.findFirst({ orderBy: { number: 'desc' }, select: { number: true } })
  return tx.job.create({
    data: { ...job, number: (last?.number ?? 0) + 1, openedAt: context.now, openedById: context.personId },
    select: { id: true, number: true },
  })
}

export function jobOpen(context: WriteContext, input: JobOpenInput): Promise<{ jobId: number; number: number }> {
  return write(context, 'job.open', input, async (tx) => {
    const machine = await tx.machine.findUnique({ where: { id: input.machineId } })
    if (!machine) throw new Refusal('machine/no-such', { machine: input.machineId })
    const { kind, complaint, hours: hourTenths } = input
    const job = await jobCreate(tx, context, { machineId: machine.id, kind, complaint, hourTenths })
    if (input.hours !== null && input.hours !== machine.hourTenths)
      await meterRead(tx, context, machine, { hourTenths: input.hours, jobId: job.id, reason: input.meterReason })
    if (input.unsafe)
      await tx.machine.update({
        where: { id: machine.id },
        data: { state: 'unsafe', stateReason: unsafeFor({ number: job.number, complaint }) },
      })
    if (input.figureId !== undefined && input.lineId !== undefined) {
      const { figureId, lineId, positions, quantity = 1 } = input
      await targetAim(tx, context, { id: job.id, machine }, { figureId, lineId, positions, quantity })
    }
    return { jobId: job.id, number: job.number }
  })
}

export function jobTarget(context: WriteContext, input: TargetInput): Promise<{ jobId: number }> {
  return write(context, 'job.target', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    await targetAim(tx, context, job, input)
    return { jobId: job.id }
  })
}

export function jobTargetRemove(context: WriteContext, input: z.infer<typeof TargetRemoveInput>): Promise<null> {
  return write(context, 'job.target-remove', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const target = await tx.jobTarget.findFirst({ where: { id: input.targetId, jobId: job.id } })
    if (target) {
      const key = `${target.figureId}:target:${target.lineId}`
      notInKit(await tx.jobNeed.findUnique({ where: { jobId_key: { jobId: job.id, key } } }))
      await tx.jobTarget.delete({ where: { id: target.id } })
    }
    await planRefresh(tx, context, job.id)
    return null
  })
}

/** What comes in a kit is changed after the kit is given up: its count was worked out for what stood there. */
export function notInKit(need: { state: string } | null): void {
  if (need?.state === 'in-kit')
    throw new Refusal('input/invalid', { what: 'it comes in a kit; take the parts singly again first' })
}

async function needOf(tx: Tx, jobId: number, needId: number) {
  const need = await tx.jobNeed.findUnique({ where: { id: needId } })
  if (!need || need.jobId !== jobId) throw new Refusal('job/unknown-need')
  return need
}

export function needAdd(context: WriteContext, input: NeedAddInput): Promise<null> {
  return write(context, 'job.need-add', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const part = await tx.part.findUnique({ where: { id: input.partId } })
    if (!part) throw new Refusal('stock/unknown-part', { part: input.partId })
    const key = byNumberKey(part.id)
    await tx.jobNeed.upsert({
      where: { jobId_key: { jobId: input.jobId, key } },
      create: {
        jobId: input.jobId,
        key,
        origin: 'by-hand',
        kind: 'part',
        partId: part.id,
        description: part.description,
        strength: 'should',
        suggested: input.quantity,
        wanted: input.quantity,
        state: 'accepted',
        sort: 5000,
        decidedById: context.personId,
        decidedAt: context.now,
      },
      update: { wanted: { increment: input.quantity }, state: 'accepted' },
    })
    await allocationsRefresh(tx, context, part.id)
    return null
  })
}

/** Uses the part that replaces (or is replaced by) the one on the list, by its supersession link. */
export function needReplace(context: WriteContext, input: NeedReplaceInput): Promise<null> {
  return write(context, 'job.need-replace', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const need = await needOf(tx, input.jobId, input.needId)
    notInKit(need)
    if (need.partId === null || need.taken > 0)
      throw new Refusal('input/invalid', { what: 'put back what was taken before another part is used instead' })
    const links = await supersessionLinks(tx, [need.partId])
    const link = links.find(
      (one) =>
        (one.oldPartId === need.partId && one.newPartId === input.partId) ||
        (one.interchange === 'both-ways' && one.newPartId === need.partId && one.oldPartId === input.partId),
    )
    if (!link) throw new Refusal('input/invalid', { what: 'that part does not replace this one' })
    const wanted = link.newPartId === input.partId ? need.wanted * link.ratio : Math.ceil(need.wanted / link.ratio)
    await tx.jobNeed.update({ where: { id: need.id }, data: { partId: input.partId, wanted, state: 'accepted' } })
    await planRefresh(tx, context, input.jobId)
    await allocationsRefresh(tx, context, need.partId)
    await allocationsRefresh(tx, context, input.partId)
    return null
  })
}
