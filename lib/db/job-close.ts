import { createHash } from 'node:crypto'
import { measureLimitsSay, measurePasses, measureRead } from '../job/measurement.ts'
import type { CorrectionInput, WorkDoneInput } from '../job/schema.ts'
import { type EntryContent, entryPartsCost } from '../job/service-book.ts'
import { moneyOfQuantity } from '../measure/money.ts'
import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import { allocationsRefresh } from './allocation.ts'
import { jobBatches } from './batch-read.ts'
import type { Tx } from './client.ts'
import { jobOpenRead } from './job.ts'
import { jobLabour, jobNotes } from './job-hand-over.ts'
import { jobPhotos } from './job-photo.ts'
import { workDonePlace } from './job-words.ts'
import { meterNotes } from './meter.ts'
import { personNames } from './part-typed.ts'
import type { Signature } from './secret-confirm.ts'
import { servicesClose, servicesEntry } from './service-job.ts'
import { type WriteContext, write } from './transaction.ts'

export function entryDigest(content: string): string {
  return createHash('sha256').update(content).digest('hex')
}

/** Refuses while a value outside its limits stands there without a reason. */
async function measuredInside(tx: Tx, jobId: number): Promise<void> {
  const open = await tx.jobCheck.findMany({
    where: { jobId, kind: 'test', state: 'open', measured: { not: null } },
    orderBy: { sort: 'asc' },
  })
  for (const check of open) {
    const measure = measureRead(check.measure)
    if (measure && !measurePasses(measure, check.measured!))
      throw new Refusal('job/out-of-limits', {
        what: measure.what,
        value: check.measured!,
        unit: measure.unit,
        limits: measureLimitsSay(measure),
      })
  }
}

function measuredSays(json: string | null, value: number | null): Pick<EntryContent['tests'][number], 'measured'> {
  const measure = measureRead(json)
  if (!measure || value === null) return {}
  const { what, unit } = measure
  return { measured: { what, value, unit, limits: measureLimitsSay(measure), passes: measurePasses(measure, value) } }
}

/** Photos, hand-over notes, labour by person and day, and where the job came from: each only where there is some. */
async function flowOf(tx: Tx, job: { id: number; foundOnJobId: number | null }): Promise<Partial<EntryContent>> {
  const photos = await jobPhotos(tx, job.id)
  const notes = await jobNotes(tx, job.id)
  const labour = await jobLabour(tx, job.id)
  const from = job.foundOnJobId === null ? null : await tx.job.findUnique({ where: { id: job.foundOnJobId } })
  return {
    ...(photos.length === 0
      ? {}
      : { photos: photos.map(({ picture, alt, stage, step }) => ({ digest: picture.id, alt, stage, step })) }),
    ...(notes.length === 0 ? {} : { notes: notes.map(({ text, by, at }) => ({ text, by, at: at.toISOString() })) }),
    ...(labour.length === 0 ? {} : { labour: labour.map(({ by, day, minutes }) => ({ by, day, minutes })) }),
    ...(from ? { foundOnJob: from.number } : {}),
  }
}

/**
 * What the job's parts cost, from its ledger lines, so that the book says what really left the shelf at the price it had.
 * Reversed movements cancel out by their own lines.
 */
async function costByNeed(tx: Tx, jobId: number): Promise<Map<number, number>> {
  const movements = await tx.movement.findMany({
    where: { jobId, needId: { not: null } },
    select: { needId: true, quantity: true, costMinor: true, part: { select: { unit: true } } },
  })
  const costs = new Map<number, number>()
  for (const move of movements) {
    const cost = moneyOfQuantity(move.costMinor ?? 0, Math.abs(move.quantity), move.part.unit as StockUnit)
    costs.set(move.needId!, (costs.get(move.needId!) ?? 0) + (move.quantity < 0 ? cost : -cost))
  }
  return costs
}

/**
 * Closes a job into the machine's service book. Precedence of refusals: no such job, closed already, undecided musts, a value
 * outside its limits, tests not done, no correction text, a machine marked unsafe that nobody signs for, a must that was accepted
 * and not fitted without a reason. The entry is frozen from here on; what was still kept on the shelf for the job is free again,
 * and a machine marked unsafe goes back to work.
 */
