import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { jobOpen, needAdd } from '../../lib/db/job.ts'
import { jobPickList, jobPutBack, jobTake } from '../../lib/db/job-parts.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { stockReceive } from '../../lib/db/stock.ts'
import { wordsTogether } from '../../lib/job/words.ts'
import { aBin, aMachine, aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let [nell, owen, bin, jobId] = ['', '', 0, 0]
const parts: number[] = []
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  owen = await aPerson('Owen Tarrant')
  bin = await aBin('C-4')
  const machineId = await aMachine('T-09')
  const said = { complaint: 'spring broken', kind: 'repair', hours: null, unsafe: false, positions: [] } as const
  ;({ jobId } = await jobOpen(asWriter(nell), { machineId, ...said, positions: [] }))
  for (const [description, quantity] of [
    ['Return spring', 3],
    ['Clevis pin', 2],
  ] as const) {
    const partId = await aPart({ description })
    parts.push(partId)
    await stockReceive(asWriter(nell), { partId, binId: bin, quantity: 9 })
    await needAdd(asWriter(nell), { jobId, partId, quantity })
  }
})

/** The list as one person has it in hand: what was still wanted, and what had been taken. */
async function listInHand() {
  const { needs } = await jobView(jobId)
  const takenOf = new Map(needs.map((need) => [need.id, need.taken]))
  return (await jobPickList(jobId)).lines.map(({ needId, binId, quantity }) => ({
    needId,
    binId,
    quantity,
    seen: takenOf.get(needId)!,
  }))
}
const moves = () => database().movement.count({ where: { jobId } })

describe('two people with the same pick list in hand', () => {
  test('each may take a line of it; a line that the other one took is not taken twice, and both names are known', async () => {
    const ofNell = await listInHand()
    const ofOwen = await listInHand()
    await jobTake(asWriter(nell), { jobId, lines: ofNell.slice(0, 1) })
    await expect(jobTake(asWriter(owen), { jobId, lines: ofOwen })).rejects.toMatchObject({
      code: 'job/taken-meanwhile',
      happened: expect.stringMatching(/^Nell Farrow took or put back Return spring TX-\d+ for this job/),
    })
    expect(await moves()).toBe(1)
    await jobTake(asWriter(owen), { jobId, lines: ofOwen.slice(1) })
    expect((await jobView(jobId)).needs.map((need) => [need.taken, need.wanted])).toEqual([
      [3, 3],
      [2, 2],
    ])
    expect(await moves()).toBe(2)
  })

  test('after something was put back, the list from before is refused, and the one from now is taken', async () => {
    const [spring] = (await jobView(jobId)).needs
    const before = { needId: spring!.id, binId: bin, quantity: 1, seen: spring!.taken }
    await jobPutBack(asWriter(owen), { jobId, needId: spring!.id, binId: bin, quantity: 1 })
    await expect(jobTake(asWriter(nell), { jobId, lines: [before] })).rejects.toMatchObject({
      code: 'job/taken-meanwhile',
      happened: expect.stringContaining('Owen Tarrant'),
    })
    await jobTake(asWriter(nell), { jobId, lines: [{ ...before, seen: 2 }] })
    expect((await jobView(jobId)).needs[0]!.taken).toBe(3)
  })

  test('one need from two bins is one list: the second bin is not held against the first', async () => {
    const partId = await aPart({ description: 'Grease nipple' })
    const other = await aBin('C-5')
    for (const binId of [bin, other]) await stockReceive(asWriter(nell), { partId, binId, quantity: 2 })
    await needAdd(asWriter(nell), { jobId, partId, quantity: 4 })
    const lines = await listInHand()
    expect(lines.map((line) => [line.binId, line.quantity])).toEqual([
      [bin, 2],
      [other, 2],
    ])
    expect((await jobTake(asWriter(owen), { jobId, lines })).movements).toHaveLength(2)
  })
})

test('two texts together are both there, the earlier first, and nothing stands twice', () => {
  expect(wordsTogether('shoes renewed', 'drum turned')).toBe('shoes renewed\ndrum turned')
  expect(wordsTogether('shoes renewed', 'shoes renewed, drum turned')).toBe('shoes renewed, drum turned')
  expect(wordsTogether('shoes renewed, drum turned', ' drum turned ')).toBe('shoes renewed, drum turned')
})
