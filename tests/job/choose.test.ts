import { beforeAll, describe, expect, test } from 'vitest'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { needChoose } from '../../lib/db/job-choose.ts'
import { jobPickList, jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let jobId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  const { figureId, modelId } = await hubBrakeImported(nell, 'blank sheet')
  const machineId = await aTrailer(modelId, 'C-1', '2300')
  const opened = { machineId, complaint: 'left brake binds', kind: 'repair' as const, hours: null, unsafe: false }
  jobId = (await jobOpen(asWriter(nell), { ...opened, positions: [] })).jobId
  const lineId = await lineIdOf(figureId, 'DM60130')
  await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH'], quantity: 2 })
})

/** What the rules ask for by kind, while nothing on file fits. */
const unmet = async (unit: string) =>
  (await jobView(jobId)).needs.filter((need) => need.part === null && need.kind !== 'act' && need.unit === unit)

describe('a compound that nothing on file serves', () => {
  test('says how much in its own unit, and says what it is once', async () => {
    const paste = await unmet('kilogram')
    expect(paste.length).toBeGreaterThan(0)
    for (const need of paste) {
      expect(need.suggested).toBeLessThan(1000)
      expect(need.description).not.toMatch(/^(.+) \(\1\)$/)
    }
  })

  test('is taken from the shelf once somebody has said which part serves', async () => {
    const [paste] = await unmet('kilogram')
    const partId = await aPart({ number: 'TX-900', description: 'Nickel paste', unit: 'kilogram' })
    const binId = await aBin('P-1')
    await stockReceive(asWriter(nell), { partId, binId, quantity: 500 })
    await needChoose(asWriter(nell), { jobId, needId: paste!.id, partId })
    const chosen = (await jobView(jobId)).needs.find((need) => need.id === paste!.id)!
    expect(chosen).toMatchObject({ state: 'accepted', wanted: paste!.suggested, unit: 'kilogram' })
    expect(chosen.description).toMatch(/^Nickel paste, for /)
    expect((await jobPickList(jobId)).lines).toMatchObject([{ needId: paste!.id, binId, quantity: paste!.suggested }])
    await jobTake(asWriter(nell), { jobId, lines: [{ needId: paste!.id, binId, quantity: paste!.suggested }] })
    expect((await jobView(jobId)).needs.find((need) => need.id === paste!.id)).toMatchObject({
      taken: paste!.suggested,
    })
    // It has its part now: another choice is the business of "use instead".
    await expect(needChoose(asWriter(nell), { jobId, needId: paste!.id, partId })).rejects.toMatchObject({
      code: 'input/invalid',
    })
  })

  test('a can that is kept by the piece begins with one', async () => {
    const [other] = [...(await unmet('litre')), ...(await unmet('kilogram'))]
    const partId = await aPart({ number: 'TX-901', description: 'Can of compound', unit: 'each' })
    await needChoose(asWriter(nell), { jobId, needId: other!.id, partId })
    expect((await jobView(jobId)).needs.find((need) => need.id === other!.id)).toMatchObject({
      wanted: 1,
      unit: 'each',
    })
  })

  test('an act is nothing to choose a part for', async () => {
    const act = (await jobView(jobId)).needs.find((need) => need.kind === 'act')!
    await expect(needChoose(asWriter(nell), { jobId, needId: act.id, partId: await aPart() })).rejects.toMatchObject({
      code: 'job/unknown-need',
    })
  })
})
