import { beforeEach, describe, expect, test } from 'vitest'
import { alternativeApprove, alternativesOf, alternativeUse } from '../../lib/db/alternative.ts'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobPickList, jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { needTakeOff, partsOfServices } from '../../lib/db/job-take-off.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

const ADDED = new Date('2026-11-10T08:00:00Z')
const DAY_BEFORE = new Date('2026-11-09T08:00:00Z')
const DAY_AFTER = new Date('2026-11-11T08:00:00Z')

let people = 0
let [nell, bin, partId, jobId] = ['', 0, 0, 0]
beforeEach(async () => {
  nell = await aPerson(`Nell Farrow ${++people}`)
  bin = await aBin()
  partId = await aPart({ number: `TX-77${people}`, description: 'Clevis pin' })
  jobId = await aJob()
})

async function aJob(): Promise<number> {
  const said = { complaint: 'pin missing', kind: 'repair', hours: null, unsafe: false, positions: [] } as const
  return (await jobOpen(asWriter(nell), { machineId: await aMachine(), ...said, positions: [] })).jobId
}

/** Adds so many by number; answers the id of the line. */
async function added(quantity: number, to = jobId): Promise<number> {
  await needAdd(asWriter(nell, { now: ADDED }), { jobId: to, partId, quantity })
  return (await database().jobNeed.findFirstOrThrow({ where: { jobId: to, partId } })).id
}
const receive = (quantity: number) => stockReceive(asWriter(nell), { partId, binId: bin, quantity })
const takeOff = (needId: number) => needTakeOff(asWriter(nell), { jobId, needId })
const needs = async () => (await jobView(jobId)).needs.map(({ part, state, wanted }) => [part!.number, state, wanted])

let orders = 0
function ordered(orderedAt: Date): Promise<number> {
  orders += 1
  return inTransaction(async (tx) => {
    const name = `Kellbrook ${orders}`
    const supplier = await tx.supplier.create({ data: { name, nameKey: name.toLowerCase(), leadTimeDays: 3 } })
    const { id } = await tx.purchaseOrder.create({
      data: {
        ...{ number: 700 + orders, supplierId: supplier.id, orderedAt, dueOn: '2026-11-20', personId: nell },
        lines: { create: [{ partId, quantity: 2, priceMinor: 250, reason: 'job wants 2' }] },
      },
    })
    return id
  })
}

