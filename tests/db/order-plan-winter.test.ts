import { beforeAll, describe, expect, test } from 'vitest'
import { nameKey } from '../../lib/catalogue/part-number.ts'
import { buyingSettings, buyingSettingsSave } from '../../lib/db/buying-settings.ts'
import { database } from '../../lib/db/client.ts'
import { planChoicesSet, planChoiceUndo, planWinterLeave } from '../../lib/db/order-plan-hand.ts'
import { planOrder } from '../../lib/db/order-plan-place.ts'
import { planLast, planRunReckon, type SolvedBeside } from '../../lib/db/order-plan-run.ts'
import { planRunBegin } from '../../lib/db/order-plan-start.ts'
import { winterAsked, wintersInForce } from '../../lib/db/order-plan-winter.ts'
import { partLineAdd, scheduleSave } from '../../lib/db/service-schedule.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { winterBegin, winterBudgetKeep, winterEnd, winterQuantitySet } from '../../lib/db/winter.ts'
import { winterDraftsNow, winterOrders, winterSpent } from '../../lib/db/winter-order.ts'
import { winterStanding } from '../../lib/db/winter-run.ts'
import { planAnswer } from '../../lib/replenish/plan-answer.ts'
import { planRead } from '../../lib/replenish/plan-read.ts'
import { planSolve } from '../../lib/replenish/plan-solve.ts'
import { highsSolver } from '../../lib/solver/highs.ts'
import { choiceAt, choiceLines } from '../../lib/winter/choice.ts'
import { aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

/** A Monday. */
const DAY = '2026-11-02'
const NOW = new Date(`${DAY}T08:15:00Z`)
const clock = () => NOW

let nell = ''
let planId = 0
let scheduleId = 0
let first = 0
const parts = { belt: 0, bearing: 0, lamp: 0 }

const inProcess: SolvedBeside = async (problem, seconds) => {
  const read = planRead(problem)
  if (!read.facts) throw new Error(JSON.stringify(read.faults))
  const solve = await highsSolver()
  return planAnswer(read, planSolve(read.facts, { solve, now: () => performance.now() / 1000, seconds, gap: 0 }))
}
const ofRun = async (runId: number) => (await planRunReckon(runId, clock, inProcess)).plan!.answer
const reckoned = async () => ofRun((await planRunBegin(asWriter(nell), { seconds: 5 })).runId)
const linesOf = (answer: Awaited<ReturnType<typeof reckoned>>) =>
  answer.orders.flatMap(({ supplier, lines }) => lines.map(({ part, quantity }) => `${supplier} ${part} ${quantity}`))
const press = async () => planOrder(asWriter(nell, { now: NOW }), { runId: (await planLast(NOW))!.runId })

/** What the list of the winter plan buys of each part at its kept budget. */
async function listBuys(): Promise<Record<number, number>> {
  const { answer, plan } = await winterStanding(planId, NOW)
  const { count } = choiceAt(answer!.curve, plan.budgetMinor ?? Number.POSITIVE_INFINITY)
  return Object.fromEntries([...choiceLines(answer!.curve, count)].map(([partId, { pieces }]) => [partId, pieces]))
}

/** An open job that wants one of a part. */
async function aJobFor(number: number, partId: number): Promise<number> {
  return inTransaction(async (tx) => {
    const job = { number, machineId: first, complaint: 'Service', openedById: nell, openedAt: NOW }
    const { id } = await tx.job.create({ data: { ...job, needOn: '2026-11-30' } })
    const need = { jobId: id, key: 'by-hand:1', origin: 'by-hand', kind: 'part', partId, description: 'Part' }
    await tx.jobNeed.create({ data: { ...need, strength: 'must', suggested: 1, wanted: 1, state: 'accepted' } })
    return id
  })
}

beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  first = await aMachine('W-21')
  const { modelId } = await database().machine.findUniqueOrThrow({ where: { id: first } })
  const second = await inTransaction((tx) =>
    tx.machine.create({ data: { modelId, fleetNumber: 'W-22', fleetKey: 'w22', name: 'Trailer' } }),
  )
  parts.belt = await aPart({ number: 'FM-210', description: 'Belt' })
  parts.bearing = await aPart({ number: 'FM-334', description: 'Bearing' })
  parts.lamp = await aPart({ number: 'FM-500', description: 'Lamp' })
  const schedule = { everyHours: null, everyMonths: 12, toleranceHours: null, toleranceDays: 0 }
  scheduleId = (await scheduleSave(asWriter(nell), { modelId, name: 'Winter service', ...schedule })).scheduleId
  await partLineAdd(asWriter(nell), { scheduleId, kind: 'always', partId: parts.belt, quantity: 1 })
  const look = { scheduleId, kind: 'on-condition' as const, partId: parts.bearing, quantity: 2 }
  await partLineAdd(asWriter(nell), look)
  await inTransaction(async (tx) => {
    for (const [at, machineId] of [first, second.id].entries())
      await tx.hourReading.create({
        data: { machineId, at: new Date(`2025-12-0${1 + 7 * at}T08:00:00Z`), hourTenths: 10 },
      })
    const supplier = (name: string, carriageMinor: number) =>
      tx.supplier.create({ data: { name, nameKey: nameKey(name), leadTimeDays: 5, carriageMinor } })
    const [hollin, marlpit] = [await supplier('Hollin Bearings', 650), await supplier('Marlpit Farm Factors', 0)]
    const offer = (supplierId: number, partId: number, priceMinor: number, more: object = {}) =>
      tx.offer.create({ data: { supplierId, partId, priceMinor, pack: 1, minimum: 1, ...more } })
    await offer(hollin.id, parts.belt, 2150, { preferred: true })
    await offer(marlpit.id, parts.belt, 1900)
    await offer(marlpit.id, parts.bearing, 1500)
    await offer(marlpit.id, parts.lamp, 700)
  })
  const season = { name: 'Winter 2026/27', from: DAY, until: '2027-02-28', machinesAWeek: 1, workdays: [1, 2, 3, 4, 5] }
  planId = (await winterBegin(asWriter(nell), { ...season, shut: [] })).planId
})

