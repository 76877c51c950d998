import sharp from 'sharp'
import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { jobCheckSet, jobMeasure } from '../../lib/db/job-check.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { foundAdd, otherSideAdd, otherSidesOf } from '../../lib/db/job-found.ts'
import { handOverRead, jobLabourSet, jobNoteAdd } from '../../lib/db/job-hand-over.ts'
import { jobPhotoAdd, jobPhotoRemove, jobPhotosRead } from '../../lib/db/job-photo.ts'
import { jobsList, jobView } from '../../lib/db/job-read.ts'
import { jobWorkDone, keepKey } from '../../lib/db/job-words.ts'
import { machineRead, machineState } from '../../lib/db/machine.ts'
import { pictureFile } from '../../lib/db/picture.ts'
import { secretConfirm } from '../../lib/db/secret-confirm.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import { secretHash } from '../../lib/people/secret.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, needOf } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let owen = ''
let figureId = 0
let modelId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
  await database().person.update({
    where: { id: owen },
    data: { secretHash: await secretHash('4826', Buffer.alloc(16, 3)) },
  })
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
})

let trailers = 0
async function aBrakeJob(unsafe = false) {
  trailers += 1
  const machineId = await aTrailer(modelId, `H-${trailers}`, '2249')
  const said = { complaint: 'left drum stays cold', kind: 'repair', hours: null, unsafe, positions: [] } as const
  const { jobId, number } = await jobOpen(asWriter(nell), { machineId, ...said, positions: [] })
  const lineId = await lineIdOf(figureId, 'DM60130')
  await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH'], quantity: 2 })
  return { machineId, jobId, number }
}
const words = (
  jobId: number,
  correction: string,
  more: { wordsVersion?: number; complaint?: string; cause?: string } = {},
) => ({
  jobId,
  cause: '',
  correction,
  labourMinutes: 20,
  hours: null,
  notFitted: 'shoes fitted from the van',
  ...more,
})
const stepsOf = async (jobId: number, kind: string) =>
  (await jobView(jobId)).checks.filter((check) => check.kind === kind)
const measuredOf = async (jobId: number) => (await stepsOf(jobId, 'test')).filter((check) => check.measure)
async function tested(jobId: number, lining = '6.5') {
  for (const { id: checkId, measure } of await stepsOf(jobId, 'test'))
    if (measure) await jobMeasure(asWriter(owen), { jobId, checkId, value: lining })
    else await jobCheckSet(asWriter(owen), { jobId, checkId, state: 'done' })
}
/** The musts left out for a reason, so that the job may close. */
async function decided(jobId: number) {
  await database().jobNeed.updateMany({
    where: { jobId, state: 'open', strength: 'must' },
    data: { state: 'declined', declineReason: 'renewed in spring' },
  })
}
const signed = () => secretConfirm(owen, '4826', new Date('2026-11-02T08:00:00Z'))

