import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { needDecide, needsAccept } from '../../lib/db/job-decide.ts'
import { jobPickList, jobTake } from '../../lib/db/job-parts.ts'
import { jobsList, jobView } from '../../lib/db/job-read.ts'
import { machineHours } from '../../lib/db/machine.ts'
import { serviceBook } from '../../lib/db/service-book.ts'
import { servicesOf } from '../../lib/db/service-due.ts'
import { jobService, jobsToJoin, serviceJobOpen, serviceTaskSet } from '../../lib/db/service-job.ts'
import {
  actLineAdd,
  itemLineAdd,
  partLineAdd,
  scheduleRetire,
  scheduleSave,
  schedulesOf,
  serviceLineRemove,
} from '../../lib/db/service-schedule.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { supersede } from '../../lib/db/supersession.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { databaseFileFaults } from '../../lib/db/verify.ts'
import { ScheduleInput } from '../../lib/service/schema.ts'
import { aTrailer, hubBrakeImported, lineIdOf, partIdOf, testsDone } from '../job/hub-brake-job.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

const workshop = useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
let trailer = 0
let lateTrailer = 0
let scheduleId = 0
let greasing = 0
let lamp = 0

const on = (date: string) => ({ now: new Date(`${date}T08:00:00Z`) })
const read = (machineId: number, date: string, hours: number) =>
  machineHours(asWriter(nell, on(date)), { machineId, hourTenths: hours * 10 })
const dueOf = async (machineId: number, today: string, name = 'Winter service') =>
  (await servicesOf(today, machineId)).find((one) => one.name === name)!
const schedule = (name: string, everyHours: number | null, everyMonths: number | null) =>
  scheduleSave(asWriter(nell), { modelId, name, everyHours, everyMonths, toleranceHours: 0, toleranceDays: 30 })
const openService = (machineId: number, more: { scheduleIds?: number[]; joinJobIds?: number[]; date?: string } = {}) =>
  serviceJobOpen(asWriter(nell, on(more.date ?? '2026-11-10')), {
    machineId,
    scheduleIds: more.scheduleIds ?? [scheduleId],
    joinJobIds: more.joinJobIds ?? [],
    hours: null,
    meterReason: undefined,
  })

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  const bin = await aBin('A-1')
  lamp = await aPart({ number: 'LV-215', description: 'Lamp, rear', partClass: 'electrical' })
  for (const [partId, quantity] of [
    [lamp, 9],
    [await partIdOf('DM60231'), 9],
    [await partIdOf('DM60130'), 9],
  ] as const)
    await stockReceive(asWriter(nell), { partId, binId: bin, quantity, costMinor: 500 })
  trailer = await aTrailer(modelId, 'W-07', '2249')
  lateTrailer = await aTrailer(modelId, 'W-08', '2250')
  scheduleId = (await schedule('Winter service', null, 12)).scheduleId
  greasing = (await schedule('Greasing', 50, null)).scheduleId
  await itemLineAdd(asWriter(nell), { scheduleId, kind: 'always', figureId, item: '10', positions: [] })
  await itemLineAdd(asWriter(nell), { scheduleId, kind: 'on-condition', figureId, item: '5', positions: [] })
  await partLineAdd(asWriter(nell), { scheduleId, kind: 'always', partId: lamp, quantity: 2 })
  await actLineAdd(asWriter(nell), { scheduleId, text: 'Grease all round' })
  await actLineAdd(asWriter(nell), { scheduleId: greasing, text: 'Grease all  round' })
})

