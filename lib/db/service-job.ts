import type { StockUnit } from '../measure/quantity.ts'
import { Refusal } from '../refusal.ts'
import type { ServiceJobInput, TaskInput } from '../service/schema.ts'
import { serviceComplaint } from '../service/service-job.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead, planRefresh } from './job.ts'
import { meterRead } from './meter.ts'
import { type LeftOut, serviceLineMissing, servicesLeftOut } from './service-left-out.ts'
import { servicePlace, serviceUnplace } from './service-place.ts'
import { lookSays, looksCounted } from './service-schedule.ts'
import { type WriteContext, write } from './transaction.ts'

type Joining = Awaited<ReturnType<typeof joinable>>[number]

/** Open jobs of a machine, and why one of them has to be closed by itself. */
async function joinable(reader: Tx | ReturnType<typeof database>, machineId: number) {
  const jobs = await (reader as Tx).job.findMany({
    where: { machineId, state: 'open' },
    orderBy: { number: 'asc' },
    include: { _count: { select: { movements: true, services: true } } },
  })
  return jobs.map(({ _count, id, number, complaint }) => ({
    id,
    number,
    complaint,
    // The ledger names the job that took a part, and the ledger is never changed.
    why: _count.services > 0 ? 'it is a service itself' : _count.movements > 0 ? 'parts were taken for it' : null,
  }))
}

export function jobsToJoin(machineId: number): Promise<Joining[]> {
  return joinable(database(), machineId)
}

/** Targets, decisions and steps go over as they are; the plan then brings them into line with the service's own. */
async function jobJoin(tx: Tx, jobId: number, from: Joining): Promise<void> {
  if (from.why !== null) throw new Refusal('service/not-joined', { job: from.number, why: from.why })
  const there = await tx.job.findUniqueOrThrow({
    where: { id: jobId },
    include: { targets: true, needs: true, checks: true },
  })
  const [lines, keys] = [there.targets.map((one) => one.lineId), there.needs.map((one) => one.key)]
  const steps = new Set(there.checks.map((one) => `${one.kind} ${one.key}`))
  await tx.jobTarget.updateMany({ where: { jobId: from.id, lineId: { notIn: lines } }, data: { jobId } })
  await tx.jobNeed.updateMany({ where: { jobId: from.id, key: { notIn: keys } }, data: { jobId } })
  for (const check of await tx.jobCheck.findMany({ where: { jobId: from.id } }))
    if (!steps.has(`${check.kind} ${check.key}`)) await tx.jobCheck.update({ where: { id: check.id }, data: { jobId } })
  await tx.jobNeed.updateMany({ where: { jobId: from.id }, data: { allocated: 0 } })
  await tx.job.update({ where: { id: from.id }, data: { state: 'joined', joinedToId: jobId } })
}

/**
 * Opens one job for due services of a machine and for what else was told of it. What is renewed in any case becomes what the job
 * aims at, so that strip order, companions, pick list and ledger follow as on any job; what is looked at and what is done
 * become the tasks of its service.
 */