describe('a photo of the job', () => {
  const bytes = (background: string) =>
    sharp({ create: { width: 1800, height: 900, channels: 3, background } })
      .jpeg()
      .toBuffer()

  test('sent twice is one photo, is called by the words of its step, and the entry names its digest', async () => {
    const { jobId, machineId } = await aBrakeJob()
    const step = (await stepsOf(jobId, 'strip'))[0]!
    const place = { jobId, stage: 'strip', stepKey: step.key, alt: '' } as const
    const sent = { bytes: await bytes('#553311'), name: 'drum.jpg' }
    const once = asWriter(nell)
    const { photoId } = await jobPhotoAdd(once, { ...place, sent })
    expect(await jobPhotoAdd(once, { ...place, sent })).toEqual({ photoId })
    expect(await jobPhotoAdd(asWriter(owen), { ...place, sent })).toEqual({ photoId })
    const photos = await jobPhotosRead(jobId)
    expect(photos).toMatchObject([{ alt: step.text, step: step.text, by: 'Nell Farrow', stage: 'strip' }])
    expect(photos[0]!.picture).toMatchObject({ width: 1600, height: 800 })
    expect((await pictureFile(photos[0]!.picture.id))?.mediaType).toBe('image/jpeg')
    await decided(jobId)
    await tested(jobId)
    const { entryId } = await jobClose(asWriter(owen), words(jobId, 'new shoes'), 'GBP')
    const { content } = await entryRead(machineId, entryId)
    expect(content.photos).toEqual([{ digest: photos[0]!.picture.id, alt: step.text, stage: 'strip', step: step.text }])
    await expect(jobPhotoRemove(asWriter(nell), { jobId, photoId })).rejects.toMatchObject({ code: 'job/closed' })
  })

  test('taken off an open job is gone from it; at a step that the job has not it is refused', async () => {
    const { jobId } = await aBrakeJob()
    const sent = { bytes: await bytes('#114477'), name: 'hub.jpg' }
    const { photoId } = await jobPhotoAdd(asWriter(nell), { jobId, stage: 'complaint', stepKey: '', alt: '', sent })
    expect((await jobPhotosRead(jobId))[0]!.alt).toBe('Complaint: left drum stays cold')
    await jobPhotoRemove(asWriter(nell), { jobId, photoId })
    expect(await jobPhotosRead(jobId)).toEqual([])
    const strange = { jobId, stage: 'strip', stepKey: '999:1', alt: '', sent } as const
    await expect(jobPhotoAdd(asWriter(nell), strange)).rejects.toMatchObject({ code: 'job/unknown-need' })
  })
})

describe('a test that measures', () => {
  test('is done by a value, not by a tick; a value outside stops the release until it is set right', async () => {
    const { jobId, machineId } = await aBrakeJob()
    await decided(jobId)
    await tested(jobId, '3.9')
    const [check, more] = await measuredOf(jobId)
    expect(more).toBeUndefined()
    expect(check).toMatchObject({ state: 'open', measured: 3.9, text: expect.stringContaining('(LH)') })
    const checkId = check!.id
    await expect(jobCheckSet(asWriter(owen), { jobId, checkId, state: 'done' })).rejects.toMatchObject({
      code: 'job/not-measured',
    })
    await expect(jobMeasure(asWriter(owen), { jobId, checkId, value: 'thick' })).rejects.toMatchObject({
      code: 'job/not-measured',
    })
    await expect(jobClose(asWriter(owen), words(jobId, 'new shoes'), 'GBP')).rejects.toMatchObject({
      code: 'job/out-of-limits',
      happened: 'Lining thickness: 3.9 mm is outside 4 mm or more.',
    })
    await jobMeasure(asWriter(owen), { jobId, checkId, value: '4,0' })
    const { entryId } = await jobClose(asWriter(owen), words(jobId, 'new shoes'), 'GBP')
    const { content } = await entryRead(machineId, entryId)
    expect(content.tests.flatMap((one) => one.measured ?? [])).toEqual([
      { what: 'Lining thickness', value: 4, unit: 'mm', limits: '4 mm or more', passes: true },
    ])
  })

  test('outside with a reason is let go, and the entry says both', async () => {
    const { jobId, machineId } = await aBrakeJob()
    await decided(jobId)
    await tested(jobId, '3.5')
    const checkId = (await measuredOf(jobId))[0]!.id
    await jobMeasure(asWriter(owen), { jobId, checkId, value: '3.5', note: 'yard use only, new shoes are due Monday' })
    const { entryId } = await jobClose(asWriter(owen), words(jobId, 'adjusted'), 'GBP')
    const test = (await entryRead(machineId, entryId)).content.tests.find((one) => one.measured)
    expect(test).toMatchObject({
      note: 'yard use only, new shoes are due Monday',
      measured: { value: 3.5, passes: false },
    })
  })
})

