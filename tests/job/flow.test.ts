import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, jobTarget, jobTargetRemove, needAdd, needReplace } from '../../lib/db/job.ts'
import { jobCheckSet } from '../../lib/db/job-check.ts'
import { entryCorrect, entryDigest, jobClose } from '../../lib/db/job-close.ts'
import { needDecide, needsAccept } from '../../lib/db/job-decide.ts'
import { jobPickList, jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { jobWorkDone } from '../../lib/db/job-words.ts'
import { supersessionEnter } from '../../lib/db/part.ts'
import { entryRead, serviceBook } from '../../lib/db/service-book.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { stepKeyRead } from '../../lib/job/step-key.ts'
import { aBin, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer, hubBrakeImported, lineIdOf, needOf, partIdOf, testsDone } from './hub-brake-job.ts'

useWorkshop()

let nell = ''
let owen = ''
let figureId = 0
let modelId = 0
let shoeBin = 0
let smallBin = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
  ;({ figureId, modelId } = await hubBrakeImported(nell, 'drawn'))
  smallBin = await aBin('A-1')
  shoeBin = await aBin('C-4')
  const receive = async (number: string, binId: number, quantity: number, costMinor: number) =>
    stockReceive(asWriter(nell), { partId: await partIdOf(number), binId, quantity, costMinor })
  await receive('DM60130', shoeBin, 6, 2450)
  await receive('DM60231', smallBin, 1, 780)
  await aPart({ number: 'PN-6350', description: 'Split pin, 6.3 x 50', partClass: 'split-pin' })
  await receive('PN-6350', smallBin, 20, 35)
})

const open = async (fleetNumber: string, serialNumber: string) => {
  const machineId = await aTrailer(modelId, fleetNumber, serialNumber)
  const input = {
    machineId,
    complaint: 'left brake binds and smells',
    kind: 'repair',
    hours: 4213,
    unsafe: true,
    positions: [],
  } as const
  return { machineId, ...(await jobOpen(asWriter(nell), { ...input, positions: [] })) }
}
const aim = async (jobId: number, number: string, positions: string[], quantity: number) =>
  jobTarget(asWriter(nell), { jobId, figureId, lineId: await lineIdOf(figureId, number), positions, quantity })
const close = (jobId: number, correction: string) =>
  jobClose(asWriter(owen), { jobId, cause: 'shoe lining loose', correction, labourMinutes: 145, hours: 4220 }, 'GBP', {
    personId: owen,
  })

