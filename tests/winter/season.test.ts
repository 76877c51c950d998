import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { centreBudgetSet, costCentreClose, costCentreMachines, costCentreSave } from '../../lib/db/cost-centre.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { jobPickList, jobTake } from '../../lib/db/job-parts.ts'
import { jobService, serviceJobOpen, serviceTaskSet } from '../../lib/db/service-job.ts'
import { partLineAdd, scheduleSave, serviceLineRemove } from '../../lib/db/service-schedule.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { winterBegin, winterEnd, winterMachineSet } from '../../lib/db/winter.ts'
import { winterBudgets } from '../../lib/db/winter-budget.ts'
import { winterCopies, winterCopyBegin, winterCopyOf } from '../../lib/db/winter-copy.ts'
import { winterFacts } from '../../lib/db/winter-facts.ts'
import { winterOrder } from '../../lib/db/winter-order.ts'
import { winterReview } from '../../lib/db/winter-review.ts'
import { winterStanding } from '../../lib/db/winter-run.ts'
import { fleetRunning } from '../../lib/db/winter-running.ts'
import { chancesSay } from '../../lib/winter/review-looks.ts'
import { machineSays } from '../../lib/winter/review-machine.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const on = (day: string) => ({ now: new Date(`${day}T08:15:00Z`) })
/** A Monday, the first day of the season. */
const FIRST = on('2026-11-02').now
const AFTER = on('2027-03-03').now

let nell = ''
let planId = 0
let binId = 0
let scheduleId = 0
let look = 0
let lampJob = 0
const machines: number[] = []
const parts = { belt: 0, bearing: 0, lamp: 0 }

const SEASON = { from: '2026-11-02', until: '2027-02-28', machinesAWeek: 1, workdays: [1, 2, 3, 4, 5], shut: [] }

async function service(machineId: number, days: [opened: string, taken: string], state: 'good' | 'renewed') {
  const [opened, taken] = days
  const asked = { machineId, scheduleIds: [scheduleId], joinJobIds: [], hours: null, meterReason: undefined }
  const { jobId } = await serviceJobOpen(asWriter(nell, on(opened)), asked)
  const { tasks } = (await jobService(jobId))!
  await serviceTaskSet(asWriter(nell, on(taken)), { jobId, taskId: tasks[0]!.id, state })
  const { lines } = await jobPickList(jobId)
  await jobTake(asWriter(nell, on(taken)), { jobId, lines })
  const done = { jobId, cause: 'due', correction: 'serviced', labourMinutes: 60, hours: null }
  await jobClose(asWriter(nell, on(taken)), done, 'GBP')
}

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  const first = await aMachine('W-31')
  const { modelId } = await database().machine.findUniqueOrThrow({ where: { id: first } })
  const two = { modelId, fleetNumber: 'W-32', fleetKey: 'w32', name: 'Trailer' }
  machines.push(first, (await inTransaction((tx) => tx.machine.create({ data: two }))).id)
  parts.belt = await aPart({ number: 'FM-210', description: 'Belt', costMinor: 2_000 })
  parts.bearing = await aPart({ number: 'FM-334', description: 'Bearing', costMinor: 1_800 })
  parts.lamp = await aPart({ number: 'FM-500', description: 'Lamp', costMinor: 900 })
  const every = { everyHours: null, everyMonths: 12, toleranceHours: null, toleranceDays: 0 }
  scheduleId = (await scheduleSave(asWriter(nell), { modelId, name: 'Winter service', ...every })).scheduleId
  await partLineAdd(asWriter(nell), { scheduleId, kind: 'always', partId: parts.belt, quantity: 1 })
  const asked = { scheduleId, kind: 'on-condition' as const, partId: parts.bearing, quantity: 2 }
  look = (await partLineAdd(asWriter(nell), asked)).lineId
  await inTransaction(async (tx) => {
    for (const machineId of machines)
      await tx.hourReading.create({ data: { machineId, at: on('2025-12-01').now, hourTenths: 10 } })
    const hollin = { name: 'Hollin Bearings', nameKey: 'hollin bearings', leadTimeDays: 10 }
    const { id } = await tx.supplier.create({ data: hollin })
    for (const [partId, priceMinor] of [
      [parts.belt, 2_150],
      [parts.bearing, 1_890],
    ] as const)
      await tx.offer.create({ data: { supplierId: id, partId, priceMinor, pack: 1, minimum: 1 } })
    // Four looks of the year before: one bearing had to be renewed.
    for (let number = 1; number <= 4; number++) {
      const at = on(`2025-0${number}-03`).now
      const job = { number, machineId: first, state: 'closed', kind: 'service', complaint: 'Service', openedById: nell }
      const made = await tx.job.create({ data: { ...job, openedAt: at } })
      const task = { jobId: made.id, lineId: look, kind: 'look', sort: 1, text: 'Bearing', doneAt: at }
      await tx.serviceTask.create({ data: { ...task, state: number === 1 ? 'renewed' : 'good' } })
    }
  })
  binId = await aBin()
  await stockReceive(asWriter(nell, on('2026-10-01')), { partId: parts.bearing, binId, quantity: 2, costMinor: 1_800 })
  planId = (await winterBegin(asWriter(nell), { name: 'Winter 2026/27', ...SEASON })).planId
  for (const [at, machineId] of machines.entries())
    await winterMachineSet(asWriter(nell), {
      planId,
      machineId,
      comes: 'in',
      weekOn: ['2026-11-09', '2026-11-23'][at]!,
    })
})

