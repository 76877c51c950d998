import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, jobTarget, jobTargetRemove, needReplace } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { needDecide } from '../../lib/db/job-decide.ts'
import { jobFree } from '../../lib/db/job-free.ts'
import { jobKitChoose, jobKits, jobKitUndo } from '../../lib/db/job-kit.ts'
import { jobPickList, jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { kitContentSet } from '../../lib/db/kit.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { stepKeyRead } from '../../lib/job/step-key.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, partIdOf } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
let kitId = 0
let bin = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  kitId = await aPart({ number: 'DM60130K', description: 'Kit, brake shoes for one axle', partClass: 'brake-shoe' })
  for (const [number, quantity] of [
    ['DM60130', '4'],
    ['DM60131', '2'],
    ['DM60132', '2'],
    ['DM60133', '6'],
  ] as const)
    await kitContentSet(asWriter(nell), { kitId, number, quantity })
  bin = await aBin('K-1')
  await stockReceive(asWriter(nell), { partId: kitId, binId: bin, quantity: 9, costMinor: 21_000 })
  await stockReceive(asWriter(nell), { partId: await partIdOf('DM60130'), binId: bin, quantity: 4, costMinor: 6400 })
})

let fleet = 0
async function brakeJob(...positions: string[]) {
  const machineId = await aTrailer(modelId, `K-${++fleet}`, null)
  const open = {
    machineId,
    complaint: 'brakes bind',
    kind: 'repair' as const,
    hours: null,
    unsafe: false,
    positions: [],
  }
  const { jobId } = await jobOpen(asWriter(nell), open)
  await aim(jobId, positions)
  return { jobId, machineId }
}
const aim = async (jobId: number, positions: string[]) =>
  jobTarget(asWriter(nell), {
    jobId,
    figureId,
    lineId: await lineIdOf(figureId, 'DM60130'),
    positions,
    quantity: 2 * positions.length,
  })
const kitOn = async (jobId: number) => (await jobView(jobId)).needs.find((need) => need.part?.id === kitId)
const singly = async (jobId: number) =>
  (await jobView(jobId)).needs
    .filter((need) => ['DM60130', 'DM60131', 'DM60132', 'DM60133'].includes(need.part?.number ?? ''))
    .map((need) => [need.part!.number, need.positions.join('+'), need.state, need.wanted, need.allocated])