describe('a brake job on the trailer, from complaint to service book:', () => {
  let job = { machineId: 0, jobId: 0, number: 0 }
  let entryId = 0
  let leftOpen = ''

  test('opening it reads the meter and keeps the machine from being used', async () => {
    job = await open('T-07', '2249')
    const view = await jobView(job.jobId)
    expect(view).toMatchObject({ number: 1, state: 'open', openedBy: 'Nell Farrow', needs: [], checks: [] })
    expect(view.machine).toMatchObject({ state: 'unsafe', hourTenths: 4213 })
  })

  test('a target needs a side the figure has', async () => {
    await expect(aim(job.jobId, 'DM60130', [], 2)).rejects.toMatchObject({ code: 'input/invalid' })
    await expect(aim(job.jobId, 'DM60130', ['MIDDLE'], 2)).rejects.toMatchObject({
      happened: expect.stringContaining('there is no position MIDDLE'),
    })
  })

  test('a part beyond the serial break is not on this machine', async () => {
    await expect(aim(job.jobId, 'DM60231A', ['LH'], 1)).rejects.toMatchObject({ code: 'figure/unknown-item' })
  })

  test('shoes on the left bring the pair on the right as a must, and the steps of the left side', async () => {
    await aim(job.jobId, 'DM60130', ['LH'], 2)
    expect(await needOf(job.jobId, 'DM60130', 'LH')).toMatchObject({
      origin: 'target',
      state: 'accepted',
      wanted: 2,
      allocated: 2,
    })
    expect(await needOf(job.jobId, 'DM60130', 'RH')).toMatchObject({
      origin: 'suggestion',
      strength: 'must',
      state: 'open',
      suggested: 2,
      allocated: 0,
    })
    const strip = (await jobView(job.jobId)).checks.filter((check) => check.kind === 'strip')
    expect(strip.at(-1)!.text).toBe('Take off 5 Brake shoe with lining (LH)')
  })

  test('the oil seal behind the hub brings the split pin that its strip-down uses up', async () => {
    await aim(job.jobId, 'DM60231', ['LH'], 1)
    expect(await needOf(job.jobId, 'DM60252', 'LH')).toMatchObject({ strength: 'must', state: 'open', suggested: 1 })
  })

  test('precautions agreed to do not open up the right side; only its parts do', async () => {
    const acts = (await jobView(job.jobId)).needs.filter((need) => need.kind === 'act' && need.positions.includes('RH'))
    expect(acts.length).toBeGreaterThan(0)
    for (const act of acts) await needDecide(asWriter(nell), { jobId: job.jobId, needId: act.id, decision: 'accepted' })
    const view = await jobView(job.jobId)
    expect(view.checks.filter((check) => check.kind === 'strip' && check.text.includes('RH'))).toEqual([])
    expect(view.needs.some((need) => need.part?.number === 'DM60252' && need.positions.includes('RH'))).toBe(false)
  })

  test('accepting the musts opens the right side too, and its split pin comes up and is accepted with them', async () => {
    await needsAccept(asWriter(nell), { jobId: job.jobId, strength: ['must'] })
    const view = await jobView(job.jobId)
    expect(
      view.needs.filter((need) => need.kind !== 'act' && need.strength === 'must' && need.state === 'open'),
    ).toEqual([])
    expect(await needOf(job.jobId, 'DM60252', 'RH')).toMatchObject({ state: 'accepted', wanted: 1 })
    const sides = view.checks.filter((check) => check.kind === 'strip').map((check) => stepKeyRead(check.key)!.side)
    expect(sides.filter((side) => side === 'RH').length).toBeGreaterThan(3)
    expect(sides.filter((side) => side === 'LH').length).toBeGreaterThan(3)
  })

  test('a must is only declined with a reason, and the reason is kept', async () => {
    const seal = await needOf(job.jobId, 'DM60231', 'RH')
    const decline = { jobId: job.jobId, needId: seal.id, decision: 'declined' } as const
    await expect(needDecide(asWriter(nell), decline)).rejects.toMatchObject({ code: 'job/not-declined' })
    await needDecide(asWriter(nell), { ...decline, reason: 'renewed in spring, dry' })
    expect(await needOf(job.jobId, 'DM60231', 'RH')).toMatchObject({
      state: 'declined',
      declineReason: 'renewed in spring, dry',
    })
  })

  test('a part that is off the shelf is replaced by the one that supersedes it, never the other way', async () => {
    const [oldPartId, newPartId] = [await partIdOf('DM60252'), await partIdOf('PN-6350')]
    await supersessionEnter(asWriter(nell), { oldPartId, newPartId, ratio: 1, interchange: 'one-way' })
    for (const side of ['LH', 'RH']) {
      const pin = await needOf(job.jobId, 'DM60252', side)
      expect(pin.instead).toMatchObject([{ number: 'PN-6350', says: 'replaces it' }])
      await needReplace(asWriter(nell), { jobId: job.jobId, needId: pin.id, partId: newPartId })
      expect(await needOf(job.jobId, 'PN-6350', side)).toMatchObject({
        id: pin.id,
        wanted: 1,
        allocated: 1,
        instead: [],
      })
    }
    const rebuild = (await jobView(job.jobId)).checks.filter((check) => check.kind === 'rebuild')
    expect(rebuild.filter((check) => check.text.includes('Split pin')).map((check) => check.text)).toEqual([
      'Fit new 19 Split pin, 6.3 x 50, PN-6350 (LH)',
      'Fit new 19 Split pin, 6.3 x 50, PN-6350 (RH)',
    ])
    const pin = await needOf(job.jobId, 'PN-6350', 'LH')
    const back = { jobId: job.jobId, needId: pin.id, partId: oldPartId }
    await expect(needReplace(asWriter(nell), back)).rejects.toMatchObject({
      happened: expect.stringContaining('that part does not replace this one'),
    })
  })

  test('everything on the pick list is taken in one walk, or nothing is', async () => {
    const { lines, short } = await jobPickList(job.jobId)
    expect(lines.map((line) => [line.bin, line.quantity])).toEqual([
      ['A-1', 1],
      ['A-1', 1],
      ['A-1', 1],
      ['C-4', 2],
      ['C-4', 2],
    ])
    expect(short).toEqual([])
    const [first, ...rest] = lines.map(({ needId, binId, quantity }) => ({ needId, binId, quantity }))
    const tooMany = [...rest, { ...first!, quantity: 21 }]
    await expect(jobTake(asWriter(nell), { jobId: job.jobId, lines: tooMany })).rejects.toMatchObject({
      code: 'stock/not-enough',
    })
    expect(await database().movement.count({ where: { jobId: job.jobId } })).toBe(0)
    const { movements } = await jobTake(asWriter(nell), { jobId: job.jobId, lines: [first!, ...rest] })
    expect(movements).toHaveLength(5)
    expect((await jobPickList(job.jobId)).lines).toEqual([])
    const shoes = await needOf(job.jobId, 'DM60130', 'RH')
    expect([shoes.taken, shoes.allocated, shoes.stock!.onHand]).toEqual([2, 0, 2])
  })

  test('one of the other wheel’s shoes goes back on the shelf, at most what was taken', async () => {
    const shoes = await needOf(job.jobId, 'DM60130', 'RH')
    const back = { jobId: job.jobId, needId: shoes.id, binId: shoeBin }
    await expect(jobPutBack(asWriter(nell), { ...back, quantity: 3 })).rejects.toMatchObject({
      happened: expect.stringContaining('only 2 were taken'),
    })
    // The price rose fourfold in between: what goes back goes back at the price it left at.
    await stockReceive(asWriter(nell), { partId: shoes.part!.id, binId: shoeBin, quantity: 1, costMinor: 9800 })
    expect(await jobPutBack(asWriter(nell), { ...back, quantity: 1 })).toMatchObject({ balanceAfter: 4 })
    // A must put back is still to be fitted: it is on the pick list again, until somebody says how many are really wanted.
    expect(await needOf(job.jobId, 'DM60130', 'RH')).toMatchObject({ taken: 1, wanted: 2 })
    expect((await jobPickList(job.jobId)).lines).toMatchObject([{ needId: shoes.id, quantity: 1 }])
    await needDecide(asWriter(nell), { jobId: job.jobId, needId: shoes.id, decision: 'accepted', wanted: 1 })
    expect((await jobPickList(job.jobId)).lines).toEqual([])
  })

  test('closing is refused in this order: undecided musts, tests not done, no correction', async () => {
    await expect(close(999_999, '')).rejects.toMatchObject({ code: 'job/no-such' })
    const open = (await jobView(job.jobId)).needs.filter(
      (need) => need.state === 'open' && need.kind !== 'act' && need.strength === 'should',
    )
    expect(open.length).toBeGreaterThan(1)
    const seal = await needOf(job.jobId, 'DM60231', 'RH')
    const decide = { jobId: job.jobId, needId: seal.id }
    await needDecide(asWriter(nell), { ...decide, decision: 'open' })
    await expect(close(job.jobId, '')).rejects.toMatchObject({
      code: 'job/undecided',
      happened: `A must and not decided yet: ${seal.description}.`,
    })
    await needDecide(asWriter(nell), { ...decide, decision: 'declined', reason: 'renewed in spring, dry' })
    // One that stands on the job once, so that its twin of the other side does not speak for it in the entry.
    const left = open.find((need) => open.filter((other) => other.description === need.description).length === 1)!
    leftOpen = left.description
    for (const need of open.filter((one) => one !== left))
      await needDecide(asWriter(nell), {
        jobId: job.jobId,
        needId: need.id,
        decision: 'declined',
        reason: 'still good',
      })
    await expect(close(job.jobId, '')).rejects.toMatchObject({
      code: 'job/tests-open',
      happened: 'Tests before release that are not done: 6.',
    })
    await testsDone(job.jobId, owen)
    const last = (await jobView(job.jobId)).checks.filter((check) => check.kind === 'test').at(-1)!
    await jobCheckSet(asWriter(owen), {
      jobId: job.jobId,
      checkId: last.id,
      state: 'not-applicable',
      note: 'yard under water',
    })
    await expect(close(job.jobId, '')).rejects.toMatchObject({ code: 'job/no-correction' })
    expect((await jobView(job.jobId)).state).toBe('open')
    expect(await database().serviceBookEntry.count()).toBe(0)
  })

  test('closed, it stands in the service book with part numbers, quantities and what the ledger says they cost', async () => {
    const closed = await close(job.jobId, 'new shoes both wheels, seal and split pins')
    entryId = closed.entryId
    const entry = await entryRead(job.machineId, entryId)
    expect(entry).toMatchObject({ person: 'Owen Tarrant', hourTenths: 4220, correctsId: null })
    expect(entry.content).toMatchObject({
      machine: { fleetNumber: 'T-07', serialNumber: '2249' },
      job: { number: 1, openedBy: 'Nell Farrow' },
      complaint: 'left brake binds and smells',
      cause: 'shoe lining loose',
      correction: 'new shoes both wheels, seal and split pins',
      labourMinutes: 145,
      currency: 'GBP',
    })
    const { fitted } = entry.content
    expect(
      fitted.map((line) => [line.partNumber, line.item, line.positions.join(), line.quantity, line.costMinor]),
    ).toEqual([
      ['DM60130', '5', 'LH', 2, 4900],
      ['DM60231', '10', 'LH', 1, 780],
      ['DM60130', '5', 'RH', 1, 2450],
      ['PN-6350', '19', 'LH', 1, 35],
      ['PN-6350', '19', 'RH', 1, 35],
    ])
    expect(new Set(fitted.map((line) => line.figure))).toEqual(new Set(['5-04 Hub and drum brake']))
    // 4900 + 780 + 2450 + 35 + 35
    expect(entry.content.partsCostMinor).toBe(8200)
    // Worn by the person and not from our shelf: nobody is asked why, and the entry does not claim that it was taken.
    expect(entry.content.notFitted).toContainEqual(
      expect.objectContaining({ description: 'eye protection', strength: 'must', wanted: 1, taken: 0 }),
    )
    // Left open: nobody declined it, and nobody says that it was fitted or missed.
    const { declined, notFitted, acts } = entry.content
    expect(leftOpen).not.toBe('')
    expect([...declined, ...(notFitted ?? [])].map((line) => line.description)).not.toContain(leftOpen)
    expect(acts).not.toContain(leftOpen)
    expect(entry.content.declined).toContainEqual({
      description: 'Oil seal, 65 x 95 x 10',
      strength: 'must',
      reason: 'renewed in spring, dry',
    })
    expect(entry.content.tests.map((one) => [one.state, one.note, one.by])).toEqual([
      ['done', null, 'Owen Tarrant'],
      ['done', null, 'Owen Tarrant'],
      ['done', null, 'Owen Tarrant'],
      ['done', null, 'Owen Tarrant'],
      ['done', null, 'Owen Tarrant'],
      ['not-applicable', 'yard under water', 'Owen Tarrant'],
    ])
    expect(entry.content.acts.some((act) => act.startsWith('Wheels chocked, rated stands'))).toBe(true)
  })

  test('the machine goes back to work with its new reading', async () => {
    expect((await jobView(job.jobId)).machine).toMatchObject({ state: 'working', hourTenths: 4220 })
  })

  test('the closed job refuses every change', async () => {
    const { jobId } = job
    const shoes = await needOf(jobId, 'DM60130', 'LH')
    const { checks, targets } = await jobView(jobId)
    const check = checks.find((one) => one.kind === 'test')!
    const changes = [
      () => aim(jobId, 'DM60130', ['RH'], 2),
      () => jobTargetRemove(asWriter(nell), { jobId, targetId: targets[0]!.id }),
      () => needDecide(asWriter(nell), { jobId, needId: shoes.id, decision: 'declined', reason: 'changed my mind' }),
      () => needsAccept(asWriter(nell), { jobId, strength: ['should'] }),
      () => needAdd(asWriter(nell), { jobId, partId: shoes.part!.id, quantity: 1 }),
      () => needReplace(asWriter(nell), { jobId, needId: shoes.id, partId: shoes.part!.id }),
      () => jobTake(asWriter(nell), { jobId, lines: [{ needId: shoes.id, binId: shoeBin, quantity: 1 }] }),
      () => jobPutBack(asWriter(nell), { jobId, needId: shoes.id, binId: shoeBin, quantity: 1 }),
      () => jobCheckSet(asWriter(nell), { jobId, checkId: check.id, state: 'open' }),
      () => jobWorkDone(asWriter(nell), { jobId, cause: '', correction: 'x', labourMinutes: 0, hours: null }),
      () => close(jobId, 'closed again'),
    ]
    const before = await jobView(jobId)
    for (const change of changes)
      await expect(change()).rejects.toMatchObject({
        code: 'job/closed',
        happened: 'Job 1 is closed and stands in the service book.',
      })
    expect(await jobView(jobId)).toEqual(before)
  })

  test('a correction is an entry of its own that points to the first, which stays as it was written', async () => {
    const before = await database().serviceBookEntry.findUniqueOrThrow({ where: { id: entryId } })
    const { entryId: correctionId } = await entryCorrect(
      asWriter(nell),
      { entryId, text: 'the seal was renewed on the right' },
      'GBP',
    )
    expect(await database().serviceBookEntry.findUniqueOrThrow({ where: { id: entryId } })).toEqual(before)
    expect(entryDigest(before.content)).toBe(before.digest)
    const read = await entryRead(job.machineId, entryId)
    expect(read.correctedBy).toEqual([correctionId])
    expect(read.corrections.map((one) => [one.correctsId, one.content.correction])).toEqual([
      [entryId, 'the seal was renewed on the right'],
    ])
    expect(await serviceBook(job.machineId)).toHaveLength(2)
    await expect(entryCorrect(asWriter(nell), { entryId: 999_999, text: 'none' }, 'GBP')).rejects.toMatchObject({
      code: 'service-book/no-such',
    })
  })
})
