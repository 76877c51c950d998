import { beforeAll, describe, expect, it } from 'vitest'
import { RULES } from '../../lib/companion/rules/index.ts'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { jobService, serviceJobOpen, serviceTaskSet } from '../../lib/db/service-job.ts'
import { itemLineAdd, partLineAdd, scheduleSave } from '../../lib/db/service-schedule.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { winterBegin } from '../../lib/db/winter.ts'
import { winterFacts } from '../../lib/db/winter-facts.ts'
import { winterAnswer } from '../../lib/winter/answer.ts'
import type { Want } from '../../lib/winter/facts.ts'
import { winterPlan } from '../../lib/winter/plan.ts'
import { goesWithSays } from '../../lib/winter/words.ts'
import { aTrailer, hubBrakeImported } from '../job/hub-brake-job.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const NOW = new Date('2026-11-02T08:15:00Z')
let nell = ''
let planId = 0
let scheduleId = 0
const machines: number[] = []
let cleaner = 0

const sums = (wants: readonly Want[], of: (want: Want) => boolean) => {
  const byPart = new Map<number, number>()
  for (const want of wants.filter(of)) byPart.set(want.partId, (byPart.get(want.partId) ?? 0) + want.quantity)
  return byPart
}
const certain = (wants: readonly Want[]) => sums(wants, ({ looks }) => looks.length === 0)

/** What the plan of an open job says must or should be had, by part; what was never answered counts as suggested, and gloves are worn again. */
async function jobTakes(jobId: number) {
  const byPart = new Map<number, number>()
  for (const { part, kind, strength, wanted, state, reasons } of (await jobView(jobId)).needs)
    if (part && kind !== 'act' && (state === 'accepted' || (state === 'open' && strength !== 'consider')))
      if (RULES.find(({ id }) => id === reasons[0]?.ruleId)?.family !== 'protection')
        byPart.set(part.id, (byPart.get(part.id) ?? 0) + wanted)
  return byPart
}

const sorted = (byPart: ReadonlyMap<number, number>) => [...byPart].sort(([a], [b]) => a - b)

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  const { figureId, modelId } = await hubBrakeImported(nell, 'blank sheet')
  for (const number of ['W-41', 'W-42']) machines.push(await aTrailer(modelId, number, null))
  cleaner = await aPart({ number: 'QC-1', description: 'Brake cleaner', unit: 'litre', partClass: 'brake-cleaner' })
  const every = { everyHours: null, everyMonths: 12, toleranceHours: null, toleranceDays: 0 }
  scheduleId = (await scheduleSave(asWriter(nell), { modelId, name: 'Winter service', ...every })).scheduleId
  const { item: bearing } = await database().partsListLine.findFirstOrThrow({
    where: { figureId, part: { partClass: 'bearing' } },
    orderBy: { sort: 'asc' },
  })
  const { item: shoe } = await database().partsListLine.findFirstOrThrow({
    where: { figureId, part: { partClass: 'brake-shoe' } },
  })
  await itemLineAdd(asWriter(nell), { scheduleId, kind: 'always', figureId, item: bearing, positions: [] })
  await itemLineAdd(asWriter(nell), { scheduleId, kind: 'on-condition', figureId, item: shoe, positions: ['LH'] })
  await inTransaction(async (tx) => {
    for (const machineId of machines)
      await tx.hourReading.create({ data: { machineId, at: new Date('2025-12-01T08:00:00Z'), hourTenths: 4100 } })
  })
  const season = { from: '2026-11-02', until: '2027-02-28', machinesAWeek: 1, workdays: [1, 2, 3, 4, 5], shut: [] }
  planId = (await winterBegin(asWriter(nell), { name: 'Winter 2026/27', ...season })).planId
})

