import { beforeAll, describe, expect, test } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureImport } from '../../lib/db/figure-import.ts'
import { jobTimes } from '../../lib/db/job-time.ts'
import { stripSave } from '../../lib/db/strip.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { StripSaveInput } from '../../lib/figure/strip-schema.ts'
import { hub } from '../exchange/hub-figure.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aTrailer } from './hub-brake-job.ts'

useWorkshop()

let [nell, machineId, number] = ['', 0, 0]
const figures: { figureId: number; lines: Map<string, number> }[] = []
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  const positions = [
    { code: 'LH', label: 'left wheel', pairedWith: 'RH' },
    { code: 'RH', label: 'right wheel', pairedWith: 'LH' },
  ]
  let modelId = 0
  for (let count = 0; count < 2; count++) {
    const done = await figureImport(asWriter(nell), hub({ positions }))
    modelId = done.modelId
    const lines = await database().partsListLine.findMany({ where: { figureId: done.figureId } })
    figures.push({ figureId: done.figureId, lines: new Map(lines.map((line) => [line.item, line.id])) })
  }
  machineId = await aTrailer(modelId, 'T-1', null)
})

interface Aim {
  figure: 0 | 1
  item: string
  positions?: string[]
}

/** A job as its rows have it; closed where it took some time. */
async function aJob(minutes: number, ...aims: Aim[]): Promise<number> {
  number += 1
  const at = new Date('2026-03-02T08:00:00Z')
  return inTransaction(async (tx) => {
    const job = await tx.job.create({
      data: {
        number,
        machineId,
        complaint: 'rumbles',
        state: minutes > 0 ? 'closed' : 'open',
        labourMinutes: minutes,
        openedAt: at,
        openedById: nell,
        closedAt: minutes > 0 ? at : null,
        targets: {
          create: aims.map(({ figure, item, positions = ['LH'] }) => ({
            figureId: figures[figure]!.figureId,
            lineId: figures[figure]!.lines.get(item)!,
            item,
            positions: JSON.stringify(positions),
            quantity: 1,
          })),
        },
      },
    })
    return job.id
  })
}

describe('how long a job took before', () => {
  test('is told from closed jobs on that figure alone, a side at a time', async () => {
    const open = await aJob(0, { figure: 0, item: '2' })
    expect((await jobTimes(open))[0]?.estimate).toBeNull()
    await aJob(100, { figure: 0, item: '2' })
    await aJob(200, { figure: 0, item: '2', positions: ['LH', 'RH'] })
    // Hours written for two figures at once cannot be parted; those of the other figure say nothing.
    await aJob(900, { figure: 0, item: '2' }, { figure: 1, item: '2' })
    await aJob(900, { figure: 1, item: '2' })
    await aJob(0, { figure: 0, item: '2' })
    const [time, ...others] = await jobTimes(open)
    expect(others).toEqual([])
    expect(time?.estimate).toMatchObject({ jobs: 2, alike: 2, steps: null })
    expect(time?.estimate?.minutes).toBeCloseTo(100)
    const both = await aJob(0, { figure: 0, item: '2', positions: ['LH', 'RH'] })
    expect((await jobTimes(both))[0]?.estimate?.minutes).toBeCloseTo(200)
  })

  test('other parts of the figure tell too, but are not counted as the same', async () => {
    const open = await aJob(0, { figure: 0, item: '3' })
    expect((await jobTimes(open))[0]?.estimate).toMatchObject({ jobs: 2, alike: 0 })
  })

  test('grows with every target that takes more apart', async () => {
    const minutes = async (...items: string[]) => {
      const job = await aJob(0, ...items.map((item) => ({ figure: 0 as const, item })))
      return (await jobTimes(job))[0]!.estimate!.minutes
    }
    const nut = await minutes('2')
    expect(await minutes('2', '3')).toBeGreaterThan(nut)
    expect(await minutes('2', '3', '1')).toBeGreaterThan(await minutes('2', '3'))
  })

  test('minutes at the steps count with how many steps have some', async () => {
    const open = await aJob(0, { figure: 1, item: '2' })
    const save = (version: number, nutMinutes: string) =>
      stripSave(
        asWriter(nell),
        StripSaveInput.parse({
          figureId: figures[1]!.figureId,
          edition: 1,
          version,
          steps: JSON.stringify([
            { item: '1', after: [], note: '', minutes: '5' },
            { item: '2', after: ['1'], note: '', minutes: nutMinutes },
          ]),
        }),
      )
    await save(0, '')
    expect((await jobTimes(open))[0]?.estimate?.steps).toEqual({ known: 1, all: 2 })
    await save(1, '20')
    expect((await jobTimes(open))[0]?.estimate?.steps).toEqual({ known: 2, all: 2 })
  })
})
