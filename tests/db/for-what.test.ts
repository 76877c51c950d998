import { beforeAll, describe, expect, test } from 'vitest'
import { IssueForm, ScrapForm } from '../../app/shelf/shelf-form.ts'
import { database } from '../../lib/db/client.ts'
import { forWhatChoices } from '../../lib/db/for-what.ts'
import { movementRead } from '../../lib/db/movement-line.ts'
import { partStock } from '../../lib/db/part.ts'
import { stockIssue, stockReceive, stockReturn, stockReverse, stockScrap } from '../../lib/db/stock.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()
let nell = ''
let owen = ''
let bin = 0
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
  bin = await aBin('A1-03', 'Long barn')
})
async function stocked(quantity: number) {
  const partId = await aPart({ costMinor: 400 })
  await stockReceive(asWriter(nell), { partId, binId: bin, quantity, costMinor: 400 })
  return { partId, binId: bin }
}
const onHand = async (partId: number) => (await partStock(database(), [partId])).get(partId)!.onHand

describe('taking without a job', () => {
  test('is for a machine, a cost centre and a person, which the movement says, and its reversal too', async () => {
    const here = await stocked(5)
    const machineId = await aMachine('T9')
    const { movementId } = await stockIssue(asWriter(nell), {
      ...here,
      quantity: 2,
      machineId,
      costCentre: 'Lower orchard',
      forPersonId: owen,
    })
    const forWhat = {
      machine: { id: machineId, says: 'T9 Trailer' },
      costCentre: 'Lower orchard',
      person: 'Owen Tarrant',
    }
    expect(await movementRead(movementId)).toMatchObject({
      kind: 'issue',
      quantity: -2,
      person: 'Nell Farrow',
      forWhat,
    })
    const back = await stockReverse(asWriter(nell), { movementId, reason: 'wrong machine' })
    expect(await movementRead(back.movementId)).toMatchObject({ quantity: 2, forWhat })
    expect((await forWhatChoices()).centres).toEqual(['Lower orchard'])
  })

  test('for nothing, for a machine that is not there or for nobody known is refused, and nothing moves', async () => {
    const here = { ...(await stocked(3)), quantity: 1 }
    await expect(stockIssue(asWriter(nell), here)).rejects.toMatchObject({
      code: 'input/invalid',
      fields: { reason: 'say what it is for' },
    })
    await expect(stockIssue(asWriter(nell), { ...here, machineId: 99_999 })).rejects.toMatchObject({
      code: 'machine/no-such',
    })
    await expect(stockIssue(asWriter(nell), { ...here, forPersonId: 'nobody' })).rejects.toMatchObject({
      code: 'people/no-such',
    })
    expect(await onHand(here.partId)).toBe(3)
  })

  test('what was not used comes back to the shelf at what stock is worth', async () => {
    const here = await stocked(6)
    await stockIssue(asWriter(nell), { ...here, quantity: 4, costCentre: 'Lower orchard' })
    const { movementId } = await stockReturn(asWriter(nell), { ...here, quantity: 3, costCentre: 'Lower orchard' })
    expect(await onHand(here.partId)).toBe(5)
    expect(await database().movement.findUniqueOrThrow({ where: { id: movementId } })).toMatchObject({
      kind: 'return',
      quantity: 3,
      valueMinor: 1200,
      costCentre: 'Lower orchard',
    })
  })

  test('no more comes back than is out there, and a taking that was put right is not out', async () => {
    const here = await stocked(9)
    const centre = { ...here, costCentre: 'Ditch clearing' }
    const slip = await stockIssue(asWriter(nell), { ...centre, quantity: 5 })
    await stockReverse(asWriter(nell), { movementId: slip.movementId, reason: 'wrong bin' })
    await stockIssue(asWriter(nell), { ...centre, quantity: 2 })
    await stockIssue(asWriter(nell), { ...here, quantity: 4, costCentre: 'Lower orchard' })
    await expect(stockReturn(asWriter(nell), { ...centre, quantity: 3 })).rejects.toMatchObject({
      code: 'stock/more-than-out',
    })
    await stockReturn(asWriter(nell), { ...centre, quantity: 2 })
    await expect(stockReturn(asWriter(nell), { ...centre, quantity: 1 })).rejects.toMatchObject({
      code: 'stock/more-than-out',
    })
    expect(await onHand(here.partId)).toBe(5)
  })
})

test('what is scrapped leaves the books with its reason, at most what lies there', async () => {
  const here = await stocked(4)
  const { movementId } = await stockScrap(asWriter(nell), { ...here, quantity: 3, reason: 'rusted through' })
  expect(await movementRead(movementId)).toMatchObject({ kind: 'scrap', quantity: -3, reason: 'rusted through' })
  expect(await onHand(here.partId)).toBe(1)
  await expect(stockScrap(asWriter(nell), { ...here, quantity: 2, reason: 'rusted through' })).rejects.toMatchObject({
    code: 'stock/not-enough',
  })
  const form = { partId: '1', binId: '2', unit: 'each', quantity: '2' }
  expect(ScrapForm.safeParse({ ...form, reason: 'x' }).success).toBe(false)
  expect(IssueForm.safeParse(form).error?.issues.map((issue) => issue.path)).toEqual([['reason']])
  expect(IssueForm.parse({ ...form, machineId: '7' })).toEqual({ partId: 1, binId: 2, quantity: 2, machineId: 7 })
})
