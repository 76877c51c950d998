import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead } from '../../lib/db/figure.ts'
import { testListSave, testListsRead } from '../../lib/db/figure-tests.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { afterRunOpen, jobCheckSet, jobMeasure } from '../../lib/db/job-check.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { handOverRead } from '../../lib/db/job-hand-over.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import { TestListInput, type TestRow, testRowOf } from '../../lib/job/test-list.ts'
import { aTrailer, hubBrakeImported, lineIdOf } from '../job/hub-brake-job.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let [nell, sam] = ['', '']
let [figureId, modelId] = [0, 0]
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  sam = await aPerson('Sam Lutterby')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
})

let trailers = 0
async function aBrakeJob(): Promise<{ jobId: number; machineId: number }> {
  trailers += 1
  const machineId = await aTrailer(modelId, `V-${trailers}`, '2249')
  const said = { complaint: 'brake drags', kind: 'repair', hours: null, unsafe: false } as const
  const { jobId } = await jobOpen(asWriter(nell), { machineId, ...said, positions: [] })
  const lineId = await lineIdOf(figureId, 'DM60130')
  await jobTarget(asWriter(nell), { jobId, figureId, lineId, positions: ['LH', 'RH'], quantity: 4 })
  return { jobId, machineId }
}
const rowsNow = async (): Promise<TestRow[]> => (await figureRead(figureId, {})).tests.map(testRowOf)
const versionNow = async () => (await testListsRead(figureId))[0]?.version ?? 0
const list = (version: number, tests: TestRow[]) =>
  TestListInput.parse({ figureId, version, tests: JSON.stringify(tests) })
const save = async (tests: TestRow[], who = nell) => testListSave(asWriter(who), list(await versionNow(), tests))
const fresh = (text: string, more: Partial<TestRow> = {}): TestRow => ({
  text,
  what: '',
  unit: '',
  least: '',
  most: '',
  eachSide: false,
  stage: 'release',
  ...more,
})
const checksOf = async (jobId: number, kind: string) =>
  (await jobView(jobId)).checks.filter((check) => check.kind === kind)
const isLining = (one: { text: string }) => one.text.startsWith('Lining of each shoe')

describe('a list of tests that was saved', () => {
  test('is what the figure says from then on; the list it came with and who saved are kept', async () => {
    const before = await rowsNow()
    const { version } = await save([...before, fresh('Trailer stops straight from 20 km/h.')])
    expect(version).toBe(1)
    expect((await rowsNow()).at(-1)!.text).toBe('Trailer stops straight from 20 km/h.')
    const lists = await testListsRead(figureId)
    expect(lists.map((one) => [one.version, one.who, one.tests.length])).toEqual([
      [1, 'Nell Farrow', before.length + 1],
      [0, null, before.length],
    ])
    expect(lists[1]!.tests.map(testRowOf)).toEqual(before)
    await save(lists[1]!.tests.map(testRowOf))
    expect(await rowsNow()).toEqual(before)
  })

  test('is refused when somebody saved in between, who is named; sent twice with one key it is saved once', async () => {
    const before = await rowsNow()
    const version = await versionNow()
    const writer = asWriter(sam)
    const sent = list(version, [...before, fresh('Theirs.')])
    expect(await testListSave(writer, sent)).toEqual(await testListSave(writer, sent))
    await expect(testListSave(asWriter(nell), list(version, [...before, fresh('Mine.')]))).rejects.toMatchObject({
      code: 'figure/tests-changed',
      happened: 'Sam Lutterby saved another list of tests while you worked on yours.',
    })
    expect((await rowsNow()).at(-1)!.text).toBe('Theirs.')
    await save(before)
  })

  test('a figure that is not there is refused', async () => {
    await expect(
      testListSave(asWriter(nell), TestListInput.parse({ figureId: 999, version: 0, tests: '[]' })),
    ).rejects.toMatchObject({ code: 'figure/no-such' })
  })
})