describe('the order plan with a winter plan', () => {
  test('without a budget it buys what the services are certain to take, and says for which machines', async () => {
    const answer = await reckoned()
    expect(linesOf(answer)).toEqual(['Marlpit Farm Factors FM-210 2'])
    expect(answer.orders[0]!.lines[0]!.pegged.map(({ quantity, for: what }) => [quantity, what.service])).toEqual([
      [1, 'Winter 2026/27: W-21'],
      [1, 'Winter 2026/27: W-22'],
    ])
    expect((await planLast(NOW))?.isStale).toBe(false)
  })

  test('a buyer leaves the winter plan out, and takes it in again', async () => {
    expect(linesOf(await ofRun((await planWinterLeave(asWriter(nell), {})).runId))).toEqual([])
    const [set] = await planChoicesSet()
    expect(set).toMatchObject({ kind: 'no-winter', by: 'Nell Farrow' })
    const back = await planChoiceUndo(asWriter(nell), { choiceId: set!.id })
    expect(linesOf(await ofRun(back.runId))).toEqual(['Marlpit Farm Factors FM-210 2'])
  })

  test('a service that has become a job is a job, and not a need of the winter as well', async () => {
    const jobId = await aJobFor(9, parts.belt)
    await inTransaction((tx) => tx.serviceOfJob.create({ data: { jobId, scheduleId } }))
    const answer = await reckoned()
    expect(linesOf(answer)).toEqual(['Marlpit Farm Factors FM-210 2'])
    expect(answer.orders[0]!.lines[0]!.pegged.map(({ for: what }) => what.job ?? what.service).sort()).toEqual([
      '9',
      'Winter 2026/27: W-22',
    ])
    await inTransaction(async (tx) => {
      await tx.jobNeed.deleteMany({ where: { jobId } })
      await tx.serviceOfJob.deleteMany({ where: { jobId } })
      await tx.job.update({ where: { id: jobId }, data: { state: 'closed' } })
    })
  })

  test('an order that is for the plan only is an order of the plan: its list is smaller by it, and nothing is bought twice', async () => {
    await reckoned()
    expect(await listBuys()).toMatchObject({ [parts.belt]: 2 })
    const { orders } = await press()
    expect(orders).toHaveLength(1)
    expect((await winterOrders(planId)).map(({ id, costMinor }) => [id, costMinor])).toEqual([
      [orders[0]!.orderId, 3800],
    ])
    expect(await listBuys()).not.toHaveProperty(String(parts.belt))
    expect(linesOf(await reckoned())).toEqual([])
  })

  test('of what is on condition as much is bought as the list at its kept budget; beside a job the budget pays its share', async () => {
    await aJobFor(10, parts.lamp)
    const { answer } = await winterStanding(planId, NOW)
    const budget = answer!.curve.steps.at(-1)!.costMinor
    await winterBudgetKeep(asWriter(nell), { planId, budget })
    const list = await listBuys()
    expect(list).toEqual({ [parts.bearing]: 4, [parts.lamp]: 1 })
    const plan = await reckoned()
    expect(linesOf(plan).sort()).toEqual(['Marlpit Farm Factors FM-334 4', 'Marlpit Farm Factors FM-500 1'])
    const { orders } = await press()
    // A lamp for a job is in it, so it is no order of the plan, but it comes and the plan has paid for its bearings.
    expect((await winterOrders(planId)).map(({ id }) => id)).not.toContain(orders[0]!.orderId)
    const after = await winterStanding(planId, NOW)
    expect(after.plan.budgetMinor).toBe(budget - 4 * 1500)
    expect(await listBuys()).toEqual({})
    expect(linesOf(await reckoned())).toEqual([])
  })

  test('what was set by hand is bought once; above the limit of whoever presses it is a draft of the plan', async () => {
    await winterQuantitySet(asWriter(nell), { planId, partId: parts.belt, quantity: 3 })
    expect(linesOf(await reckoned())).toEqual(['Marlpit Farm Factors FM-210 3'])
    await buyingSettingsSave(asWriter(nell), { ...(await buyingSettings()), buyerLimitMinor: 1000 })
    const { drafts } = await press()
    expect((await winterDraftsNow(planId, DAY)).map(({ id }) => id)).toEqual(drafts.map(({ draftId }) => draftId))
    expect(await winterSpent(planId, DAY)).toEqual({ ordered: 3800, drafted: 5700 })
    expect(linesOf(await reckoned())).toEqual([])
  })

  test('a plan that was ended or whose season is over asks for nothing', async () => {
    expect((await winterAsked(NOW)).needs).not.toEqual([])
    expect(await wintersInForce('2027-02-28')).toHaveLength(1)
    expect(await wintersInForce('2027-03-01')).toEqual([])
    await winterEnd(asWriter(nell), { planId })
    expect(await winterAsked(NOW)).toEqual({ needs: [], faults: [] })
  })
})