export function jobClose(
  context: WriteContext,
  input: WorkDoneInput,
  currency: string,
  signature: Signature | null = null,
): Promise<{ entryId: number; jobNumber: number }> {
  return write(context, 'job.close', input, async (tx) => {
    const { machine } = await jobOpenRead(tx, input.jobId)
    // What should be done and was left open is the mechanic's own business; only a must is asked about.
    const undecided = await tx.jobNeed.findMany({
      where: { jobId: input.jobId, state: 'open', kind: { not: 'act' }, strength: 'must' },
      select: { description: true },
      orderBy: [{ sort: 'asc' }, { id: 'asc' }],
    })
    if (undecided.length > 0)
      throw new Refusal('job/undecided', { lines: undecided.map((need) => need.description).join('; ') })
    await measuredInside(tx, input.jobId)
    const testsOpen = await tx.jobCheck.count({ where: { jobId: input.jobId, kind: 'test', state: 'open' } })
    if (testsOpen > 0) throw new Refusal('job/tests-open', { count: testsOpen })
    if (input.correction.length < 3)
      throw new Refusal('job/no-correction', {}, { fields: { correction: 'write what was done' } })
    // Another open job may be the reason why the machine stands: only the last one lets it go.
    const others = await tx.job.count({ where: { machineId: machine.id, state: 'open', id: { not: input.jobId } } })
    const releases = others === 0 && machine.state === 'unsafe'
    if (releases && signature?.personId !== context.personId)
      throw new Refusal('job/not-signed', { machine: machine.name }, { fields: { secret: 'your PIN or password' } })
    // Gloves and paste may come from the bench; a part that must be renewed comes from the shelf or is not renewed.
    const musts = (await notFittedOf(tx, input.jobId)).filter(
      ({ kind, strength }) => kind === 'part' && strength === 'must',
    )
    if (musts.length > 0 && (input.notFitted ?? '').length < 3)
      throw new Refusal(
        'job/not-fitted',
        { lines: musts.map((need) => need.description).join('; ') },
        { fields: { notFitted: 'say why it is done without them' } },
      )
    await workDonePlace(tx, context, input)
    await servicesClose(tx, context, input.jobId)
    const entry = await entryWrite(tx, context, input, currency, releases)
    await tx.job.update({
      where: { id: input.jobId },
      data: { state: 'closed', closedAt: context.now, closedById: context.personId },
    })
    const needs = await tx.jobNeed.findMany({
      where: { jobId: input.jobId, partId: { not: null } },
      select: { partId: true },
    })
    for (const partId of new Set(needs.map((need) => need.partId!))) await allocationsRefresh(tx, context, partId)
    if (others === 0)
      await tx.machine.update({ where: { id: entry.machineId }, data: { state: 'working', stateReason: null } })
    return { entryId: entry.id, jobNumber: entry.jobNumber }
  })
}

/** Lines that were accepted and not, or not all, taken. */
async function notFittedOf(tx: Tx, jobId: number) {
  const needs = await tx.jobNeed.findMany({
    where: { jobId, state: 'accepted', kind: { not: 'act' } },
    include: { part: { select: { unit: true } } },
    orderBy: [{ sort: 'asc' }, { id: 'asc' }],
  })
  return needs
    .filter((need) => need.taken < need.wanted)
    .map(({ kind, description, strength, wanted, taken, unit, part }) => ({
      kind,
      description,
      strength,
      wanted,
      taken,
      unit: part?.unit ?? unit ?? 'each',
    }))
}