describe('a machine marked unsafe', () => {
  test('is released by the signature of who closes its job, and by nothing less', async () => {
    const { jobId, machineId } = await aBrakeJob(true)
    await decided(jobId)
    await tested(jobId)
    const close = async (signature: Awaited<ReturnType<typeof signed>> | null) =>
      jobClose(asWriter(owen), words(jobId, 'new shoes'), 'GBP', signature)
    await expect(close(null)).rejects.toMatchObject({ code: 'job/not-signed' })
    await expect(close({ personId: nell })).rejects.toMatchObject({ code: 'job/not-signed' })
    await expect(machineState(asWriter(owen), { machineId, state: 'working' })).rejects.toMatchObject({
      code: 'job/not-signed',
    })
    expect((await jobView(jobId)).machine.state).toBe('unsafe')
    const { entryId } = await close(await signed())
    expect((await entryRead(machineId, entryId)).content.releasedBy).toBe('Owen Tarrant')
    expect((await jobView(jobId)).machine.state).toBe('working')
  })

  test('one that was not marked needs no signature, and its entry names nobody', async () => {
    const { jobId, machineId } = await aBrakeJob()
    await decided(jobId)
    await tested(jobId)
    const { entryId } = await jobClose(asWriter(owen), words(jobId, 'new shoes'), 'GBP')
    expect((await entryRead(machineId, entryId)).content.releasedBy).toBeUndefined()
  })

  test('a wrong PIN signs nothing, and after five of them the right one has to wait as well', async () => {
    const now = new Date('2026-11-03T08:00:00Z')
    for (let wrong = 0; wrong < 5; wrong++)
      await expect(secretConfirm(owen, '0000', now)).rejects.toMatchObject({ code: 'people/wrong-signature' })
    await expect(secretConfirm(owen, '4826', now)).rejects.toMatchObject({ code: 'people/wait' })
    expect(await secretConfirm(owen, '4826', new Date('2026-11-03T09:00:00Z'))).toEqual({ personId: owen })
  })
})

describe('several people and days on one job', () => {
  test('each writes own minutes by day, the job has their sum, and notes stay as they were written', async () => {
    const { jobId, machineId } = await aBrakeJob()
    await jobLabourSet(asWriter(nell), { jobId, day: '2026-11-02', minutes: 95 })
    await jobLabourSet(asWriter(owen), { jobId, day: '2026-11-02', minutes: 40 })
    await jobLabourSet(asWriter(owen), { jobId, day: '2026-11-03', minutes: 25 })
    await jobLabourSet(asWriter(owen), { jobId, day: '2026-11-02', minutes: 30 })
    await jobNoteAdd(asWriter(nell), { jobId, text: 'Drum is off, hub hangs on the strap' })
    await expect(database().$executeRawUnsafe('UPDATE "JobNote" SET text = \'other\'')).rejects.toThrow('append-only')
    await expect(database().$executeRawUnsafe('DELETE FROM "JobNote"')).rejects.toThrow('append-only')
    await decided(jobId)
    await tested(jobId)
    const { entryId } = await jobClose(asWriter(owen), words(jobId, 'new shoes'), 'GBP')
    const { content } = await entryRead(machineId, entryId)
    expect(content.labourMinutes).toBe(150)
    expect(content.labour).toEqual([
      { by: 'Nell Farrow', day: '2026-11-02', minutes: 95 },
      { by: 'Owen Tarrant', day: '2026-11-02', minutes: 30 },
      { by: 'Owen Tarrant', day: '2026-11-03', minutes: 25 },
    ])
    expect(content.notes).toMatchObject([{ text: 'Drum is off, hub hangs on the strap', by: 'Nell Farrow' }])
  })

  test('the other side while it is up doubles the target and opens that side, once', async () => {
    const { jobId } = await aBrakeJob()
    const [side] = await otherSidesOf(jobId)
    expect(side).toMatchObject({ item: '5', position: 'RH' })
    await otherSideAdd(asWriter(nell), { jobId, targetId: side!.targetId, position: 'RH' })
    expect((await jobView(jobId)).targets).toMatchObject([{ positions: ['LH', 'RH'], quantity: 4 }])
    expect((await needOf(jobId, 'DM60130', 'LH,RH')).wanted).toBe(4)
    expect(await measuredOf(jobId)).toHaveLength(2)
    expect(await otherSidesOf(jobId)).toEqual([])
  })

  test('what is found at a step is renewed on this job too, or is a job of its own that names this one', async () => {
    const { jobId, number, machineId } = await aBrakeJob()
    const step = (await stepsOf(jobId, 'strip')).find((one) => one.text.includes('Brake drum'))!
    const found = { jobId, checkId: step.id } as const
    await foundAdd(asWriter(owen), { ...found, words: 'drum scored deep', onto: 'this-job' })
    expect((await jobView(jobId)).targets.map((one) => [one.item, one.positions, one.quantity])).toContainEqual([
      '14',
      ['LH'],
      1,
    ])
    const own = await foundAdd(asWriter(owen), { ...found, words: 'axle tube cracked', onto: 'own-job' })
    expect(own.isOwn).toBe(true)
    expect(await handOverRead(own.jobId)).toMatchObject({ foundOn: { id: jobId, number } })
    expect((await jobView(own.jobId)).machine.id).toBe(machineId)
    const here = await handOverRead(jobId)
    expect(here.found).toMatchObject([{ id: own.jobId, complaint: 'axle tube cracked' }])
    expect(here.notes.map((note) => note.text)).toEqual([
      expect.stringContaining('drum scored deep'),
      expect.stringContaining(`axle tube cracked - job ${own.number}`),
    ])
  })
})

