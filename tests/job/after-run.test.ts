import { beforeAll, describe, expect, test } from 'vitest'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { afterRunOpen, jobCheckSet } from '../../lib/db/job-check.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { needDecide, needsAccept } from '../../lib/db/job-decide.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, testsDone } from './hub-brake-job.ts'

useWorkshop()

describe('wheel nuts after the first loaded run', () => {
  let nell = ''
  let machineId = 0
  let jobId = 0
  let entryId = 0
  const afterRunOf = async () => (await jobView(jobId)).checks.filter((check) => check.kind === 'after-run')

  beforeAll(async () => {
    nell = await aPerson('Nell Farrow')
    const { figureId, modelId } = await hubBrakeImported(nell, 'blank sheet')
    machineId = await aTrailer(modelId, 'W-1', '2249')
    const complaint = { complaint: 'left drum stays cold', kind: 'repair', hours: null, unsafe: false } as const
    ;({ jobId } = await jobOpen(asWriter(nell), { machineId, ...complaint, positions: [] }))
    const lineId = await lineIdOf(figureId, 'DM60240')
    await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH'], quantity: 1 })
  })

  test('stand on the job apart from the tests before release, and not yet on the machine', async () => {
    expect(await afterRunOf()).toMatchObject([{ text: expect.stringContaining('Wheel nuts again'), state: 'open' }])
    expect(await afterRunOpen()).toEqual([])
  })

  test('do not hold up the closing; the entry says that they are still to be done', async () => {
    await needsAccept(asWriter(nell), { jobId, strength: ['must', 'should'] })
    await testsDone(jobId, nell)
    const work = { jobId, cause: 'drum scored', correction: 'drum renewed', labourMinutes: 190, hours: null }
    ;({ entryId } = await jobClose(asWriter(nell), { ...work, notFitted: 'fitted from the van' }, 'GBP'))
    const { content } = await entryRead(machineId, entryId)
    expect(content.afterRun).toEqual([{ text: expect.stringContaining('Wheel nuts again'), state: 'open', by: null }])
    expect(content.tests.map((one) => one.text).join()).not.toContain('Wheel nuts again')
  })

  test('are shown on the machine and for Today until somebody ticks them on the closed job', async () => {
    const [open, ...more] = await afterRunOpen({ machineId })
    expect(more).toEqual([])
    expect(open).toMatchObject({ jobId, machineId, machine: 'W-1 Tipping trailer' })
    expect(await afterRunOpen({ machineId: machineId + 1 })).toEqual([])
    await jobCheckSet(asWriter(nell), { jobId, checkId: open!.id, state: 'done' })
    expect(await afterRunOpen()).toEqual([])
    expect(await afterRunOf()).toMatchObject([{ state: 'done', by: 'Nell Farrow' }])
    // The entry stays as it was written.
    expect((await entryRead(machineId, entryId)).content.afterRun).toMatchObject([{ state: 'open' }])
  })

  test('open nothing else of a closed job: its tests and steps stay as they were, and its check is not another job’s', async () => {
    const check = (await jobView(jobId)).checks.find((one) => one.kind === 'test')!
    await expect(jobCheckSet(asWriter(nell), { jobId, checkId: check.id, state: 'open' })).rejects.toMatchObject({
      code: 'job/closed',
    })
    const [own] = await afterRunOf()
    await expect(
      jobCheckSet(asWriter(nell), { jobId: jobId + 1, checkId: own!.id, state: 'open' }),
    ).rejects.toMatchObject({ code: 'job/no-such' })
    await expect(needDecide(asWriter(nell), { jobId, needId: 1, decision: 'accepted' })).rejects.toMatchObject({
      code: 'job/closed',
    })
  })
})