describe('a season, from its plan to its review:', () => {
  it('there is no review before its first day', async () => {
    expect(await winterReview(planId, on('2026-11-01').now)).toBeNull()
  })

  it('what the plan says is kept once its season has begun, and again with its orders', async () => {
    const standing = await winterStanding(planId, FIRST)
    await winterCopyBegin(standing, on('2026-11-01').now)
    expect(await winterCopies(planId)).toEqual([])
    await winterCopyBegin(standing, FIRST)
    await winterCopyBegin(standing, FIRST)
    const supplier = await database().supplier.findFirstOrThrow()
    const of = { supplierId: supplier.id, seen: 0 }
    const lines = [
      { partId: parts.belt, quantity: 3, ...of },
      { partId: parts.bearing, quantity: 2, ...of },
    ]
    // 3 x 21.50 and 2 x 18.90.
    const costs = [{ supplierId: supplier.id, goodsMinor: 10_230, carriageMinor: 0 }]
    const input = { planId, ordersMade: 0, lines, costs }
    const copy = await winterCopyOf(standing)
    const { orderIds } = await winterOrder(asWriter(nell, { now: FIRST }), input, new Map(), copy)
    expect((await winterCopies(planId)).map(({ kind, orderIds: of }) => [kind, of])).toEqual([
      ['begin', []],
      ['orders', orderIds],
    ])
    // Two belts in any case; bearings renewed at 1 of 4, so 1.5 of 5 a look (Gelman and others, Bayesian Data Analysis, 3rd
    // edition, section 2.4): two looks at a pair each expect 1.2.
    expect(copy!.parts).toMatchObject([
      { partId: parts.belt, certain: 2, mean: 2, stock: 0, priceMinor: 2_150 },
      { partId: parts.bearing, certain: 0, mean: expect.closeTo(1.2, 12), stock: 2, priceMinor: 1_890 },
    ])
    expect(copy!.needs).toContainEqual({
      partId: parts.bearing,
      machineId: machines[1],
      certain: 0,
      mean: expect.closeTo(0.6, 12),
    })
    await expect(inTransaction((tx) => tx.winterCopy.updateMany({ data: { kind: 'end' } }))).rejects.toThrow()
  })

  it('the review says what was bought, used, left over and missed, and what each machine waited for', async () => {
    for (const [partId, quantity, costMinor] of [
      [parts.belt, 3, 2_150],
      [parts.bearing, 2, 1_890],
    ] as const)
      await stockReceive(asWriter(nell, on('2026-11-12')), { partId, binId, quantity, costMinor })
    // The first was wanted on the 9th, three days before its belt came.
    await service(machines[0]!, ['2026-11-09', '2026-11-13'], 'good')
    await service(machines[1]!, ['2026-11-23', '2026-11-24'], 'renewed')
    const told = { machineId: machines[1]!, complaint: 'Lamp out', kind: 'repair' as const, hours: null, unsafe: false }
    lampJob = (await jobOpen(asWriter(nell, on('2027-01-11')), { ...told, positions: [] })).jobId
    await needAdd(asWriter(nell, on('2027-01-11')), { jobId: lampJob, partId: parts.lamp, quantity: 1 })
    // What is taken off the service later does not change what the plan had said.
    await serviceLineRemove(asWriter(nell), { scheduleId, lineId: look })

    const review = (await winterReview(planId, AFTER))!
    expect([review.span, review.isOver, review.copy?.kind]).toEqual([
      { from: '2026-11-02', until: '2027-02-28' },
      true,
      'begin',
    ])
    const rows = review.rows.map(({ part, planned, there, left, missing }) => [
      part.number,
      planned?.certain ?? null,
      there,
      part.bought,
      part.used,
      left,
      missing,
    ])
    expect(rows).toEqual([
      ['FM-500', null, 0, 0, 0, 0, 1],
      ['FM-334', 0, 2, 2, 2, 2, 0],
      ['FM-210', 2, 0, 3, 2, 1, 0],
    ])
    // Left over: two bearings and a belt. Used: two belts and two bearings at the average of 2 x 18.00 and 2 x 18.90.
    expect(review.sums).toMatchObject({
      certainMinor: 4_300,
      boughtMinor: 3 * 2_150 + 2 * 1_890,
      usedMinor: 2 * 2_150 + 3_690,
      leftMinor: 2_150 + 2 * 1_890,
      missingMinor: 900,
    })
    expect(review.machines.map((one) => [one.state, machineSays(one, (id) => review.numbers.get(id)!)])).toEqual([
      ['waited', 'waited for FM-210 until 12 Nov 2026'],
      ['ready', 'ready by its week'],
    ])
  })

  it('what looks found counts in the next plan: one renewed, one left, both in the books of a closed service', async () => {
    const { chances } = (await winterReview(planId, AFTER))!
    // Before: (0.5 + 1) of (1 + 4). Now: (0.5 + 2) of (1 + 6).
    expect(chances.looks).toMatchObject([
      { looked: 2, renewed: 1, before: expect.closeTo(0.3, 12), now: expect.closeTo(2.5 / 7, 12) },
    ])
    expect(chancesSay(chances)).toBe(
      'At 2 looks 0.6 renewals were expected and 1 found: too few to tell whether the chances were right.',
    )
    const asked = { scheduleId, kind: 'on-condition' as const, partId: parts.bearing, quantity: 2 }
    await partLineAdd(asWriter(nell), asked)
    const next = await winterBegin(asWriter(nell), {
      name: 'Winter 2027/28',
      ...SEASON,
      from: '2027-11-01',
      until: '2028-02-29',
    })
    await winterMachineSet(asWriter(nell), {
      planId: next.planId,
      machineId: machines[0]!,
      comes: 'in',
      weekOn: null,
    })
    const { looks } = await winterFacts(next.planId, on('2027-10-04').now)
    expect(looks).toEqual([
      {
        key: `part:${parts.bearing}`,
        text: 'Bearing',
        own: { looked: 6, renewed: 2 },
        others: { looked: 0, renewed: 0 },
      },
    ])
  })

  it('each cost centre pays what its machines needed when the order was made, against its budget', async () => {
    const centre = async (code: string, name: string, machineId: number) => {
      const { centreId } = await costCentreSave(asWriter(nell), { code, name })
      await costCentreMachines(asWriter(nell), { centreId, machineIds: [machineId] })
      return centreId
    }
    const [home, river] = [await centre('410', 'Home farm', machines[0]!), await centre('420', 'River', machines[1]!)]
    await expect(costCentreSave(asWriter(nell), { code: '4 10', name: 'Again' })).rejects.toMatchObject({
      code: 'cost-centre/code-taken',
    })
    await centreBudgetSet(asWriter(nell), { planId, centreId: home, budget: 5_000 })
    await centreBudgetSet(asWriter(nell), { planId, centreId: river, budget: 9_000 })
    const budgets = await winterBudgets(await winterStanding(planId, AFTER), null)
    // 3 belts for 64.50 and 2 bearings for 37.80; both machines needed as many of either, and nothing was booked in by its order.
    expect(budgets.ordersWithout).toBe(0)
    expect(
      budgets.rows.map(({ centre, planned, onOrder, received, leftMinor }) => [
        centre?.code ?? null,
        planned,
        onOrder + received,
        leftMinor,
      ]),
    ).toEqual([
      ['410', 0, 3_225 + 1_890, 5_000 - 5_115],
      ['420', 0, 3_225 + 1_890, 9_000 - 5_115],
      [null, 0, 0, null],
    ])
    // A machine that comes to the other centre takes what was spent for it along.
    await costCentreMachines(asWriter(nell), { centreId: river, machineIds: machines })
    await costCentreClose(asWriter(nell), { centreId: home })
    const { rows } = await winterBudgets(await winterStanding(planId, AFTER), null)
    expect(rows.map(({ onOrder, received }) => onOrder + received)).toEqual([10_230, 0, 0])
    await expect(centreBudgetSet(asWriter(nell), { planId, centreId: home, budget: 1 })).rejects.toMatchObject({
      code: 'cost-centre/closed',
    })
  })

  it('when the plan is closed, what still waits is kept: a part that comes later does not change the review', async () => {
    await winterEnd(asWriter(nell, { now: AFTER }), { planId })
    await stockReceive(asWriter(nell, { now: AFTER }), { partId: parts.lamp, binId, quantity: 1, costMinor: 900 })
    expect(await database().jobNeed.findFirst({ where: { jobId: lampJob } })).toMatchObject({ allocated: 1 })
    const { rows } = (await winterReview(planId, AFTER))!
    expect(rows[0]).toMatchObject({ part: { number: 'FM-500', waiting: 1 }, missing: 1 })
  })

  it('a plan of which nothing was kept says so by having no copy: nothing of it is called planned', async () => {
    const old = await winterBegin(asWriter(nell), {
      name: 'Winter 2025/26',
      ...SEASON,
      from: '2025-11-03',
      until: '2026-02-28',
    })
    const review = (await winterReview(old.planId, AFTER))!
    expect([review.copy, review.rows, review.machines, review.chances.looked]).toEqual([null, [], [], 0])
  })
})

