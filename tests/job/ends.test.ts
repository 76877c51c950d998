import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead } from '../../lib/db/figure.ts'
import { figureImport } from '../../lib/db/figure-import.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { jobCheckSet } from '../../lib/db/job-check.ts'
import { jobClose } from '../../lib/db/job-close.ts'
import { needDecide } from '../../lib/db/job-decide.ts'
import { foundAdd, otherSideAdd, otherSidesOf } from '../../lib/db/job-found.ts'
import { jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { figureLastFitted } from '../../lib/db/last-fitted.ts'
import { entryRead } from '../../lib/db/service-book.ts'
import { servicePlace } from '../../lib/db/service-place.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { type Fitting, lastFittedOf } from '../../lib/job/last-fitted.ts'
import { stepKeyRead } from '../../lib/job/step-key.ts'
import { pageDrawn } from '../../seed/figures/index.ts'
import { aBin, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, lineIdOf, partIdOf } from './hub-brake-job.ts'

useWorkshop()

const BEARING = 'ST41.009'
let nell = ''
let figureId = 0
let modelId = 0
let bin = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  const { file } = pageDrawn('mower-rotor')
  const { width, height } = file.picture
  const blank = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}"><path d="M1 2L3 4"/></svg>`
  const picture = { bytes: new TextEncoder().encode(blank), name: file.picture.file, mediaType: 'image/svg+xml' }
  ;({ figureId, modelId } = await figureImport(asWriter(nell), { file, picture }))
  bin = await aBin('B-2')
  await stockReceive(asWriter(nell), { partId: await partIdOf(BEARING), binId: bin, quantity: 60 })
})

let mowers = 0
const mower = () => aTrailer(modelId, `M-${++mowers}`, '1600')
const writer = (day = '2026-03-02') => asWriter(nell, { now: new Date(`${day}T15:00:00Z`) })
async function open(machineId: number, day?: string): Promise<number> {
  const said = { complaint: 'rotor rumbles', kind: 'repair', hours: null, unsafe: false } as const
  return (await jobOpen(writer(day), { machineId, ...said, positions: [] })).jobId
}
async function aim(jobId: number, positions: string[], quantity: number, number = BEARING): Promise<void> {
  await jobTarget(writer(), { jobId, figureId, lineId: await lineIdOf(figureId, number), positions, quantity })
}
const bearingAt = async (...positions: string[]) => {
  const jobId = await open(await mower())
  await aim(jobId, positions, Math.max(1, positions.length))
  return jobId
}
const stepsOf = async (jobId: number, kind = 'strip') =>
  (await jobView(jobId)).checks.filter((check) => check.kind === kind && stepKeyRead(check.key)?.around === null)
const needAt = async (jobId: number, number: string, end: string) =>
  (await jobView(jobId)).needs.find((need) => need.part?.number === number && need.positions.join() === end)

describe('a job on one end of a rotor', () => {
  test('keeps the end, and asks for what is used up at that end and for the other bearing', async () => {
    const jobId = await bearingAt('DE')
    const view = await jobView(jobId)
    expect(view.targets[0]).toMatchObject({ positions: ['DE'], quantity: 1, ends: ['DE', 'NDE'] })
    expect(await needAt(jobId, 'ST41.107', 'DE')).toMatchObject({ strength: 'must', suggested: 1 })
    expect(await needAt(jobId, BEARING, 'NDE')).toMatchObject({
      origin: 'suggestion',
      strength: 'should',
      suggested: 1,
    })
  })

  test('refuses an end of what has none', async () => {
    const jobId = await open(await mower())
    const said = expect.objectContaining({ positions: expect.any(String) })
    await expect(aim(jobId, ['NDE'], 1, 'ST42.016')).rejects.toMatchObject({ code: 'input/invalid', fields: said })
    await expect(aim(jobId, ['LH'], 1)).rejects.toMatchObject({ code: 'input/invalid', fields: said })
  })

  test('accepting the other bearing opens that end, with its seal as a must', async () => {
    const jobId = await bearingAt('DE')
    const other = (await needAt(jobId, BEARING, 'NDE'))!
    expect((await needAt(jobId, 'ST41.107', 'NDE'))?.strength).toBe('should')
    await needDecide(writer(), { jobId, needId: other.id, decision: 'accepted' })
    expect((await needAt(jobId, 'ST41.107', 'NDE'))?.strength).toBe('must')
    const items = (await stepsOf(jobId)).map(({ key }) => stepKeyRead(key)!)
    expect(items).toContainEqual(expect.objectContaining({ item: '9', end: 'NDE' }))
    expect(items).toContainEqual(expect.objectContaining({ item: '20', end: null }))
  })

  test('the other end is done while it is apart: what was ticked stays ticked, the new end begins open', async () => {
    const jobId = await bearingAt('DE')
    for (const { id } of await stepsOf(jobId)) await jobCheckSet(writer(), { jobId, checkId: id, state: 'done' })
    const [end, ...more] = await otherSidesOf(jobId)
    expect(more).toEqual([])
    expect(end).toMatchObject({ item: '9', position: 'NDE', label: 'non-drive end' })
    await otherSideAdd(writer(), { jobId, targetId: end!.targetId, position: 'NDE' })
    expect((await jobView(jobId)).targets[0]).toMatchObject({ positions: ['DE', 'NDE'], quantity: 2 })
    const at = async (name: string) => (await stepsOf(jobId)).filter(({ key }) => stepKeyRead(key)!.end === name)
    expect((await at('DE')).every((step) => step.state === 'done')).toBe(true)
    expect((await at('NDE')).length).toBeGreaterThan(4)
    expect((await at('NDE')).every((step) => step.state === 'open')).toBe(true)
    expect(await otherSidesOf(jobId)).toEqual([])
  })

  test('a tick from before the end was said belongs to the end that is said then', async () => {
    const jobId = await bearingAt()
    const tick = (await stepsOf(jobId)).find(({ key }) => stepKeyRead(key)!.item === '9')!
    await jobCheckSet(writer(), { jobId, checkId: tick.id, state: 'done' })
    await aim(jobId, ['DE'], 1)
    const after = (await stepsOf(jobId)).filter(({ key }) => stepKeyRead(key)!.item === '9')
    expect(after.map(({ key, state }) => [stepKeyRead(key)!.end, state])).toEqual([['DE', 'done']])
  })

  test('what is found at the end in hand is renewed there, half of what the list has', async () => {
    const jobId = await bearingAt('NDE')
    const step = (await stepsOf(jobId)).find(({ key }) => stepKeyRead(key)!.item === '12')!
    await foundAdd(writer(), { jobId, checkId: step.id, words: 'threads torn', onto: 'this-job' })
    const { targets } = await jobView(jobId)
    expect(targets.find(({ item }) => item === '12')).toMatchObject({ positions: ['NDE'], quantity: 4 })
  })

  test('a service that asks for the bearings means both ends, also where a repair had named one', async () => {
    const machineId = await mower()
    const jobId = await open(machineId)
    await aim(jobId, ['NDE'], 1)
    const line = { figureId, item: '9', partId: null, positions: '[]', quantity: null }
    await inTransaction((tx) => servicePlace(tx, writer(), jobId, { modelId, serialNumber: '1600' }, line))
    expect((await jobView(jobId)).targets[0]).toMatchObject({ positions: ['DE', 'NDE'], quantity: 2 })
  })
})