describe('a kit in place of the parts of an axle', () => {
  test('is offered when what it holds is wanted, and says what it leaves over', async () => {
    const { jobId } = await brakeJob('LH', 'RH')
    expect(await jobKits(jobId)).toMatchObject([
      {
        kit: { number: 'DM60130K' },
        kits: 1,
        covers: [{ quantity: 4 }, { quantity: 2 }, { quantity: 2 }, { quantity: 4 }],
        over: [{ number: 'DM60133', quantity: 2 }],
      },
    ])
  })

  test('chosen, it stands alone on the pick list; given up, every line is what it was, answered or not', async () => {
    const { jobId } = await brakeJob('LH', 'RH')
    const spring = (await jobView(jobId)).needs.find((need) => need.part?.number === 'DM60131')!
    await needDecide(asWriter(nell), { jobId, needId: spring.id, decision: 'accepted', wanted: 2 })
    const before = await singly(jobId)
    expect(before.map(([number, , state]) => [number, state])).toEqual([
      ['DM60130', 'accepted'],
      ['DM60131', 'accepted'],
      ['DM60132', 'open'],
      ['DM60133', 'open'],
    ])
    await jobKitChoose(asWriter(nell), { jobId, kitId })
    expect((await singly(jobId)).every(([, , state, , allocated]) => state === 'in-kit' && allocated === 0)).toBe(true)
    expect(await kitOn(jobId)).toMatchObject({ state: 'accepted', wanted: 1, allocated: 1, strength: 'must' })
    expect((await jobPickList(jobId)).lines.map((line) => [line.bin, line.partId, line.quantity])).toEqual([
      ['K-1', kitId, 1],
    ])
    await jobKitUndo(asWriter(nell), { jobId, needId: (await kitOn(jobId))!.id })
    expect(await kitOn(jobId)).toBeUndefined()
    expect(await singly(jobId)).toEqual(before)
  })

  test('chosen for one side and its pair, it opens the other side as the parts would have', async () => {
    const { jobId } = await brakeJob('LH')
    await jobKitChoose(asWriter(nell), { jobId, kitId })
    const strip = (await jobView(jobId)).checks.filter((check) => check.kind === 'strip')
    const at = (side: string) => strip.filter((check) => stepKeyRead(check.key)!.side === side)
    expect(at('RH').map((check) => stepKeyRead(check.key)!.item)).toEqual(
      at('LH').map((check) => stepKeyRead(check.key)!.item),
    )
    expect(at('RH').length).toBeGreaterThan(3)
    expect((await singly(jobId)).map(([number, side, state]) => [number, side, state])).toContainEqual([
      'DM60130',
      'RH',
      'in-kit',
    ])
  })

  test('what comes in a kit is neither answered, replaced nor aimed at anew before the kit is given up', async () => {
    const { jobId } = await brakeJob('LH', 'RH')
    await jobKitChoose(asWriter(nell), { jobId, kitId })
    const view = await jobView(jobId)
    const shoes = view.needs.find((need) => need.part?.number === 'DM60130')!
    const refused = { code: 'input/invalid', happened: expect.stringContaining('comes in a kit') }
    const tries = [
      needDecide(asWriter(nell), { jobId, needId: shoes.id, decision: 'accepted' }),
      needReplace(asWriter(nell), { jobId, needId: shoes.id, partId: kitId }),
      aim(jobId, ['LH']),
      jobTargetRemove(asWriter(nell), { jobId, targetId: view.targets[0]!.id }),
    ]
    for (const one of tries) await expect(one).rejects.toMatchObject(refused)
    // And the same kit is not offered a second time.
    expect(await jobKits(jobId)).toEqual([])
    await expect(jobKitChoose(asWriter(nell), { jobId, kitId })).rejects.toMatchObject({ code: 'input/invalid' })
  })

  test('a kit that is out of its bin goes back before it is given up, and its movements stay told', async () => {
    const { jobId } = await brakeJob('LH', 'RH')
    await jobKitChoose(asWriter(nell), { jobId, kitId })
    const kit = (await kitOn(jobId))!
    await jobTake(asWriter(nell), { jobId, lines: [{ needId: kit.id, binId: bin, quantity: 1 }] })
    await expect(jobKitUndo(asWriter(nell), { jobId, needId: kit.id })).rejects.toMatchObject({
      happened: expect.stringContaining('put it back first'),
    })
    await jobPutBack(asWriter(nell), { jobId, needId: kit.id, binId: bin, quantity: 1 })
    await jobKitUndo(asWriter(nell), { jobId, needId: kit.id })
    expect(await kitOn(jobId)).toMatchObject({ state: 'declined', declineReason: 'its parts are taken singly' })
    expect(await database().movement.count({ where: { needId: kit.id } })).toBe(2)
    expect((await singly(jobId)).some(([, , state]) => state === 'in-kit')).toBe(false)
    // It may be chosen again.
    await jobKitChoose(asWriter(nell), { jobId, kitId })
  })

  test('the service book names the kit, what of it was fitted where, and what is left over', async () => {
    const { jobId, machineId } = await brakeJob('LH', 'RH')
    await jobKitChoose(asWriter(nell), { jobId, kitId })
    const kit = (await kitOn(jobId))!
    await jobTake(asWriter(nell), { jobId, lines: [{ needId: kit.id, binId: bin, quantity: 1 }] })
    for (const need of (await jobView(jobId)).needs.filter((one) => one.state === 'open' && one.kind !== 'act'))
      await needDecide(asWriter(nell), { jobId, needId: need.id, decision: 'declined', reason: 'at the bench' })
    await database().jobCheck.updateMany({ where: { jobId, kind: 'test' }, data: { state: 'done' } })
    const done = { jobId, cause: 'worn', correction: 'axle renewed', labourMinutes: 90, hours: null }
    const { entryId } = await jobClose(asWriter(nell), done, 'GBP')
    const { content } = await entryRead(machineId, entryId)
    expect(content.fitted).toHaveLength(1)
    expect(content.fitted[0]).toMatchObject({ partNumber: 'DM60130K', quantity: 1, costMinor: 21_000 })
    expect(content.fitted[0]!.description).toBe(
      'Kit, brake shoes for one axle, of it fitted: 4 x DM60130 Brake shoe with lining (LH and RH), 2 x DM60131 Return spring, cam end (LH and RH), 2 x DM60132 Return spring, adjuster end (LH and RH), 4 x DM60133 Hold-down spring (LH and RH); left over: 2 x DM60133 Hold-down spring',
    )
    expect(content.notFitted).toEqual([])
    expect(content.declined.map((one) => one.description)).not.toContain('Hold-down spring')
  })
})

describe('what is free for the job', () => {
  test('what one job keeps is not free to the next, and the order that brings more is told with its date', async () => {
    const part = await aPart({ number: 'QB-900', description: 'Return spring' })
    await stockReceive(asWriter(nell), { partId: part, binId: bin, quantity: 3 })
    const [one, two] = [await brakeJob('LH'), await brakeJob('LH')]
    const wants = { key: 'x', origin: 'by-hand', kind: 'part', partId: part, description: 'x', strength: 'must' }
    const need = { ...wants, suggested: 2, wanted: 2, state: 'accepted', allocated: 2 }
    await database().jobNeed.create({ data: { ...need, jobId: one.jobId } })
    const order = { dueOn: '2026-11-20', state: 'ordered', number: 71, orderedAt: new Date('2026-11-02T08:00:00Z') }
    const supplier = await database().supplier.create({ data: { name: 'Orrin', nameKey: 'orrin', leadTimeDays: 5 } })
    await database().purchaseOrder.create({
      data: {
        ...order,
        supplierId: supplier.id,
        personId: nell,
        lines: { create: { partId: part, quantity: 5, priceMinor: 100, reason: 'shelf' } },
      },
    })
    const free = async (jobId: number) => {
      const needs = (await jobView(jobId)).needs.filter((row) => row.part?.id === part)
      return (await jobFree(jobId, needs, [{ partId: part, wanted: needs.length ? 0 : 2 }], '2026-11-27')).freeOf.get(
        part,
      )
    }
    expect(await free(one.jobId)).toMatchObject({ state: 'enough', free: 3, due: null })
    expect(await free(two.jobId)).toEqual({
      state: 'some',
      free: 1,
      keptForOthers: 2,
      due: { number: 71, dueOn: '2026-11-20', daysLate: 7 },
    })
  })
})