export function serviceJobOpen(
  context: WriteContext,
  input: ServiceJobInput,
): Promise<{ jobId: number; number: number }> {
  return write(context, 'service.job', input, async (tx) => {
    const machine = await tx.machine.findUnique({ where: { id: input.machineId } })
    if (!machine) throw new Refusal('machine/no-such', { machine: input.machineId })
    const schedules = await tx.serviceSchedule.findMany({
      where: { id: { in: input.scheduleIds }, modelId: machine.modelId, retiredAt: null },
      orderBy: { id: 'asc' },
      include: { lines: { where: { retiredAt: null }, orderBy: [{ sort: 'asc' }, { id: 'asc' }] } },
    })
    if (schedules.length < new Set(input.scheduleIds).size) throw new Refusal('service/no-such')
    const atWork = await tx.serviceOfJob.findMany({
      where: { scheduleId: { in: input.scheduleIds }, job: { machineId: machine.id, state: 'open' } },
      include: { job: true, schedule: true },
    })
    if (atWork.length > 0)
      throw new Refusal('service/at-work', {
        job: atWork[0]!.job.number,
        names: atWork.map((one) => one.schedule.name).join(', '),
      })
    const open = await joinable(tx, machine.id)
    const joined = input.joinJobIds.map((id) => {
      const found = open.find((one) => one.id === id)
      if (!found) throw new Refusal('job/no-such', { job: id })
      return found
    })
    const last = await tx.job.findFirst({ orderBy: { number: 'desc' }, select: { number: true } })
    const job = await tx.job.create({
      data: {
        number: (last?.number ?? 0) + 1,
        machineId: machine.id,
        kind: 'service',
        complaint: serviceComplaint(
          schedules.map((one) => one.name),
          joined,
        ),
        hourTenths: input.hours,
        openedAt: context.now,
        openedById: context.personId,
        services: { create: schedules.map((one) => ({ scheduleId: one.id })) },
      },
    })
    if (input.hours !== null && input.hours !== machine.hourTenths)
      await meterRead(tx, context, machine, { hourTenths: input.hours, jobId: job.id, reason: input.meterReason })
    for (const one of joined) await jobJoin(tx, job.id, one)
    const seen = new Set<string>()
    let sort = 0
    for (const line of schedules.flatMap((one) => one.lines)) {
      // Two services due at once ask for one oil change: a thing is done once on the job.
      if (seen.has(`${line.kind} ${line.key}`)) continue
      seen.add(`${line.kind} ${line.key}`)
      // Nobody looks at what the machine does not have; the job says that it is left out and why.
      if ((await serviceLineMissing(tx, line, machine.serialNumber)) !== null) continue
      if (line.kind === 'always') await servicePlace(tx, context, job.id, machine, line)
      else
        await tx.serviceTask.create({
          data: {
            jobId: job.id,
            lineId: line.id,
            kind: line.kind === 'act' ? 'act' : 'look',
            sort: sort++,
            text: line.item === null ? line.text : `${line.item} ${line.text}`,
          },
        })
    }
    await planRefresh(tx, context, job.id)
    return { jobId: job.id, number: job.number }
  })
}

/** Says of a part that it is good or to be renewed, of an act that it is done; or takes it back. */
export function serviceTaskSet(context: WriteContext, input: TaskInput): Promise<null> {
  return write(context, 'service.task', input, async (tx) => {
    const job = await jobOpenRead(tx, input.jobId)
    const task = await tx.serviceTask.findUnique({ where: { id: input.taskId }, include: { line: true } })
    if (!task || task.jobId !== job.id) throw new Refusal('service/no-such')
    const fits =
      task.kind === 'look' ? ['open', 'good', 'renewed', 'not-applicable'] : ['open', 'done', 'not-applicable']
    if (!fits.includes(input.state)) throw new Refusal('input/invalid', { what: `this cannot be ${input.state}` })
    const isOpen = input.state === 'open'
    await tx.serviceTask.update({
      where: { id: task.id },
      data: {
        state: input.state,
        note: input.note || null,
        doneAt: isOpen ? null : context.now,
        doneById: isOpen ? null : context.personId,
      },
    })
    if (input.state === 'renewed') {
      if (!(await servicePlace(tx, context, job.id, job.machine, task.line)))
        throw new Refusal('input/invalid', { what: `this machine has no ${task.text}` })
    } else if (task.state === 'renewed') await serviceUnplace(tx, context, job.id, task.line)
    else return null
    await planRefresh(tx, context, job.id)
    return null
  })
}

/**
 * Writes down that the services of a job are done, with the date and what the meter shows: the next ones count from there.
 * Called while the job is closed. Refuses while something of them is open.
 */