describe('a service, from due list to service book:', () => {
  let job = { jobId: 0, number: 0 }
  let complaint = 0

  it('a machine that was never read has no start; the first reading gives it one', async () => {
    expect((await dueOf(trailer, '2026-11-10')).due.state).toBe('no-start')
    await read(trailer, '2025-11-20', 420)
    await read(trailer, '2026-03-01', 440)
    expect((await dueOf(trailer, '2026-10-01')).due).toMatchObject({ state: 'not-due', dueOn: '2026-11-20' })
    expect((await dueOf(trailer, '2026-11-10')).due).toMatchObject({ state: 'soon', daysLeft: 10 })
    expect((await dueOf(trailer, '2026-11-20')).due.state).toBe('due')
    expect((await dueOf(trailer, '2026-12-21')).due.state).toBe('overdue')
    await read(trailer, '2026-06-01', 475)
    expect((await dueOf(trailer, '2026-11-10', 'Greasing')).due).toMatchObject({ state: 'overdue', leftTenths: -50 })
  })

  it('the fleet’s list has every machine, the overdue ones first', async () => {
    const list = await servicesOf('2026-11-10')
    expect(list.map((one) => [one.machine.fleetNumber, one.name, one.due.state])).toEqual([
      ['W-07', 'Greasing', 'overdue'],
      ['W-07', 'Winter service', 'soon'],
      ['W-08', 'Winter service', 'no-start'],
      ['W-08', 'Greasing', 'no-start'],
    ])
  })

  it('an open complaint with a target goes into the service, unless parts were taken for it', async () => {
    const told = await jobOpen(asWriter(nell), {
      machineId: trailer,
      complaint: 'right side pulls',
      kind: 'repair',
      hours: null,
      unsafe: false,
      positions: ['RH'],
      figureId,
      lineId: await lineIdOf(figureId, 'DM60130'),
      quantity: 2,
    })
    complaint = told.jobId
    const taken = await jobOpen(asWriter(nell), {
      machineId: trailer,
      complaint: 'lamp out',
      kind: 'repair',
      hours: null,
      unsafe: false,
      positions: [],
    })
    await needAdd(asWriter(nell), { jobId: taken.jobId, partId: lamp, quantity: 1 })
    const { lines } = await jobPickList(taken.jobId)
    await jobTake(asWriter(nell), { jobId: taken.jobId, lines })
    expect((await jobsToJoin(trailer)).map((one) => [one.complaint, one.why])).toEqual([
      ['right side pulls', null],
      ['lamp out', 'parts were taken for it'],
    ])
    await expect(openService(trailer, { joinJobIds: [taken.jobId] })).rejects.toMatchObject({
      code: 'service/not-joined',
    })
    expect(await database().serviceOfJob.count()).toBe(0)
  })

  it('one job carries both services and the complaint: seals and lamps are on it, the shoes are looked at', async () => {
    job = await openService(trailer, { scheduleIds: [scheduleId, greasing], joinJobIds: [complaint] })
    const view = await jobView(job.jobId)
    expect(view).toMatchObject({
      kind: 'service',
      complaint: `Winter service, Greasing; job ${job.number - 2}: right side pulls`,
    })
    expect(view.targets.map((one) => [one.item, one.positions.join(), one.quantity])).toEqual([
      ['5', 'RH', 2],
      ['10', 'LH,RH', 2],
    ])
    const wanted = view.needs.filter((need) => need.state === 'accepted')
    expect(wanted.map((need) => [need.part?.number, need.wanted, need.allocated])).toEqual([
      ['DM60130', 2, 2],
      ['DM60231', 2, 2],
      ['LV-215', 2, 2],
    ])
    // The split pin that taking the hub off uses up comes up by the companion rules, as on any job.
    expect(view.needs.some((need) => need.part?.number === 'DM60252' && need.strength === 'must')).toBe(true)
    expect(view.checks.filter((check) => check.kind === 'strip').length).toBeGreaterThan(3)
    const { tasks, names } = (await jobService(job.jobId))!
    expect(names).toEqual(['Winter service', 'Greasing'])
    // Both services ask for the grease; it is done once.
    expect(tasks.map((task) => [task.kind, task.text])).toEqual([
      ['look', '5 Brake shoe with lining'],
      ['act', 'Grease all round'],
    ])
    expect(tasks[0]!.chance).toBe('not looked at yet')
  })

  it('the joined job is off the lists, and cannot be worked on by itself', async () => {
    expect((await jobsList({ machineId: trailer, state: 'open' })).map((one) => one.id)).not.toContain(complaint)
    expect(await database().job.findUnique({ where: { id: complaint } })).toMatchObject({
      state: 'joined',
      joinedToId: job.jobId,
    })
    await expect(needsAccept(asWriter(nell), { jobId: complaint, strength: ['must'] })).rejects.toMatchObject({
      code: 'job/closed',
    })
  })

  it('a service at work is not opened twice, and the list says which job does it', async () => {
    await expect(openService(trailer)).rejects.toMatchObject({
      code: 'service/at-work',
      happened: `Job ${job.number} of this machine carries out Winter service already.`,
    })
    expect((await dueOf(trailer, '2026-11-10')).job).toEqual({ id: job.jobId, number: job.number })
  })

  it('the same press of the button twice opens one job', async () => {
    const context = asWriter(nell, on('2026-11-10'))
    const input = {
      machineId: lateTrailer,
      scheduleIds: [scheduleId],
      joinJobIds: [],
      hours: 4300,
      meterReason: undefined,
    }
    const [first, again] = [await serviceJobOpen(context, input), await serviceJobOpen(context, input)]
    expect(again).toEqual(first)
    expect(await database().job.count({ where: { machineId: lateTrailer } })).toBe(1)
    // Its serial number has the other seal.
    expect((await jobView(first.jobId)).needs.map((need) => need.part?.number)).toContain('DM60231A')
  })

  it('a look that finds it worn puts the part on the job, found good after all it goes again', async () => {
    const look = (await jobService(job.jobId))!.tasks[0]!
    const set = (state: 'good' | 'renewed') =>
      serviceTaskSet(asWriter(nell), { jobId: job.jobId, taskId: look.id, state })
    await expect(
      serviceTaskSet(asWriter(nell), { jobId: job.jobId, taskId: look.id, state: 'done' }),
    ).rejects.toMatchObject({ code: 'input/invalid' })
    await set('renewed')
    const shoes = async () => (await jobView(job.jobId)).targets.find((one) => one.item === '5')
    expect(await shoes()).toMatchObject({ positions: ['LH', 'RH'], quantity: 4 })
    await set('good')
    expect(await shoes()).toBeUndefined()
    await set('renewed')
  })

  it('closing asks for what is open, then writes the services down with date and meter', async () => {
    const { jobId } = job
    await needsAccept(asWriter(nell), { jobId, strength: ['must'] })
    const close = () =>
      jobClose(
        asWriter(nell, on('2026-11-12')),
        {
          jobId,
          cause: 'due',
          correction: 'seals and shoes renewed',
          labourMinutes: 300,
          hours: 4800,
          notFitted: 'the rest comes from the bench',
        },
        'GBP',
      )
    const { lines } = await jobPickList(jobId)
    await jobTake(asWriter(nell), { jobId, lines })
    await testsDone(jobId, nell)
    await expect(close()).rejects.toMatchObject({
      code: 'service/tasks-open',
      happened: expect.stringContaining('Grease all round'),
    })
    expect(await database().serviceDone.count()).toBe(0)
    const grease = (await jobService(jobId))!.tasks[1]!
    await serviceTaskSet(asWriter(nell), { jobId, taskId: grease.id, state: 'done' })
    await close()
    const done = await database().serviceDone.findMany({
      where: { machineId: trailer },
      orderBy: { scheduleId: 'asc' },
    })
    expect(done.map((one) => [one.scheduleId, one.hourTenths, one.at.toISOString().slice(0, 10)])).toEqual([
      [scheduleId, 4800, '2026-11-12'],
      [greasing, 4800, '2026-11-12'],
    ])
    const [entry] = await serviceBook(trailer)
    expect(entry!.content.acts).toEqual(
      expect.arrayContaining(['5 Brake shoe with lining: looked at, renewed', 'Grease all round: done']),
    )
    expect(entry!.content.fitted.map((one) => one.partNumber)).toEqual(
      expect.arrayContaining(['DM60231', 'DM60130', 'LV-215']),
    )
  })

  it('it is no longer due, and counts from there', async () => {
    expect(await dueOf(trailer, '2026-11-12')).toMatchObject({
      job: null,
      due: { state: 'not-due', dueOn: '2027-11-12', from: { isDone: true } },
    })
    expect((await dueOf(trailer, '2026-11-12', 'Greasing')).due).toMatchObject({
      state: 'not-due',
      leftTenths: 500,
      dueAtTenths: 5300,
    })
  })

  it('the chance learns from what was found', async () => {
    const [winter] = (await schedulesOf(modelId)).filter((one) => one.name === 'Winter service')
    expect(winter!.lines.find((line) => line.item === '5')!.chance).toBe('renewed at 1 of 1, likely 75 %')
  })

  it('the books stand up to the proof', async () => {
    expect(await databaseFileFaults(workshop.databaseFile)).toEqual([])
  })
})

