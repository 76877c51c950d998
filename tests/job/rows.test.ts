import { beforeAll, describe, expect, test } from 'vitest'
import { RULES } from '../../lib/companion/rules/index.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { needsAccept, rowDecide } from '../../lib/db/job-decide.ts'
import { jobView, type NeedView } from '../../lib/db/job-read.ts'
import { type NeedRow, needRows } from '../../lib/job/need-rows.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let figureId = 0
let modelId = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'blank sheet'))
  // What the demo's estate keeps as well: with nothing on file the rows would be the same, without their parts.
  for (const [number, description, partClass] of [
    ['HC-430', 'Dust mask, FFP3', 'dust-mask'],
    ['HC-420', 'Eye protection, clear', 'eye-protection'],
    ['HC-410', 'Gloves, pair', 'gloves'],
    ['GR-101', 'Anti-seize paste, copper', 'anti-seize'],
    ['GR-110', 'Brake paste, metal-free', 'brake-paste'],
    ['GR-120', 'Brake cleaner, can 500 ml', 'brake-cleaner'],
    ['HC-401', 'Wiping cloth', 'wiping-cloth'],
  ] as const)
    await aPart({ number, description, partClass })
})

let fleet = 0
async function brakeJob(...positions: string[]): Promise<number> {
  const machineId = await aTrailer(modelId, `R-${++fleet}`, null)
  const { jobId } = await jobOpen(asWriter(nell), {
    machineId,
    complaint: 'brakes bind',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  await jobTarget(asWriter(nell), {
    jobId,
    figureId,
    lineId: await lineIdOf(figureId, 'DM60130'),
    positions,
    quantity: 2 * positions.length,
  })
  return jobId
}
const rowsOf = async (jobId: number) =>
  needRows(
    (await jobView(jobId)).needs.filter((need) => need.origin === 'suggestion'),
    RULES,
  )
const rowOf = (rows: NeedRow<NeedView>[], description: string) => {
  const row = rows.find((one) => one.needs[0]!.description === description)
  if (!row) throw new Error(`no row for ${description}`)
  return row
}
const answer = (
  jobId: number,
  row: NeedRow<NeedView>,
  more: Omit<Parameters<typeof rowDecide>[1], 'jobId' | 'needIds'>,
) => rowDecide(asWriter(nell), { jobId, needIds: row.needs.map((need) => need.id), ...more })

describe('the drum brakes of the trailer, both sides', () => {
  test('are at most 15 rows; what is left to do is grouped, and no two rows are the same part', async () => {
    const rows = await rowsOf(await brakeJob('LH', 'RH'))
    expect(rows.length).toBeLessThanOrEqual(15)
    const count = (group: string) => rows.filter((row) => row.group === group).length
    expect([count('take'), count('consumables'), count('protect'), count('do')]).toEqual([4, 4, 4, 3])
    const parts = rows.flatMap((row) => row.needs[0]!.part?.id ?? [])
    expect(new Set(parts).size).toBe(parts.length)
  })

  test('aimed at on the left alone, the right comes up and its parts stand with those of the left', async () => {
    const rows = await rowsOf(await brakeJob('LH'))
    expect(rowOf(rows, 'Brake shoe with lining')).toMatchObject({ strength: 'must', quantity: 2, positions: ['RH'] })
    expect(rowOf(rows, 'Return spring, cam end')).toMatchObject({ quantity: 2, positions: ['LH', 'RH'] })
    expect(rowOf(rows, 'Hold-down spring')).toMatchObject({ quantity: 4, positions: ['LH', 'RH'] })
    // What is asked of a person, once what may only be considered is folded away.
    expect(rows.filter((row) => row.strength !== 'consider').length).toBeLessThanOrEqual(15)
  })
})

describe('one answer to a row', () => {
  test('accepts both sides, and taken back they are open again', async () => {
    const jobId = await brakeJob('LH')
    const springs = rowOf(await rowsOf(jobId), 'Hold-down spring')
    expect(springs.needs.map((need) => need.suggested)).toEqual([2, 2])
    await answer(jobId, springs, { decision: 'accepted' })
    const accepted = rowOf(await rowsOf(jobId), 'Hold-down spring')
    expect(accepted).toMatchObject({ state: 'accepted', quantity: 4, positions: ['LH', 'RH'] })
    await answer(jobId, accepted, { decision: 'open' })
    expect(rowOf(await rowsOf(jobId), 'Hold-down spring')).toMatchObject({ state: 'open', quantity: 4 })
  })

  test('fewer than suggested leave the last side out, and it says how many were wanted', async () => {
    const jobId = await brakeJob('LH')
    await answer(jobId, rowOf(await rowsOf(jobId), 'Hold-down spring'), { decision: 'accepted', wanted: 2 })
    const springs = (await jobView(jobId)).needs.filter((need) => need.description === 'Hold-down spring')
    expect(springs.map((need) => [need.positions.join(), need.state, need.wanted, need.declineReason])).toEqual([
      ['LH', 'accepted', 2, null],
      ['RH', 'declined', 2, '2 of 4 wanted'],
    ])
  })

  test('more than suggested go on the first side', async () => {
    const jobId = await brakeJob('LH')
    await answer(jobId, rowOf(await rowsOf(jobId), 'Hold-down spring'), { decision: 'accepted', wanted: 7 })
    expect(rowOf(await rowsOf(jobId), 'Hold-down spring')).toMatchObject({ quantity: 7 })
  })

  test('a must is left out only with a reason, all lines or none; the acts of a stage may be answered one by one', async () => {
    const jobId = await brakeJob('LH')
    const before = (await rowsOf(jobId)).find((row) => row.stage === 'before')!
    expect(before.needs.length).toBeGreaterThan(2)
    await expect(answer(jobId, before, { decision: 'declined' })).rejects.toMatchObject({ code: 'job/not-declined' })
    expect((await rowsOf(jobId)).find((row) => row.stage === 'before')!.state).toBe('open')
    const springs = before.needs.find((need) => need.key.endsWith('spring-energy'))!
    await rowDecide(asWriter(nell), {
      jobId,
      needIds: [springs.id],
      decision: 'declined',
      reason: 'springs are off already',
    })
    const rows = (await rowsOf(jobId)).filter((row) => row.stage === 'before')
    expect(rows.map((row) => [row.state, row.needs.length])).toEqual([
      ['open', before.needs.length - 1],
      ['declined', 1],
    ])
  })

  test('a line of another job is not answered with it', async () => {
    const [jobId, other] = [await brakeJob('LH'), await brakeJob('LH')]
    const row = rowOf(await rowsOf(jobId), 'Hold-down spring')
    const stranger = rowOf(await rowsOf(other), 'Hold-down spring').needs[0]!
    const needIds = [...row.needs.map((need) => need.id), stranger.id]
    await expect(rowDecide(asWriter(nell), { jobId, needIds, decision: 'accepted' })).rejects.toMatchObject({
      code: 'job/unknown-need',
    })
    expect(rowOf(await rowsOf(jobId), 'Hold-down spring').state).toBe('open')
  })

  test('in one go the rows that say must are accepted, with everything in them, and no act', async () => {
    const jobId = await brakeJob('LH', 'RH')
    const musts = (await rowsOf(jobId)).filter((row) => row.strength === 'must' && row.needs[0]!.kind !== 'act')
    expect(await needsAccept(asWriter(nell), { jobId, strength: ['must'] })).toEqual({ accepted: musts.length })
    const rows = await rowsOf(jobId)
    expect(rows.filter((row) => row.state === 'accepted').map((row) => row.group)).toEqual(['protect', 'protect'])
    expect(rows.filter((row) => row.stage !== null).every((row) => row.state === 'open')).toBe(true)
  })
})