describe('failures in the winter window', () => {
  it('are read off the meters of the machines that have the part, by the same months of earlier years', async () => {
    const lever = await aPart({ number: 'FM-700', description: 'Lever' })
    const [one, two] = machines as [number, number]
    const { modelId } = await database().machine.findUniqueOrThrow({ where: { id: one } })
    await inTransaction(async (tx) => {
      const digest = { id: 'f'.repeat(64), mediaType: 'image/png', extension: 'png', width: 9, height: 9, bytes: 9 }
      await tx.picture.create({ data: { ...digest, createdAt: FIRST } })
      const drawn = { title: 'Linkage', pictureId: digest.id, width: 9, height: 9, createdAt: FIRST }
      const figure = await tx.figure.create({ data: drawn })
      await tx.figureOfModel.create({ data: { modelId, figureId: figure.id, number: '9', numberKey: '9' } })
      const line = { figureId: figure.id, sort: 1, item: '1', partId: lever, description: 'Lever', quantity: 1 }
      await tx.partsListLine.create({ data: line })
      // The first runs 60 h from November 2028 to February 2029 of 600 h in the year; the second is read twice a year only.
      const read = (machineId: number, day: string, hours: number) =>
        tx.hourReading.create({ data: { machineId, at: new Date(`${day}T00:00:00Z`), hourTenths: hours * 10 } })
      for (const [day, hours] of [
        ['2028-11-01', 1_000],
        ['2029-01-05', 1_025],
        ['2029-03-01', 1_060],
        ['2029-06-01', 1_300],
        ['2029-11-01', 1_600],
      ] as const)
        await read(one, day, hours)
      await read(two, '2029-05-01', 2_000)
      await read(two, '2029-11-01', 2_184)
    })
    const span = { from: '2029-11-01', until: '2030-02-28' }
    const { shares, bySeason, byYear } = await fleetRunning([lever, parts.lamp], span, '2029-11-01')
    expect([bySeason, byYear]).toEqual([1, 1])
    // Over 120 days: 60 h of 600 h / 365 x 120, and 1 h a day of the second whatever is asked.
    expect(shares.get(lever)).toBeCloseTo((60 + 120) / ((600 / 365) * 120 + 120), 9)
    expect(shares.has(parts.lamp)).toBe(false)
  })
})