describe('what a service asks for', () => {
  it('a thing stands on a schedule once; taken off and put back it keeps its history', async () => {
    const line = { scheduleId, kind: 'on-condition' as const, figureId, item: '5', positions: ['LH'] }
    const { lineId } = await itemLineAdd(asWriter(nell), line)
    await serviceLineRemove(asWriter(nell), { scheduleId, lineId })
    await expect(serviceLineRemove(asWriter(nell), { scheduleId, lineId })).rejects.toMatchObject({
      code: 'service/no-such',
    })
    expect((await itemLineAdd(asWriter(nell), line)).lineId).toBe(lineId)
    const lines = (await schedulesOf(modelId)).find((one) => one.id === scheduleId)!.lines
    expect(lines.filter((one) => one.item === '5')).toMatchObject([
      { positions: ['LH'], chance: 'renewed at 1 of 1, likely 75 %' },
    ])
  })

  it('a number that is superseded says by which', async () => {
    const [old, fresh] = [await aPart({ number: 'GR-1' }), await aPart({ number: 'GR-2' })]
    const { lineId } = await partLineAdd(asWriter(nell), { scheduleId, kind: 'always', partId: old, quantity: 1 })
    const successorOf = async () =>
      (await schedulesOf(modelId)).flatMap(({ lines }) => lines).find(({ id }) => id === lineId)?.successor
    expect(await successorOf()).toBeNull()
    await supersede(asWriter(nell), { partId: old, number: 'GR-2', ratio: 1, interchange: 'one-way' })
    expect(await successorOf()).toEqual({ id: fresh, number: 'GR-2' })
    await serviceLineRemove(asWriter(nell), { scheduleId, lineId })
  })

  it('an item or a side that the figure does not have is refused', async () => {
    const line = { scheduleId, kind: 'always' as const, figureId, item: '99', positions: [] }
    await expect(itemLineAdd(asWriter(nell), line)).rejects.toMatchObject({ code: 'figure/unknown-item' })
    await expect(itemLineAdd(asWriter(nell), { ...line, item: '5', positions: ['MIDDLE'] })).rejects.toMatchObject({
      code: 'input/invalid',
    })
  })

  it('a name is used once a model; given up, it may be used again', async () => {
    await expect(schedule('greasing', 100, null)).rejects.toMatchObject({ code: 'service/name-taken' })
    const { scheduleId: spare } = await schedule('Spring check', null, 6)
    await scheduleRetire(asWriter(nell), { scheduleId: spare })
    expect((await servicesOf('2026-11-12', trailer)).map((one) => one.name)).not.toContain('Spring check')
    await expect(openService(trailer, { scheduleIds: [spare] })).rejects.toMatchObject({ code: 'service/no-such' })
    expect((await schedule('Spring check', null, 3)).scheduleId).toBe(spare)
  })

  it('hours, months or both; and a tolerance shorter than what lies between two services', () => {
    const form = {
      modelId: '1',
      name: 'Winter service',
      everyHours: '',
      everyMonths: '',
      toleranceHours: '',
      toleranceDays: '',
    }
    const faults = (more: Record<string, string>) =>
      ScheduleInput.safeParse({ ...form, ...more }).error?.issues.map((issue) => issue.path.join()) ?? []
    expect(faults({})).toEqual(['everyHours'])
    expect(faults({ everyHours: '250' })).toEqual([])
    expect(faults({ everyHours: '250', toleranceHours: '250' })).toEqual(['toleranceHours'])
    expect(faults({ everyMonths: '1', toleranceDays: '28' })).toEqual(['toleranceDays'])
    expect(faults({ everyHours: 'often' })).toEqual(['everyHours'])
  })
})

