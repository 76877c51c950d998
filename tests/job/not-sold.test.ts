import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureImport } from '../../lib/db/figure-import.ts'
import { jobOpen, jobTarget } from '../../lib/db/job.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { figureAttach, figuresElsewhere, figuresSharedWith } from '../../lib/db/model-figure.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { partWhereUsed } from '../../lib/db/where-used.ts'
import { suggestionsOrdered, targetOrdered } from '../../lib/job/ordered.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { hub } from '../exchange/hub-figure.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer } from './hub-brake-job.ts'

useWorkshop()

let mechanic: string
let figureId: number
let modelId: number
beforeAll(async () => {
  mechanic = await aPerson('Jory Harrow')
  const input = hub({
    callouts: [],
    stripOrder: [],
    lines: [
      {
        item: '3',
        partNumber: 'NS-3',
        description: 'Brake shoe with lining',
        quantity: 2,
        serials: 'A100-A250, B001-',
      },
      { item: '4', partNumber: 'NS-4', description: 'Lining', quantity: 4, orderItem: '3', side: 'LH' },
    ],
  })
  ;({ figureId, modelId } = await figureImport(asWriter(mechanic), input))
})

const lineOf = async (item: string) =>
  (await database().partsListLine.findFirstOrThrow({ where: { figureId, item } })).id

async function aJob(fleetNumber: string, serialNumber: string | null, item: string, quantity: number) {
  const { jobId } = await jobOpen(asWriter(mechanic), {
    machineId: await aTrailer(modelId, fleetNumber, serialNumber),
    complaint: 'brake squeals',
    kind: 'repair',
    hours: null,
    unsafe: false,
    positions: [],
  })
  await jobTarget(asWriter(mechanic), { jobId, figureId, lineId: await lineOf(item), positions: ['LH'], quantity })
  return jobView(jobId)
}

describe('a line that is not sold separately', () => {
  test('aimed at on a job becomes the item to order, in the number that is needed, and the job says why', async () => {
    const job = await aJob('NS1', 'A120', '4', 3)
    expect(job.targets.map((target) => [target.item, target.quantity])).toEqual([['3', 2]])
    const need = job.needs.find((one) => one.origin === 'target')!
    expect(need.part!.number).toBe('NS-3')
    expect(need.insteadOf).toBe('for item 4 Lining, not sold separately')
  })

  test('names on the part card of the unsold part what to order instead', async () => {
    const part = await database().part.findFirstOrThrow({ where: { number: 'NS-4' } })
    const { uses } = await partWhereUsed(part.id)
    expect(uses).toMatchObject([{ item: '4', side: 'LH', orderInstead: { item: '3', number: 'NS-3' } }])
  })

  test('suggested beside its own assembly it is a note, suggested alone it is the assembly', () => {
    const line = (lineId: number, item: string, more: object = {}) => ({
      lineId,
      item,
      partId: lineId,
      description: `Part ${item}`,
      quantity: 2,
      unit: 'each' as const,
      ...more,
    })
    const lines = [line(1, '3'), line(2, '4', { orderItem: '3' })]
    const suggestion = {
      key: 'k',
      kind: 'part' as const,
      strength: 'must' as const,
      partId: 2,
      item: '4',
      positions: [],
      description: 'Part 4',
      quantity: 2,
      unit: 'each' as const,
      family: 'single-use' as const,
      reasons: [],
    }
    const [alone] = suggestionsOrdered([suggestion], lines, [])
    expect(alone).toMatchObject({ kind: 'part', partId: 1, item: '3', quantity: 2 })
    const [beside] = suggestionsOrdered([suggestion], lines, [{ item: '3' }])
    expect(beside).toMatchObject({ kind: 'act', partId: null, quantity: 0 })
    expect(beside!.description).toContain('item 3 Part 3 brings it')
    expect(targetOrdered(lines, lines[0]!, 5)).toEqual({ line: lines[0], quantity: 5, insteadOf: null })
  })
})

describe('several ranges of serial numbers on one line', () => {
  test.each([
    ['A250', 1],
    ['A251', 0],
    ['B777', 1],
  ])('machine %s: %d line', async (serialNumber, lines) => {
    const part = await database().part.findFirstOrThrow({ where: { number: 'NS-3' } })
    const machineId = await aTrailer(modelId, `R-${serialNumber}`, serialNumber)
    const { uses } = await partWhereUsed(part.id)
    expect(uses[0]!.serialBreak).toBe('S/N A100 to A250, from B001')
    expect(uses[0]!.machines.inside.filter((machine) => machine.id === machineId)).toHaveLength(lines)
  })
})

describe('one figure in the books of several models', () => {
  test('stands in each under its own number, once, and its parts are used in both', async () => {
    const other = await inTransaction(
      async (tx) =>
        (await tx.machineModel.create({ data: { maker: 'Harrow', name: 'TB7', key: 'harrowtb7', kind: 'trailer' } }))
          .id,
    )
    expect((await figuresElsewhere(other, 'hub')).map((figure) => figure.id)).toContain(figureId)
    await figureAttach(asWriter(mechanic), { modelId: other, figureId, number: '9-01' })
    expect((await figuresSharedWith([figureId], modelId)).get(figureId)).toMatchObject([
      { modelId: other, number: '9-01' },
    ])
    expect((await figuresElsewhere(other, 'hub')).map((figure) => figure.id)).not.toContain(figureId)
    const again = await figureAttach(asWriter(mechanic), { modelId: other, figureId, number: '9-02' }).catch(
      (error: unknown) => (isRefusal(error) ? error.code : error),
    )
    expect(again).toBe('figure/exists')
    const part = await database().part.findFirstOrThrow({ where: { number: 'NS-3' } })
    expect((await partWhereUsed(part.id)).uses.map((use) => [use.model, use.number]).sort()).toEqual([
      ['Harrow TB7', '9-01'],
      ['Thornley & Pike TB6', expect.stringMatching(/^4-/)],
    ])
  })
})
