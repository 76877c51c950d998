import { beforeAll, describe, expect, test } from 'vitest'
import { cautionsFor } from '../../lib/companion/cautions.ts'
import { database } from '../../lib/db/client.ts'
import { jobOpen, jobTarget, jobTargetRemove, needAdd, needReplace } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { needDecide, needsAccept } from '../../lib/db/job-decide.ts'
import { jobCautionsInput, jobView } from '../../lib/db/job-read.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { stepKeyRead } from '../../lib/job/step-key.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, needOf, partIdOf, testsDone } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  await stockReceive(asWriter(nell), { partId: await partIdOf('DM60130'), binId: await aBin('C-4'), quantity: 4 })
})

const open = async (fleetNumber: string, serialNumber: string, unsafe: boolean) => {
  const machineId = await aTrailer(modelId, fleetNumber, serialNumber)
  const input = {
    machineId,
    complaint: 'left brake binds',
    kind: 'repair' as const,
    hours: null,
    unsafe,
    positions: [],
  }
  return { machineId, ...(await jobOpen(asWriter(nell), input)) }
}
const aim = async (jobId: number, number: string, positions: string[], quantity: number) =>
  jobTarget(asWriter(nell), { jobId, figureId, lineId: await lineIdOf(figureId, number), positions, quantity })
const close = (jobId: number, correction: string) =>
  jobClose(asWriter(nell), { jobId, cause: '', correction, labourMinutes: 20, hours: null }, 'GBP', { personId: nell })

describe('the serial break on the job', () => {
  test.each([
    ['2249', 'DM60231', 'DM60231A'],
    ['2250', 'DM60231A', 'DM60231'],
  ])('trailer %s gets oil seal %s, not %s', async (serial, right, wrong) => {
    const { jobId } = await open(`S-${serial}`, serial, false)
    await expect(aim(jobId, wrong, ['LH'], 1)).rejects.toMatchObject({ code: 'figure/unknown-item' })
    await aim(jobId, right, ['LH'], 1)
    expect(await needOf(jobId, right, 'LH')).toMatchObject({ origin: 'target' })
  })
})

describe('the cautions of the job', () => {
  test('are those of a trailer: with its brake apart nobody is told to put it on, and it has no engine', async () => {
    const { jobId } = await open('T-30', '2249', false)
    const toldFirst = async () => cautionsFor(await jobCautionsInput(jobId), 'before').map((caution) => caution.id)
    expect(await toldFirst()).toEqual(['drawn-stop'])
    await aim(jobId, 'DM60130', ['LH'], 2)
    expect(await toldFirst()).toEqual(['drawn-stop-no-brake', 'hold', 'supports'])
  })
})

describe('a part that must be renewed, was accepted and was not taken', () => {
  test('is asked about by name before the job closes, and the entry keeps what was missing and why', async () => {
    const { jobId, machineId } = await open('T-10', '2300', false)
    await aim(jobId, 'DM60130', ['LH'], 2)
    await needsAccept(asWriter(nell), { jobId, strength: ['must', 'should'] })
    await testsDone(jobId, nell)
    await expect(close(jobId, 'adjusted only')).rejects.toMatchObject({
      code: 'job/not-fitted',
      happened: expect.stringContaining('Brake shoe'),
      fields: { notFitted: expect.any(String) },
    })
    expect((await jobView(jobId)).state).toBe('open')
    const work = { cause: '', correction: 'adjusted only', labourMinutes: 20, hours: null }
    const { entryId } = await jobClose(asWriter(nell), { jobId, ...work, notFitted: 'lining has 4 mm left' }, 'GBP')
    const { content } = await entryRead(machineId, entryId)
    expect(content.notFitted).toContainEqual(
      expect.objectContaining({
        description: expect.stringContaining('Brake shoe'),
        strength: 'must',
        wanted: 2,
        taken: 0,
      }),
    )
    expect(content.notFittedReason).toBe('lining has 4 mm left')
  })
})

describe('a job that changes its mind', () => {
  test('lets go of what was kept for it when its target is taken back', async () => {
    const { jobId } = await open('T-11', '2300', false)
    await aim(jobId, 'DM60130', ['LH'], 2)
    expect((await needOf(jobId, 'DM60130', 'LH')).allocated).toBe(2)
    const view = await jobView(jobId)
    await jobTargetRemove(asWriter(nell), { jobId, targetId: view.targets[0]!.id })
    const after = await jobView(jobId)
    expect([after.targets, after.needs, after.checks]).toEqual([[], [], []])
    const kept = await database().jobNeed.aggregate({ where: { jobId }, _sum: { allocated: true } })
    expect(kept._sum.allocated).toBeNull()
  })

  test('leaves the right side alone when its pair is declined after all', async () => {
    const { jobId } = await open('T-12', '2300', false)
    await aim(jobId, 'DM60130', ['LH'], 2)
    await needsAccept(asWriter(nell), { jobId, strength: ['must'] })
    const sides = async () => {
      const strip = (await jobView(jobId)).checks.filter((check) => check.kind === 'strip')
      return [...new Set(strip.flatMap((check) => stepKeyRead(check.key)!.side ?? []))]
    }
    expect(await sides()).toEqual(['LH', 'RH'])
    const pair = await needOf(jobId, 'DM60130', 'RH')
    await needDecide(asWriter(nell), { jobId, needId: pair.id, decision: 'declined', reason: 'renewed last month' })
    expect(await sides()).toEqual(['LH'])
  })

  test('takes two halves for one whole where the part was replaced so, and one whole for two halves both ways', async () => {
    const { jobId } = await open('T-13', '2300', false)
    const whole = await aPart({ description: 'Drag chain, 2 m' })
    const half = await aPart({ description: 'Drag chain, 1 m' })
    const link = { oldPartId: whole, newPartId: half, ratio: 2, interchange: 'both-ways' } as const
    await supersessionEnter(asWriter(nell), link)
    await needAdd(asWriter(nell), { jobId, partId: whole, quantity: 3 })
    const need = () => database().jobNeed.findFirstOrThrow({ where: { jobId } })
    await needReplace(asWriter(nell), { jobId, needId: (await need()).id, partId: half })
    expect(await need()).toMatchObject({ partId: half, wanted: 6 })
    await needReplace(asWriter(nell), { jobId, needId: (await need()).id, partId: whole })
    expect(await need()).toMatchObject({ partId: whole, wanted: 3 })
  })
})

describe('a machine with two open jobs', () => {
  test('marked unsafe, it is let go by the last of them only', async () => {
    const first = await open('T-14', '2300', true)
    const second = await jobOpen(asWriter(nell), {
      machineId: first.machineId,
      complaint: 'tail lamp dark',
      kind: 'repair',
      hours: null,
      unsafe: false,
      positions: [],
    })
    const state = async () =>
      (await inTransaction((tx) => tx.machine.findUniqueOrThrow({ where: { id: first.machineId } }))).state
    await close(second.jobId, 'new bulb')
    expect(await state()).toBe('unsafe')
    await close(first.jobId, 'found nothing, test run good')
    expect(await state()).toBe('working')
  })
})