describe('two people at the words of one job', () => {
  test('the later one sees both texts, nothing is written over, and together they go in', async () => {
    const { jobId } = await aBrakeJob()
    await jobWorkDone(asWriter(nell), words(jobId, 'shoes renewed', { wordsVersion: 0 }))
    const late = words(jobId, 'drum turned', { wordsVersion: 0 })
    await expect(jobWorkDone(asWriter(owen), late)).rejects.toMatchObject({
      code: 'job/words-changed',
      happened: 'Nell Farrow changed the words of this job since you opened it.',
      fields: { correction: 'Nell Farrow wrote: shoes renewed', wordsVersion: '1' },
    })
    expect((await jobView(jobId)).correction).toBe('shoes renewed')
    await jobWorkDone(asWriter(owen), { ...late, correction: 'shoes renewed, drum turned', wordsVersion: 1 })
    expect(await jobView(jobId)).toMatchObject({ correction: 'shoes renewed, drum turned', wordsVersion: 2 })
  })

  test('the complaint is put right while the job is open, is found by its new words, and the unsafe machine says it too', async () => {
    const { machineId, jobId, number } = await aBrakeJob(true)
    await jobWorkDone(asWriter(owen), words(jobId, '', { complaint: 'brake pulls to the hedge' }))
    expect((await jobView(jobId)).complaint).toBe('brake pulls to the hedge')
    expect((await machineRead(machineId)).stateReason).toBe(`job ${number}: brake pulls to the hedge`)
    expect((await jobsList({ state: 'open', machineId })).map((one) => one.complaint)).toContain(
      'brake pulls to the hedge',
    )
    // A form that does not ask leaves it, and one that somebody else overtook shows both.
    await jobWorkDone(asWriter(nell), words(jobId, 'shoes renewed', { wordsVersion: 1 }))
    expect((await jobView(jobId)).complaint).toBe('brake pulls to the hedge')
    await expect(
      jobWorkDone(asWriter(owen), words(jobId, 'shoes renewed', { complaint: 'brake binds', wordsVersion: 0 })),
    ).rejects.toMatchObject({ fields: { complaint: 'Nell Farrow wrote: brake pulls to the hedge' } })
  })

  test('a form whose closing was refused goes on with its own words', async () => {
    const { jobId } = await aBrakeJob()
    const form = asWriter(nell)
    const first = words(jobId, 'shoes', { wordsVersion: 0 })
    await jobWorkDone({ ...form, key: keepKey(form.key, first) }, first)
    const second = words(jobId, 'shoes renewed', { wordsVersion: 0 })
    await jobWorkDone({ ...form, key: keepKey(form.key, second) }, second)
    expect((await jobView(jobId)).correction).toBe('shoes renewed')
  })
})
