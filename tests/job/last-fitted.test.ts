import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead } from '../../lib/db/figure.ts'
import { jobOpen, jobTarget, needReplace } from '../../lib/db/job.ts'
import { entryCorrect, jobClose } from '../../lib/db/job-close.ts'
import { needDecide } from '../../lib/db/job-decide.ts'
import { jobKitChoose } from '../../lib/db/job-kit.ts'
import { jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { kitContentSet } from '../../lib/db/kit.ts'
import { figureLastFitted } from '../../lib/db/last-fitted.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { type Fitting, lastFittedOf } from '../../lib/job/last-fitted.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, partIdOf } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
let bin = 0
let kitId = 0
let [first, second] = [0, 0]
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  bin = await aBin('C-4')
  kitId = await aPart({ number: 'DM60130K', description: 'Kit, brake shoes for one axle', partClass: 'brake-shoe' })
  for (const [number, quantity] of [
    ['DM60130', '4'],
    ['DM60131', '2'],
  ] as const)
    await kitContentSet(asWriter(nell), { kitId, number, quantity })
  for (const partId of [await partIdOf('DM60130'), kitId])
    await stockReceive(asWriter(nell), { partId, binId: bin, quantity: 20, costMinor: 2450 })
  first = await aTrailer(modelId, 'T-07', '2249')
  second = await aTrailer(modelId, 'T-08', '2250')
})

/** Shoes on these sides, taken and closed on that day; what is not taken is not fitted. */
async function shoes(
  machineId: number,
  day: string,
  hourTenths: number,
  positions: string[],
  how: { taken?: boolean; kit?: boolean; insteadId?: number } = {},
): Promise<number> {
  const writer = () => asWriter(nell, { now: new Date(`${day}T15:00:00Z`) })
  const base = { complaint: 'brake binds', kind: 'repair' as const, hours: hourTenths, unsafe: false }
  const { jobId } = await jobOpen(writer(), { ...base, machineId, positions: [] })
  const lineId = await lineIdOf(figureId, 'DM60130')
  await jobTarget(writer(), { jobId, figureId, lineId, positions, quantity: 2 * positions.length })
  const aimed = (await jobView(jobId)).needs.find((one) => one.key.includes(':target:'))!
  if (how.kit) await jobKitChoose(writer(), { jobId, kitId })
  if (how.insteadId) await needReplace(writer(), { jobId, needId: aimed.id, partId: how.insteadId })
  const need = how.kit ? (await jobView(jobId)).needs.find((one) => one.part?.id === kitId)! : aimed
  if (how.taken !== false)
    await jobTake(writer(), {
      jobId,
      lines: [{ needId: need.id, binId: bin, quantity: how.kit ? 1 : 2 * positions.length }],
    })
  for (const one of (await jobView(jobId)).needs)
    if (one.state === 'open' && one.kind !== 'act')
      await needDecide(writer(), { jobId, needId: one.id, decision: 'declined', reason: 'still good' })
  await database().jobCheck.updateMany({ where: { jobId, kind: 'test' }, data: { state: 'done' } })
  const done = {
    jobId,
    cause: 'worn',
    correction: 'shoes renewed',
    labourMinutes: 60,
    hours: hourTenths,
    notFitted: 'none left',
  }
  return (await jobClose(writer(), done, 'GBP')).entryId
}

async function said(machineId: number | null, number = 'DM60130') {
  const last = await figureLastFitted(await figureRead(figureId, { modelId }), machineId)
  return (last.get(await lineIdOf(figureId, number)) ?? []).map(({ positions, nowNumber, fitting }) => [
    positions.join('+'),
    fitting.partNumber,
    nowNumber,
    fitting.fleetNumber,
    fitting.hourTenths,
    fitting.writtenAt.toISOString().slice(0, 10),
  ])
}