it('a must that nobody decided still keeps a service open', async () => {
  const job = (await jobsList({ machineId: lateTrailer, state: 'open' }))[0]!
  const needs = (await jobView(job.id)).needs.filter((need) => need.state === 'open' && need.strength === 'must')
  expect(needs.length).toBeGreaterThan(0)
  await needDecide(asWriter(nell), { jobId: job.id, needId: needs[0]!.id, decision: 'accepted' })
  await expect(
    jobClose(asWriter(nell), { jobId: job.id, cause: '', correction: 'done', labourMinutes: 0, hours: null }, 'GBP'),
  ).rejects.toMatchObject({ code: 'job/undecided' })
})

describe('what the machine does not have', () => {
  it('stays off the job, and the job says what was left out and why; a machine that has it is asked for all', async () => {
    const { scheduleId: sprung } = await schedule('Springs', null, 24)
    for (const [item, kind] of [
      ['6', 'always'],
      ['7', 'on-condition'],
      ['10', 'on-condition'],
    ] as const)
      await itemLineAdd(asWriter(nell), { scheduleId: sprung, kind, figureId, item, positions: [] })
    await inTransaction(async (tx) => {
      await tx.partsListLine.updateMany({ where: { figureId, item: '6' }, data: { serialTo: '2249' } })
      await tx.partsListLine.updateMany({ where: { figureId, item: '7' }, data: { serialFrom: '9000' } })
    })
    const told = async (serial: string) => {
      const machineId = await aTrailer(modelId, `S-${serial}`, serial)
      const { jobId } = await openService(machineId, { scheduleIds: [sprung] })
      const { tasks, leftOut } = (await jobService(jobId))!
      const targets = (await jobView(jobId)).targets.map((one) => one.item)
      return {
        targets,
        looks: tasks.map((task) => task.text.split(' ')[0]),
        leftOut: leftOut.map(({ text, why }) => `${text.split(' ')[0]}: ${why}`),
      }
    }
    expect(await told('2251')).toEqual({
      targets: [],
      looks: ['10'],
      leftOut: ['6: serial number 2251 is outside S/N up to 2249', '7: serial number 2251 is outside S/N from 9000'],
    })
    expect(await told('2248')).toMatchObject({ targets: ['6'], leftOut: [expect.stringMatching(/^7: /)] })
    expect(await told('9001')).toMatchObject({
      targets: [],
      looks: ['7', '10'],
      leftOut: [expect.stringMatching(/^6: /)],
    })
  })
})