describe('a part that was added to a job by number', () => {
  test('comes off again: what was kept for it goes to the job that waits, and the press that comes twice takes off once', async () => {
    const needId = await added(2)
    const other = await added(2, await aJob())
    await receive(2)
    const kept = async () => (await database().jobNeed.findUniqueOrThrow({ where: { id: other } })).allocated
    expect(await kept()).toBe(0)
    const press = asWriter(nell)
    await needTakeOff(press, { jobId, needId })
    await needTakeOff(press, { jobId, needId })
    expect(await needs()).toEqual([])
    expect(await kept()).toBe(2)
    // Somebody else with the same screen is told that it is gone.
    await expect(takeOff(needId)).rejects.toMatchObject({ code: 'job/unknown-need' })
    await added(1)
    expect(await needs()).toEqual([[`TX-77${people}`, 'accepted', 1]])
  })

  test('stays while some of it is taken; put back, it comes off and the ledger keeps the line it names', async () => {
    const needId = await added(2)
    await receive(3)
    await jobTake(asWriter(nell), { jobId, lines: (await jobPickList(jobId)).lines })
    await expect(takeOff(needId)).rejects.toMatchObject({
      code: 'job/taken-of-it',
      next: expect.stringContaining('Put it back'),
    })
    await jobPutBack(asWriter(nell), { jobId, needId, binId: bin, quantity: 2 })
    await takeOff(needId)
    expect((await jobView(jobId)).needs[0]).toMatchObject({ state: 'declined', declineReason: 'taken off the job' })
    expect((await jobPickList(jobId)).lines).toEqual([])
    expect(await database().movement.count({ where: { needId } })).toBe(2)
    // Wanted after all: a line of its own.
    await added(1)
    expect((await needs()).map(([, state]) => state).sort()).toEqual(['accepted', 'declined'])
  })

  test('stays while an order brings it that was made since; one from before, one for the shelf and one that was cancelled hold nothing', async () => {
    await ordered(DAY_BEFORE)
    await takeOff(await added(2))
    const needId = await added(2)
    const order = await ordered(DAY_AFTER)
    await expect(takeOff(needId)).rejects.toMatchObject({
      code: 'job/ordered-for-it',
      happened: expect.stringMatching(/^TX-77\d+ Clevis pin is on order 7\d\d since this job asked for it/),
    })
    expect(await needs()).toHaveLength(1)
    await database().purchaseOrderLine.updateMany({ where: { orderId: order }, data: { cancelled: 2 } })
    await takeOff(needId)
    // Enough lies there for the job: what is ordered is for the shelf.
    const served = await added(2)
    await receive(2)
    await ordered(DAY_AFTER)
    await takeOff(served)
    expect(await needs()).toEqual([])
  })

  test('takes along what an alternative was to give in its place, and stays once that was taken', async () => {
    const number = `AL-${people}`
    const used = await aPart({ number, description: 'Clevis pin, other make' })
    await stockReceive(asWriter(nell), { partId: used, binId: bin, quantity: 1 })
    await alternativeApprove(asWriter(nell), { partId, number, interchange: 'one-way', reason: 'same size' })
    const alternativeId = (await alternativesOf([partId])).get(partId)![0]!.id
    const needId = await added(3)
    await alternativeUse(asWriter(nell), { jobId, needId, alternativeId })
    expect(await needs()).toHaveLength(2)
    await takeOff(needId)
    expect(await needs()).toEqual([])

    const again = await added(3)
    await alternativeUse(asWriter(nell), { jobId, needId: again, alternativeId })
    await jobTake(asWriter(nell), { jobId, lines: (await jobPickList(jobId)).lines })
    await expect(takeOff(again)).rejects.toMatchObject({ code: 'job/taken-of-it' })
  })
})

describe('what was not added by number', () => {
  test('does not come off this way: a line of another job, one that the drawing asks for, one of a closed job', async () => {
    const elsewhere = await added(1, await aJob())
    await expect(takeOff(elsewhere)).rejects.toMatchObject({ code: 'job/unknown-need' })
    const needId = await added(1)
    await database().jobNeed.update({ where: { id: needId }, data: { key: '4:target:7', origin: 'target' } })
    await expect(takeOff(needId)).rejects.toMatchObject({ code: 'job/unknown-need' })
    await database().job.update({ where: { id: jobId }, data: { state: 'closed' } })
    await expect(takeOff(needId)).rejects.toMatchObject({ code: 'job/closed' })
    expect(await needs()).toHaveLength(1)
  })

  test('nor what a service of the job asks for by number, in any case or since a look said that it is renewed', async () => {
    const needId = await added(1)
    const { modelId } = (await database().job.findUniqueOrThrow({ where: { id: jobId }, include: { machine: true } }))
      .machine
    const look = await inTransaction(async (tx) => {
      const schedule = await tx.serviceSchedule.create({
        data: {
          ...{ modelId, name: 'Winter', nameKey: 'winter', everyMonths: 12 },
          lines: { create: { key: 'pin', kind: 'on-condition', sort: 1, text: 'Clevis pin', partId, quantity: 1 } },
        },
        include: { lines: true },
      })
      await tx.serviceOfJob.create({ data: { jobId, scheduleId: schedule.id } })
      const of = { jobId, lineId: schedule.lines[0]!.id, kind: 'look', sort: 1, text: 'Clevis pin' }
      return tx.serviceTask.create({ data: { ...of, state: 'renewed' } })
    })
    await expect(takeOff(needId)).rejects.toMatchObject({ code: 'job/asked-by-service' })
    await database().serviceTask.update({ where: { id: look.id }, data: { state: 'good' } })
    expect(await partsOfServices(jobId)).toEqual(new Set())
    await database().serviceLine.update({ where: { id: look.lineId }, data: { kind: 'always' } })
    expect(await partsOfServices(jobId)).toEqual(new Set([partId]))
    await expect(takeOff(needId)).rejects.toMatchObject({ code: 'job/asked-by-service' })
  })
})