describe('what goes with planned services in a winter plan', () => {
  let jobId = 0
  let planned: Want[] = []

  it('is what the plan of their job proposes when it is opened, part by part', async () => {
    const { machines: before } = await winterFacts(planId, NOW)
    planned = before[0]!.wants
    expect(planned.filter(({ goesWith }) => goesWith).length).toBeGreaterThan(3)
    expect(certain(before[1]!.wants)).toEqual(certain(planned))
    const asked = {
      machineId: machines[0]!,
      scheduleIds: [scheduleId],
      joinJobIds: [],
      hours: null,
      meterReason: undefined,
    }
    jobId = (await serviceJobOpen(asWriter(nell, { now: NOW }), asked)).jobId
    expect(sorted(await jobTakes(jobId))).toEqual(sorted(certain(planned)))
  })

  it('is not asked for twice once the job is open, nor lost while nobody has answered its list', async () => {
    const { machines: coming, jobs } = await winterFacts(planId, NOW)
    expect(coming.find(({ id }) => id === machines[0])?.wants ?? []).toEqual([])
    expect(sorted(certain(jobs[0]!.wants))).toEqual(sorted(certain(planned)))
    const byLook = (wants: readonly Want[]) => sorted(sums(wants, ({ looks }) => looks.length > 0))
    expect(byLook(jobs[0]!.wants)).toEqual(byLook(planned))
  })

  it('hangs on the look: what it finds worn takes on the job what the plan had said', async () => {
    const task = (await jobService(jobId))!.tasks.find(({ kind }) => kind === 'look')!
    const before = await jobTakes(jobId)
    await serviceTaskSet(asWriter(nell, { now: NOW }), { jobId, taskId: task.id, state: 'renewed' })
    const after = await jobTakes(jobId)
    const more = new Map(
      [...after].flatMap(([id, all]) => (all > (before.get(id) ?? 0) ? [[id, all - (before.get(id) ?? 0)]] : [])),
    )
    expect(sorted(more as Map<number, number>)).toEqual(sorted(sums(planned, ({ looks }) => looks.length > 0)))
  })

  it('is less what an open repair of the machine still asks for, and less what the list of the service names by number', async () => {
    const asked = {
      machineId: machines[1]!,
      kind: 'repair' as const,
      complaint: 'Brake pulls',
      hours: null,
      unsafe: false,
    }
    const { jobId: repair } = await jobOpen(asWriter(nell, { now: NOW }), { ...asked, positions: [] })
    const of = async () => {
      const facts = await winterFacts(planId, NOW)
      return certain(facts.machines.find(({ id }) => id === machines[1])!.wants).get(cleaner) ?? 0
    }
    const whole = await of()
    expect(whole).toBeGreaterThan(100)
    await needAdd(asWriter(nell), { jobId: repair, partId: cleaner, quantity: 100 })
    expect(await of()).toBe(whole - 100)
    await partLineAdd(asWriter(nell), { scheduleId, kind: 'always', partId: cleaner, quantity: 5_000 })
    // The list asks for five litres, which is more than the rules do: nothing is added to it.
    expect(await of()).toBe(5_000)
  })

  it('makes one event of a look in the plan that is reckoned, with all that it brings', async () => {
    const facts = await winterFacts(planId, NOW)
    const reckoned = winterPlan(facts)
    const [work] = reckoned.works.filter(({ job, machineId }) => job === null && machineId === machines[1])
    const jobs = reckoned.file.jobs as { id: string; causes: { look: string }[]; lines: { cause?: string }[] }[]
    const job = jobs.find(({ id }) => id === work!.id)!
    expect(job.causes).toHaveLength(1)
    expect(job.lines.filter(({ cause }) => cause !== undefined).length).toBeGreaterThan(1)
    const { faults, parts } = winterAnswer(reckoned, { budgetMinor: null, spentMinor: 0 })
    expect(faults.filter(({ where }) => where.startsWith('job '))).toEqual([])
    const seal = planned.find(({ goesWith, looks, text }) => goesWith && looks.length === 0 && text.includes('seal'))!
    expect(parts.find(({ partId }) => partId === seal.partId)!.certain).toBeGreaterThanOrEqual(seal.quantity)
    // The list says why; on the other machine its open job has taken it over.
    expect(goesWithSays(reckoned.works).get(seal.partId)).toEqual([seal.goesWith])
  })
})
