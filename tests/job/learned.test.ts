import { beforeAll, describe, expect, test } from 'vitest'
import { jobOpen, jobTarget, needAdd } from '../../lib/db/job.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { needsAccept } from '../../lib/db/job-decide.ts'
import { jobLearned } from '../../lib/db/job-learned.ts'
import { jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, testsDone } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
let clip = 0
let binId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  clip = await aPart({ number: 'TX-77', description: 'Hose clip' })
  binId = await aBin('C-9')
  await stockReceive(asWriter(nell), { partId: clip, binId, quantity: 50 })
})

async function seals(fleetNumber: string) {
  const machineId = await aTrailer(modelId, fleetNumber, '2300')
  const { jobId } = await jobOpen(asWriter(nell), {
    machineId,
    complaint: 'oil on the drum',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  const lineId = await lineIdOf(figureId, 'DM60231A')
  await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH'], quantity: 1 })
  return jobId
}

async function sealsAndClips(fleetNumber: string, clips: number) {
  const jobId = await seals(fleetNumber)
  await needAdd(asWriter(nell), { jobId, partId: clip, quantity: clips })
  const need = (await jobView(jobId)).needs.find((one) => one.part?.number === 'TX-77')!
  await jobTake(asWriter(nell), { jobId, lines: [{ needId: need.id, binId, quantity: clips }] })
  await needsAccept(asWriter(nell), { jobId, strength: ['must', 'should'] })
  await testsDone(jobId, nell)
  const work = {
    cause: '',
    correction: 'new seal',
    labourMinutes: 20,
    hours: null,
    notFitted: 'only the seal and clips',
  }
  await jobClose(asWriter(nell), { jobId, ...work }, 'GBP')
}

describe('what past jobs with the same part also took', () => {
  test('is silent after three of them, speaks after the fourth, and says how many and how much', async () => {
    for (const [at, clips] of [2, 3, 2].entries()) await sealsAndClips(`L-${at}`, clips)
    const jobId = await seals('L-now')
    expect(await jobLearned(jobId)).toEqual([])
    await sealsAndClips('L-3', 2)
    expect(await jobLearned(jobId)).toMatchObject([
      { number: 'TX-77', support: 4, together: 4, confidence: 1, usual: 2, target: { number: 'DM60231A' } },
    ])

    // Once on the job it is no longer offered.
    await needAdd(asWriter(nell), { jobId, partId: clip, quantity: 2 })
    expect(await jobLearned(jobId)).toEqual([])
  })

  test('counts for the number that replaced it', async () => {
    const newer = await aPart({ number: 'TX-78', description: 'Hose clip' })
    await supersessionEnter(asWriter(nell), { oldPartId: clip, newPartId: newer, ratio: 1, interchange: 'one-way' })
    const jobId = await seals('L-later')
    expect((await jobLearned(jobId)).map((one) => [one.number, one.together])).toEqual([['TX-78', 4]])
  })
})