describe('what was last fitted at a callout', () => {
  let entryId = 0
  test('is nothing before a job that fitted it there is closed, and nothing for a part that never left the shelf', async () => {
    expect(await said(first)).toEqual([])
    await shoes(first, '2024-02-05', 4110, ['LH'], { taken: false })
    expect(await said(first)).toEqual([])
  })

  test('is said for each side with number, hours and day: both in May and the right one in July', async () => {
    await shoes(first, '2024-05-06', 4200, ['LH', 'RH'])
    entryId = await shoes(first, '2024-07-09', 4550, ['RH'])
    expect(await said(first)).toEqual([
      ['RH', 'DM60130', null, 'T-07', 4550, '2024-07-09'],
      ['LH', 'DM60130', null, 'T-07', 4200, '2024-05-06'],
    ])
    // A callout of the same figure that no entry names.
    expect(await said(first, 'DM60131')).toEqual([])
  })

  test('on another machine is that machine’s own; without a machine the newest of the model counts', async () => {
    expect(await said(second)).toEqual([])
    await shoes(second, '2024-06-01', 4120, ['LH'])
    expect(await said(second)).toEqual([['LH', 'DM60130', null, 'T-08', 4120, '2024-06-01']])
    expect(await said(null)).toEqual([
      ['RH', 'DM60130', null, 'T-07', 4550, '2024-07-09'],
      ['LH', 'DM60130', null, 'T-08', 4120, '2024-06-01'],
    ])
  })

  test('still stands when the entry was put right by a correction, which is said with it', async () => {
    await entryCorrect(asWriter(nell), { entryId, text: 'the left one, not the right' }, 'GBP')
    const last = await figureLastFitted(await figureRead(figureId, { modelId }), first)
    const [newest, older] = last.get(await lineIdOf(figureId, 'DM60130'))!
    expect(newest!.fitting).toMatchObject({ entryId, jobNumber: 3, corrections: ['the left one, not the right'] })
    expect(older!.fitting.corrections).toEqual([])
  })

  test('came in a kit: the callouts it stood in for name the kit', async () => {
    await shoes(first, '2025-01-20', 5000, ['LH', 'RH'], { kit: true })
    expect(await said(first)).toEqual([['LH+RH', 'DM60130K', null, 'T-07', 5000, '2025-01-20']])
  })

  test('under a number that is replaced since says what it is now, whether the list has the old or the new one', async () => {
    await shoes(second, '2025-02-03', 4300, ['RH'])
    const [oldPartId, newPartId] = [
      await partIdOf('DM60130'),
      await aPart({ number: 'DM60160', description: 'Brake shoe with lining', partClass: 'brake-shoe' }),
    ]
    await supersessionEnter(asWriter(nell), { oldPartId, newPartId, ratio: 1, interchange: 'one-way' })
    expect((await said(second))[0]).toEqual(['RH', 'DM60130', 'DM60160', 'T-08', 4300, '2025-02-03'])
    // A job that fitted the new one has it at the same callout.
    await stockReceive(asWriter(nell), { partId: newPartId, binId: bin, quantity: 4, costMinor: 2600 })
    await shoes(second, '2025-03-03', 4400, ['LH'], { insteadId: newPartId })
    expect((await said(second))[0]).toEqual(['LH', 'DM60160', null, 'T-08', 4400, '2025-03-03'])
    // The list is put right: a line of its own with the new number takes the place of the old one.
    const lineId = await lineIdOf(figureId, 'DM60130')
    const { id: _, ...line } = await database().partsListLine.findUniqueOrThrow({ where: { id: lineId } })
    await database().partsListLine.update({ where: { id: lineId }, data: { retiredAt: new Date() } })
    await database().partsListLine.create({ data: { ...line, partId: newPartId } })
    expect(await said(second, 'DM60160')).toEqual([
      ['LH', 'DM60160', null, 'T-08', 4400, '2025-03-03'],
      ['RH', 'DM60130', 'DM60160', 'T-08', 4300, '2025-02-03'],
    ])
  })
})

describe('after a newer page numbered the drawing anew', () => {
  const fitting: Fitting = {
    entryId: 1,
    machineId: 7,
    fleetNumber: 'T-07',
    writtenAt: new Date('2024-05-06T15:00:00Z'),
    hourTenths: 4000,
    jobNumber: 3,
    partNumber: 'WX-12',
    description: 'Wiper',
    partId: 12,
    inKit: false,
    item: '7',
    positions: [],
    lineId: null,
    listedPartId: 12,
    corrections: [],
  }
  const none = { links: [], numberOf: new Map<number, string>() }
  const line = (lineId: number, item: string, partId: number) => ({ lineId, item, partId })
  test('the fitting goes with its part to the new number, not to what stands under the old one', () => {
    const last = lastFittedOf([fitting], [line(1, '7', 40), line(2, '9', 12)], 2, none)
    expect([...last.keys()]).toEqual([2])
  })
  test('a part that the newer page no longer has is claimed of nothing else', () => {
    expect(lastFittedOf([fitting], [line(1, '7', 40)], 2, none).size).toBe(0)
    expect([...lastFittedOf([fitting], [line(1, '7', 40)], 1, none).keys()]).toEqual([1])
  })
  test('stations are said by number, those of one entry together', () => {
    const at = (...positions: string[]) => ({ ...fitting, positions })
    const last = lastFittedOf([at('13', '1'), at('9')], [line(2, '7', 12)], 1, none)
    expect(last.get(2)!.map((one) => one.positions)).toEqual([['1', '9', '13']])
  })
  test('an older entry that says no place adds nothing to a newer one that does', () => {
    const newer = { ...fitting, entryId: 2, writtenAt: new Date('2025-01-01T08:00:00Z'), positions: ['LH'] }
    const last = lastFittedOf([fitting, newer], [line(2, '7', 12)], 1, none)
    expect(last.get(2)!.map((one) => one.fitting.entryId)).toEqual([2])
  })
})