describe('a job that is open while the tests are changed', () => {
  test('asks for the new list: ticks stay, open tests that were taken out go, values meet the new limits, and a note says so', async () => {
    const before = await rowsNow()
    const { jobId } = await aBrakeJob()
    const open = await checksOf(jobId, 'test')
    const [left, right] = open.filter((check) => check.measure)
    const ticks = open.filter((check) => !check.measure)
    await jobCheckSet(asWriter(sam), { jobId, checkId: ticks[0]!.id, state: 'done' })
    await jobMeasure(asWriter(sam), { jobId, checkId: left!.id, value: '4.5' })
    await jobMeasure(asWriter(sam), { jobId, checkId: right!.id, value: '6.5' })
    const lining = before.find(isLining)!
    const { jobs } = await save([
      // Moved to the front, with a higher limit.
      { ...lining, least: '5' },
      fresh('Brake cable runs free.', { eachSide: true }),
      // One that was ticked and one that was not are taken out.
      ...before.filter((one) => !isLining(one) && one.text !== ticks[0]!.text && one.text !== ticks[1]!.text),
    ])
    expect(jobs).toBe(1)
    const after = await checksOf(jobId, 'test')
    const stateOf = (id: number) => after.find((check) => check.id === id)
    expect(stateOf(left!.id)).toMatchObject({ state: 'open', measured: 4.5, measure: { least: 5 } })
    expect(stateOf(right!.id)).toMatchObject({ state: 'done', measured: 6.5 })
    expect(stateOf(ticks[0]!.id)).toMatchObject({ state: 'done', by: 'Sam Lutterby' })
    expect(stateOf(ticks[1]!.id)).toBeUndefined()
    expect(after.filter((check) => check.text.startsWith('Brake cable')).map((check) => check.text)).toEqual([
      'Brake cable runs free. (LH)',
      'Brake cable runs free. (RH)',
    ])
    const { notes } = await handOverRead(jobId)
    expect(notes.at(-1)).toMatchObject({ by: 'Nell Farrow' })
    expect(notes.at(-1)!.text).toContain(
      'Tests of figure 5-04 Hub and drum brake changed - new: “Brake cable runs free.”',
    )
    expect(notes.at(-1)!.text).toContain(`taken out: “${ticks[0]!.text}”, “${ticks[1]!.text}”`)
    await save(before)
  })

  test('a tick is not taken for a test whose words were changed', async () => {
    const before = await rowsNow()
    const { jobId } = await aBrakeJob()
    const check = (await checksOf(jobId, 'test')).find((one) => !one.measure)!
    await jobCheckSet(asWriter(sam), { jobId, checkId: check.id, state: 'done' })
    await save(before.map((one) => (one.text === check.text ? { ...one, text: `${one.text} Twice.` } : one)))
    const after = await checksOf(jobId, 'test')
    expect(after.find((one) => one.text === `${check.text} Twice.`)).toMatchObject({ state: 'open', by: null })
    expect(after.find((one) => one.id === check.id)).toMatchObject({ state: 'done', text: check.text })
    await save(before)
    expect((await checksOf(jobId, 'test')).map((one) => one.text)).not.toContain(`${check.text} Twice.`)
  })

  test('after the first loaded run a value may be asked for: it does not hold up the release and is measured on the closed job', async () => {
    const before = await rowsNow()
    const { jobId, machineId } = await aBrakeJob()
    await save([
      fresh('Hub measured after 20 km loaded.', {
        what: 'Hub temperature',
        unit: '°C',
        most: '70',
        eachSide: true,
        stage: 'after-run',
      }),
    ])
    await database().jobNeed.updateMany({
      where: { jobId, state: 'open', strength: 'must' },
      data: { state: 'declined', declineReason: 'renewed in spring' },
    })
    const words = {
      jobId,
      cause: '',
      correction: 'new shoes',
      labourMinutes: 90,
      hours: null,
      notFitted: 'from the van',
    }
    const { entryId } = await jobClose(asWriter(nell), words, 'GBP')
    expect((await entryRead(machineId, entryId)).content.tests).toEqual([])
    const hubs = (await afterRunOpen({ machineId })).filter((one) => one.measures)
    expect(hubs.map((one) => one.text)).toEqual([
      'Hub measured after 20 km loaded. (LH)',
      'Hub measured after 20 km loaded. (RH)',
    ])
    const [left, right] = hubs
    await expect(jobCheckSet(asWriter(nell), { jobId, checkId: left!.id, state: 'done' })).rejects.toMatchObject({
      code: 'job/not-measured',
    })
    await jobMeasure(asWriter(nell), { jobId, checkId: left!.id, value: '55' })
    await jobMeasure(asWriter(nell), { jobId, checkId: right!.id, value: '84' })
    expect((await afterRunOpen({ machineId })).filter((one) => one.measures).map((one) => one.id)).toEqual([right!.id])
    // A closed job keeps the list it was closed with.
    await save(before)
    expect((await checksOf(jobId, 'after-run')).filter((one) => one.measure)).toHaveLength(2)
  })
})