export async function servicesClose(tx: Tx, context: WriteContext, jobId: number): Promise<void> {
  const services = await tx.serviceOfJob.findMany({ where: { jobId }, include: { schedule: true } })
  if (services.length === 0) return
  const open = await tx.serviceTask.findMany({ where: { jobId, state: 'open' }, orderBy: { sort: 'asc' } })
  if (open.length > 0)
    throw new Refusal('service/tasks-open', { count: open.length, lines: `${open.map((one) => one.text).join('; ')}.` })
  const { machine } = await tx.job.findUniqueOrThrow({ where: { id: jobId }, include: { machine: true } })
  const byHours = services.filter((one) => one.schedule.everyTenths !== null)
  const wasRead = await tx.hourReading.count({ where: { machineId: machine.id } })
  if (byHours.length > 0 && wasRead === 0 && machine.hourTenths === 0)
    throw new Refusal(
      'service/no-reading',
      { names: byHours.map((one) => one.schedule.name).join(', ') },
      { fields: { hours: 'read the meter' } },
    )
  for (const { scheduleId } of services)
    await tx.serviceDone.create({
      data: { scheduleId, machineId: machine.id, jobId, at: context.now, hourTenths: machine.hourTenths },
    })
}

/** What the service book says of the services of a job. */
export async function servicesEntry(tx: Tx, jobId: number): Promise<string[]> {
  const tasks = await tx.serviceTask.findMany({ where: { jobId }, orderBy: { sort: 'asc' } })
  const says: Record<string, string> = { good: 'looked at, good', renewed: 'looked at, renewed', done: 'done' }
  return tasks.map(({ text, state, note }) => `${text}: ${says[state] ?? `does not apply, ${note}`}`)
}

export interface TaskView {
  id: number
  kind: 'look' | 'act'
  text: string
  state: 'open' | 'good' | 'renewed' | 'done' | 'not-applicable'
  note: string | null
  by: string | null
  figure: { id: number; item: string } | null
  part: { id: number; number: string; unit: StockUnit } | null
  /** What past services found. */
  chance: string | null
}

export interface JobService {
  names: string[]
  tasks: TaskView[]
  /** What the services ask for and this machine does not have. */
  leftOut: LeftOut[]
}

/** The services that a job carries out, with their tasks; null where it carries out none. */
export async function jobService(jobId: number): Promise<JobService | null> {
  const db = database()
  const services = await db.serviceOfJob.findMany({
    where: { jobId },
    include: { schedule: true, job: { select: { machine: { select: { serialNumber: true } } } } },
  })
  if (services.length === 0) return null
  const ids = services.map((one) => one.scheduleId)
  const [leftOut, tasks, counted] = await Promise.all([
    servicesLeftOut(db, ids, services[0]!.job.machine.serialNumber),
    db.serviceTask.findMany({
      where: { jobId },
      orderBy: { sort: 'asc' },
      include: { line: { include: { part: true } } },
    }),
    looksCounted(db),
  ])
  const people = await db.person.findMany({
    where: { id: { in: tasks.flatMap((task) => task.doneById ?? []) } },
    select: { id: true, name: true },
  })
  return {
    names: services.map((one) => one.schedule.name),
    leftOut,
    tasks: tasks.map(({ line, ...task }) => ({
      id: task.id,
      kind: task.kind as TaskView['kind'],
      text: task.text,
      state: task.state as TaskView['state'],
      note: task.note,
      by: people.find((one) => one.id === task.doneById)?.name ?? null,
      figure: line.figureId === null || line.item === null ? null : { id: line.figureId, item: line.item },
      part: line.part && { id: line.part.id, number: line.part.number, unit: line.part.unit as StockUnit },
      chance: task.kind === 'look' ? lookSays(line.key, counted) : null,
    })),
  }
}

/** How many of a job's tasks are open; null where it carries out no service. */
export async function serviceTasksOpen(jobId: number): Promise<number | null> {
  const db = database()
  if ((await db.serviceOfJob.count({ where: { jobId } })) === 0) return null
  return db.serviceTask.count({ where: { jobId, state: 'open' } })
}
