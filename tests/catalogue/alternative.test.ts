import { beforeAll, describe, expect, test } from 'vitest'
import { alternativeApprove, alternativesOf, alternativeUse, alternativeWithdraw } from '../../lib/db/alternative.ts'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobPickList, jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let mechanic: string
let manager: string
let bin: number
beforeAll(async () => {
  mechanic = await aPerson('Jory Harrow')
  manager = await aPerson('Marit Harrow')
  bin = await aBin('A-1')
})

let made = 0
/** A job that wants four of a seal, of which `own` lie on the shelf, and an approved alternative of which `other` do. */
async function scene(own: number, other: number, interchange: 'one-way' | 'both-ways' = 'one-way') {
  made += 1
  const wanted = await aPart({ number: `WS-${made}`, description: 'Oil seal' })
  const used = await aPart({ number: `AL-${made}`, description: 'Oil seal, other make' })
  if (own > 0) await stockReceive(asWriter(mechanic), { partId: wanted, binId: bin, quantity: own })
  if (other > 0) await stockReceive(asWriter(mechanic), { partId: used, binId: bin, quantity: other })
  await alternativeApprove(asWriter(manager), {
    partId: wanted,
    number: `AL-${made}`,
    interchange,
    reason: 'same size by the seal maker’s list',
  })
  const { jobId } = await jobOpen(asWriter(mechanic), {
    machineId: await aMachine(),
    complaint: 'hub leaks oil',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  await needAdd(asWriter(mechanic), { jobId, partId: wanted, quantity: 4 })
  const need = (await jobView(jobId)).needs[0]!
  const alternative = (await alternativesOf([wanted])).get(wanted)![0]!
  return { wanted, used, jobId, needId: need.id, alternativeId: alternative.id, alternative }
}

const code = (run: Promise<unknown>) =>
  run.then(
    () => 'done',
    (error: unknown) => (isRefusal(error) ? error.code : Promise.reject(error)),
  )

describe('an approved alternative', () => {
  test('says who approved it, when and why, and serves one way or both', async () => {
    const { used, alternative } = await scene(0, 0)
    expect(alternative).toMatchObject({
      approvedBy: 'Marit Harrow',
      serves: true,
      reason: expect.stringContaining('size'),
    })
    expect((await alternativesOf([used])).get(used)![0]).toMatchObject({ serves: false })
    const both = await scene(0, 0, 'both-ways')
    expect((await alternativesOf([both.used])).get(both.used)![0]).toMatchObject({ serves: true })
    const again = { partId: both.used, number: `WS-${made}`, interchange: 'one-way' as const, reason: 'again' }
    expect(await code(alternativeApprove(asWriter(manager), again))).toBe('catalogue/known-link')
  })

  test('stands in for the whole line: the movement is of the alternative, and the job says in whose place', async () => {
    const { jobId, needId, alternativeId, used } = await scene(0, 9)
    await alternativeUse(asWriter(mechanic), { jobId, needId, alternativeId })
    const { lines } = await jobPickList(jobId)
    expect(lines).toMatchObject([{ needId, partId: used, quantity: 4 }])
    await jobTake(asWriter(mechanic), { jobId, lines: [{ needId, binId: bin, quantity: 4 }] })
    const moved = await database().movement.findMany({ where: { jobId } })
    expect(moved.map((move) => [move.partId, move.quantity])).toEqual([[used, -4]])
    const need = (await jobView(jobId)).needs[0]!
    expect(need).toMatchObject({ taken: 4, part: { id: used } })
    expect(need.insteadOf).toMatch(/^in place of WS-\d+, approved by Marit Harrow on 2026-/)
  })

  test('stands in for what is missing only; what was taken of the part itself stays', async () => {
    const { jobId, needId, alternativeId, wanted, used } = await scene(1, 2)
    await jobTake(asWriter(mechanic), { jobId, lines: [{ needId, binId: bin, quantity: 1 }] })
    expect(await alternativeUse(asWriter(mechanic), { jobId, needId, alternativeId })).toEqual({ used: 2 })
    const needs = (await jobView(jobId)).needs.map((need) => [need.part!.id, need.wanted, need.taken, need.allocated])
    // One is still missing: nobody lost sight of it.
    expect(needs.sort()).toEqual(
      [
        [wanted, 2, 1, 0],
        [used, 2, 0, 2],
      ].sort(),
    )
  })

  test('that is withdrawn, not on the shelf or the wrong way round does not stand in', async () => {
    const none = await scene(0, 0)
    expect(await code(alternativeUse(asWriter(mechanic), none))).toBe('input/invalid')
    const gone = await scene(0, 5)
    await alternativeWithdraw(asWriter(manager), gone)
    expect(await code(alternativeUse(asWriter(mechanic), gone))).toBe('catalogue/no-such')
    expect((await alternativesOf([gone.wanted])).size).toBe(0)
    expect((await alternativesOf([gone.wanted], true)).get(gone.wanted)![0]!.withdrawn).toMatchObject({
      by: 'Marit Harrow',
    })
    const oneWay = await scene(0, 5)
    await needAdd(asWriter(mechanic), { jobId: oneWay.jobId, partId: oneWay.used, quantity: 1 })
    const back = (await jobView(oneWay.jobId)).needs.find((need) => need.part!.id === oneWay.used)!
    expect(await code(alternativeUse(asWriter(mechanic), { ...oneWay, needId: back.id }))).toBe('catalogue/no-such')
  })

  test('sent twice with one key stands in once', async () => {
    const { jobId, needId, alternativeId } = await scene(1, 2)
    const writer = asWriter(mechanic)
    await alternativeUse(writer, { jobId, needId, alternativeId })
    await alternativeUse(writer, { jobId, needId, alternativeId })
    const { needs } = await jobView(jobId)
    expect(needs.map((need) => need.wanted).sort()).toEqual([2, 2])
  })
})
