import sharp from 'sharp'
import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { jobCheckSet } from '../../lib/db/job-check.ts'
import { foundAdd, otherSideAdd, otherSidesOf } from '../../lib/db/job-found.ts'
import { jobPhotoAdd, jobPhotosRead } from '../../lib/db/job-photo.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { stepKeyBare, stepKeyRead, stepKeySay } from '../../lib/job/step-key.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
})

let trailers = 0
async function shoesAt(...positions: string[]): Promise<number> {
  trailers += 1
  const machineId = await aTrailer(modelId, `S-${trailers}`, '2249')
  const said = { complaint: 'brake drags', kind: 'repair', hours: null, unsafe: false } as const
  const { jobId } = await jobOpen(asWriter(nell), { machineId, ...said, positions: [] })
  const lineId = await lineIdOf(figureId, 'DM60130')
  await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions, quantity: 2 * positions.length })
  return jobId
}
const stepsAt = async (jobId: number, side: string, kind = 'strip') =>
  (await jobView(jobId)).checks.filter((check) => check.kind === kind && stepKeyRead(check.key)?.side === side)

describe('ticks of a job on both wheels', () => {
  test('the left wheel is ticked off while the right one is still to do', async () => {
    const jobId = await shoesAt('LH', 'RH')
    const left = await stepsAt(jobId, 'LH')
    expect((await stepsAt(jobId, 'RH')).map((step) => stepKeyRead(step.key)!.item)).toEqual(
      left.map((step) => stepKeyRead(step.key)!.item),
    )
    for (const { id } of left) await jobCheckSet(asWriter(nell), { jobId, checkId: id, state: 'done' })
    expect((await stepsAt(jobId, 'LH')).every((step) => step.state === 'done')).toBe(true)
    expect((await stepsAt(jobId, 'RH')).every((step) => step.state === 'open')).toBe(true)
  })

  test('when the other side is done too, what was ticked stays ticked and the new side begins open', async () => {
    const jobId = await shoesAt('LH')
    for (const { id } of await stepsAt(jobId, 'LH'))
      await jobCheckSet(asWriter(nell), { jobId, checkId: id, state: 'done' })
    const [side] = await otherSidesOf(jobId)
    await otherSideAdd(asWriter(nell), { jobId, targetId: side!.targetId, position: 'RH' })
    expect((await stepsAt(jobId, 'LH')).every((step) => step.state === 'done')).toBe(true)
    const right = await stepsAt(jobId, 'RH')
    expect(right.length).toBeGreaterThan(3)
    expect(right.every((step) => step.state === 'open')).toBe(true)
  })

  test('the axle is lifted once for both wheels, before anything comes off, and looked at again when a wheel is added', async () => {
    const lifting = async (jobId: number) =>
      (await jobView(jobId)).checks.filter((check) => check.kind === 'strip' && check.text.includes('lift the axle'))
    const both = await shoesAt('LH', 'RH')
    expect((await lifting(both)).map((check) => check.text)).toEqual([expect.stringMatching(/ on stands \(LH, RH\)$/)])
    const [first] = (await jobView(both)).checks.filter((check) => check.kind === 'strip')
    expect(first!.text).toContain('Crack the wheel nuts loose while the tyre still stands')
    const jobId = await shoesAt('LH')
    const [lift] = await lifting(jobId)
    await jobCheckSet(asWriter(nell), { jobId, checkId: lift!.id, state: 'done' })
    const [side] = await otherSidesOf(jobId)
    await otherSideAdd(asWriter(nell), { jobId, targetId: side!.targetId, position: 'RH' })
    expect(await lifting(jobId)).toMatchObject([{ id: lift!.id, state: 'open', by: null }])
  })

  test('what is found at the right wheel is renewed at the right wheel, and then at the left as well', async () => {
    const jobId = await shoesAt('LH', 'RH')
    const drumAt = async (side: string) =>
      (await stepsAt(jobId, side)).find((step) => step.text.includes('Brake drum'))!
    const found = { jobId, words: 'drum scored deep', onto: 'this-job' } as const
    await foundAdd(asWriter(nell), { ...found, checkId: (await drumAt('RH')).id })
    const drum = async () => (await jobView(jobId)).targets.find((target) => target.item === '14')
    expect(await drum()).toMatchObject({ positions: ['RH'], quantity: 1 })
    await foundAdd(asWriter(nell), { ...found, checkId: (await drumAt('LH')).id })
    expect(await drum()).toMatchObject({ positions: ['RH', 'LH'], quantity: 2 })
  })

  test('a tick from when one tick stood for both wheels goes to each wheel it named, with its photo', async () => {
    const jobId = await shoesAt('LH', 'RH')
    const [first] = await stepsAt(jobId, 'LH')
    const bare = stepKeyBare(first!.key)
    // As the card was before each side had its own steps.
    await database().jobCheck.deleteMany({ where: { jobId, key: { startsWith: bare } } })
    const old = await database().jobCheck.create({
      data: {
        jobId,
        kind: 'strip',
        sort: 0,
        key: bare,
        text: 'Take off 15 Wheel nut (LH, RH)',
        state: 'done',
        doneById: nell,
        doneAt: new Date('2026-10-01T08:00:00Z'),
      },
    })
    const bytes = await sharp({ create: { width: 400, height: 300, channels: 3, background: '#335577' } })
      .jpeg()
      .toBuffer()
    const photo = { jobId, stage: 'strip', stepKey: bare, alt: 'nut', sent: { bytes, name: 'nut.jpg' } } as const
    await jobPhotoAdd(asWriter(nell), photo)
    const lineId = await lineIdOf(figureId, 'DM60240')
    await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH'], quantity: 1 })
    for (const side of ['LH', 'RH']) {
      const step = (await stepsAt(jobId, side)).find((one) => stepKeyBare(one.key) === bare)
      expect(step).toMatchObject({ state: 'done', by: 'Nell Farrow' })
    }
    expect(await database().jobCheck.count({ where: { id: old.id } })).toBe(0)
    expect(await jobPhotosRead(jobId)).toMatchObject([{ stepKey: `${bare}@LH`, step: expect.stringContaining('(LH)') }])
  })
})

test('a step’s name says figure, item, words around it and side, and reads back', () => {
  for (const key of ['5:14', '5:12A@LH', '5:14#stripFirst1', '7:3.1-2#fitThen2@REAR 2', '5:1@a@b:#c']) {
    const read = stepKeyRead(key)
    expect(read, key).not.toBeNull()
    expect(stepKeySay(read!)).toBe(key)
  }
  expect(stepKeyRead('5:12A#fitThen1@LH')).toEqual({
    figureId: 5,
    item: '12A',
    end: null,
    around: 'fitThen1',
    side: 'LH',
  })
  expect(stepKeyRead('5:act:wheel-nut-recheck')).toBeNull()
})