async function entryWrite(tx: Tx, context: WriteContext, input: WorkDoneInput, currency: string, releases: boolean) {
  const { jobId } = input
  const job = await tx.job.findUniqueOrThrow({
    where: { id: jobId },
    include: {
      machine: { include: { model: true } },
      needs: { include: { part: true }, orderBy: [{ sort: 'asc' }, { id: 'asc' }] },
      checks: { where: { kind: { in: ['test', 'after-run'] } }, orderBy: { sort: 'asc' } },
      targets: { include: { figure: { include: { models: true } } } },
    },
  })
  const names = await personNames(tx, [job.openedById, context.personId, ...job.checks.map((check) => check.doneById)])
  const costs = await costByNeed(tx, jobId)
  const batches = await jobBatches(tx, jobId)
  const meter = await meterNotes(tx, { jobId })
  const figureOf = (key: string): string | null => {
    const target = job.targets.find((one) => one.figureId === Number(key.split(':')[0]))
    const of = target?.figure.models.find((one) => one.modelId === job.machine.modelId) ?? target?.figure.models[0]
    return target && of ? `${of.number} ${target.figure.title}` : null
  }
  const fitted = job.needs
    .filter((need) => need.part !== null && need.taken > 0)
    .map((need) => ({
      partNumber: need.part!.number,
      maker: need.part!.maker,
      description: need.insteadOf === null ? need.description : `${need.description}, ${need.insteadOf}`,
      figure: need.item === null ? null : figureOf(need.key),
      item: need.item,
      positions: JSON.parse(need.positions) as string[],
      quantity: need.taken,
      unit: need.part!.unit,
      costMinor: costs.get(need.id) ?? 0,
      ...(batches.has(need.id) ? { batches: batches.get(need.id)!.map(({ id: _, ...batch }) => batch) } : {}),
    }))
  const checksOf = (kind: string) =>
    job.checks
      .filter((check) => check.kind === kind)
      .map((check) => ({ ...check, by: check.doneById ? names(check.doneById) : null }))
  const afterRun = checksOf('after-run')
  const content: EntryContent = {
    version: 1,
    machine: {
      fleetNumber: job.machine.fleetNumber,
      name: job.machine.name,
      model: `${job.machine.model.maker} ${job.machine.model.name}`,
      serialNumber: job.machine.serialNumber,
    },
    job: {
      number: job.number,
      kind: job.kind,
      openedAt: job.openedAt.toISOString(),
      openedBy: names(job.openedById),
    },
    complaint: job.complaint,
    cause: job.cause,
    correction: job.correction,
    labourMinutes: job.labourMinutes,
    fitted,
    acts: [
      ...job.needs.filter((need) => need.kind === 'act' && need.state === 'accepted').map((need) => need.description),
      ...(await servicesEntry(tx, jobId)),
    ],
    notFitted: (await notFittedOf(tx, jobId)).map(({ kind: _, ...line }) => line),
    ...(input.notFitted ? { notFittedReason: input.notFitted } : {}),
    declined: job.needs
      .filter((need) => need.state === 'declined' && need.strength !== 'consider')
      .map((need) => ({ description: need.description, strength: need.strength, reason: need.declineReason ?? '' })),
    tests: checksOf('test').map(({ text, state, note, by, measure, measured }) => ({
      text,
      state,
      note,
      by,
      ...measuredSays(measure, measured),
    })),
    ...(releases ? { releasedBy: names(context.personId) } : {}),
    ...(await flowOf(tx, job)),
    ...(afterRun.length === 0
      ? {}
      : {
          afterRun: afterRun.map(({ text, state, by, measure, measured }) => ({
            text,
            state,
            by,
            ...measuredSays(measure, measured),
          })),
        }),
    ...(meter.length === 0 ? {} : { meter: meter.map(({ hourTenths, reason }) => ({ hourTenths, reason })) }),
    partsCostMinor: entryPartsCost(fitted),
    currency,
  }
  const text = JSON.stringify(content)
  const entry = await tx.serviceBookEntry.create({
    data: {
      machineId: job.machineId,
      jobId,
      writtenAt: context.now,
      personId: context.personId,
      personName: names(context.personId),
      hourTenths: job.hourTenths ?? job.machine.hourTenths,
      content: text,
      digest: entryDigest(text),
    },
  })
  return { id: entry.id, machineId: job.machineId, jobNumber: job.number }
}

/** A correction is a new entry that points to the frozen one. */
export function entryCorrect(
  context: WriteContext,
  input: CorrectionInput,
  currency: string,
): Promise<{ entryId: number }> {
  return write(context, 'service-book.correct', input, async (tx) => {
    const first = await tx.serviceBookEntry.findUnique({
      where: { id: input.entryId },
      include: { machine: { include: { model: true } } },
    })
    if (!first) throw new Refusal('service-book/no-such')
    const names = await personNames(tx, [context.personId])
    const content: EntryContent = {
      version: 1,
      machine: {
        fleetNumber: first.machine.fleetNumber,
        name: first.machine.name,
        model: `${first.machine.model.maker} ${first.machine.model.name}`,
        serialNumber: first.machine.serialNumber,
      },
      job: null,
      complaint: '',
      cause: '',
      correction: input.text,
      labourMinutes: 0,
      fitted: [],
      acts: [],
      declined: [],
      tests: [],
      partsCostMinor: 0,
      currency,
    }
    const text = JSON.stringify(content)
    const entry = await tx.serviceBookEntry.create({
      data: {
        machineId: first.machineId,
        writtenAt: context.now,
        personId: context.personId,
        personName: names(context.personId),
        content: text,
        digest: entryDigest(text),
        correctsId: first.id,
      },
    })
    return { entryId: entry.id }
  })
}