describe('what was last fitted at the ends of a rotor', () => {
  async function fitted(machineId: number, day: string, positions: string[]): Promise<number> {
    const jobId = await open(machineId, day)
    await aim(jobId, positions, Math.max(1, positions.length))
    const need = (await jobView(jobId)).needs.find((one) => one.origin === 'target')!
    await jobTake(writer(day), { jobId, lines: [{ needId: need.id, binId: bin, quantity: need.wanted }] })
    for (const one of (await jobView(jobId)).needs)
      if (one.state === 'open' && one.kind !== 'act')
        await needDecide(writer(day), { jobId, needId: one.id, decision: 'declined', reason: 'still good' })
    await database().jobCheck.updateMany({ where: { jobId, kind: 'test' }, data: { state: 'done' } })
    const done = { cause: '', correction: 'bearing renewed', labourMinutes: 90, hours: null }
    return (await jobClose(writer(day), { jobId, ...done }, 'GBP')).entryId
  }

  test('is said for each end by itself, and the entry names the end', async () => {
    const machineId = await mower()
    await fitted(machineId, '2025-03-02', ['DE', 'NDE'])
    const entryId = await fitted(machineId, '2026-03-02', ['DE'])
    expect((await entryRead(machineId, entryId)).content.fitted[0]).toMatchObject({ positions: ['DE'], quantity: 1 })
    const last = await figureLastFitted(await figureRead(figureId, { modelId }), machineId)
    const said = last.get(await lineIdOf(figureId, BEARING))!
    expect(said.map(({ positions, fitting }) => [positions, fitting.writtenAt.toISOString().slice(0, 10)])).toEqual([
      [['DE'], '2026-03-02'],
      [['NDE'], '2025-03-02'],
    ])
  })

  test('of rotors side by side: the left drive end says nothing of the right one, nor of its own other end', () => {
    const at = (entryId: number, ...positions: string[]): Fitting => ({
      entryId,
      machineId: 7,
      fleetNumber: 'T-07',
      writtenAt: new Date(Date.UTC(2020 + entryId, 4, 6)),
      hourTenths: null,
      jobNumber: entryId,
      partNumber: 'WX-12',
      description: 'Bearing',
      partId: 12,
      inKit: false,
      item: '9',
      positions,
      lineId: null,
      listedPartId: 12,
      corrections: [],
    })
    const none = { links: [], numberOf: new Map<number, string>() }
    const fittings = [at(1, 'LH', 'RH', 'DE', 'NDE'), at(2, 'RH', 'DE'), at(3, 'LH', 'DE'), at(4, 'LH', 'NDE')]
    const last = lastFittedOf(fittings, [{ lineId: 5, item: '9', partId: 12 }], 1, none).get(5)!
    expect(last.map(({ positions, fitting }) => [fitting.entryId, positions])).toEqual([
      [4, ['LH', 'NDE']],
      [3, ['LH', 'DE']],
      [2, ['RH', 'DE']],
      [1, ['RH', 'NDE']],
    ])
  })
})
