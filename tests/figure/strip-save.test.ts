import { beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead } from '../../lib/db/figure.ts'
import { editionPlace } from '../../lib/db/figure-edition.ts'
import { figureImport, figurePrepare } from '../../lib/db/figure-import.ts'
import { stripHistoryRead, stripSave, stripSaved } from '../../lib/db/strip.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { StripSaveInput } from '../../lib/figure/strip-schema.ts'
import { hub, refusalOf } from '../exchange/hub-figure.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'

useWorkshop()

let [nell, sam] = ['', '']
beforeAll(async () => {
  nell = await aPerson('Nell Farrow')
  sam = await aPerson('Sam Lutterby')
})

/** 1 split pin (holds 2), 2 castle nut, 3 wheel grease; 1 comes off before 2. */
async function aHub(more: Record<string, unknown> = {}): Promise<number> {
  return (await figureImport(asWriter(nell), hub(more))).figureId
}

interface Step {
  item: string
  after?: string[]
  note?: string
  minutes?: string
}
const order = (figureId: number, version: number, steps: Step[]) =>
  StripSaveInput.parse({
    figureId,
    edition: 1,
    version,
    steps: JSON.stringify(steps.map((step) => ({ after: [], note: '', minutes: '', ...step }))),
  })

describe('a strip order saved from the drawing', () => {
  it('is what the figure says from then on, with notes and minutes', async () => {
    const figureId = await aHub()
    const steps = [
      { item: '3', note: ' wipe it off ', minutes: '10' },
      { item: '1', after: ['3'] },
      { item: '2', after: ['1'] },
    ]
    expect(await stripSave(asWriter(nell), order(figureId, 0, steps))).toEqual({ figureId, version: 1 })
    const figure = await figureRead(figureId, {})
    expect(figure.stripSteps).toEqual([{ item: '3', note: 'wipe it off', minutes: 10 }, { item: '1' }, { item: '2' }])
    expect(figure.strip).toEqual(
      expect.arrayContaining([
        { first: '3', then: '1' },
        { first: '1', then: '2' },
      ]),
    )
    expect(figure.strip).toHaveLength(2)
  })

  it('sent twice with one key is saved once', async () => {
    const figureId = await aHub()
    const [writer, sent] = [asWriter(nell), order(figureId, 0, [{ item: '3' }])]
    expect(await stripSave(writer, sent)).toEqual(await stripSave(writer, sent))
    expect(await stripHistoryRead(figureId)).toHaveLength(1)
  })

  it('is refused when somebody saved in between, who is named; theirs stays, and both can be saved one after the other', async () => {
    const figureId = await aHub()
    await stripSave(asWriter(sam), order(figureId, 0, [{ item: '3', note: 'theirs' }]))
    const refusal = await refusalOf(stripSave(asWriter(nell), order(figureId, 0, [{ item: '2', note: 'mine' }])))
    expect(refusal.code).toBe('figure/strip-changed')
    expect(refusal.happened).toBe('Sam Lutterby saved a strip order of this figure while you worked on yours.')
    expect((await stripSaved(database(), figureId))?.content.steps).toEqual([{ item: '3', note: 'theirs' }])
    await stripSave(asWriter(nell), order(figureId, 1, [{ item: '2', note: 'mine' }]))
    expect((await stripHistoryRead(figureId)).map((row) => [row.version, row.who, row.content.steps[0]?.note])).toEqual(
      [
        [2, 'Nell Farrow', 'mine'],
        [1, 'Sam Lutterby', 'theirs'],
      ],
    )
  })

  it('of four people who save at once one has it, three hear so', async () => {
    const figureId = await aHub()
    const outcomes = await Promise.allSettled(
      ['a', 'b', 'c', 'd'].map((note) => stripSave(asWriter(nell), order(figureId, 0, [{ item: '3', note }]))),
    )
    expect(outcomes.filter((outcome) => outcome.status === 'fulfilled')).toHaveLength(1)
    const codes = outcomes.flatMap((one) => (one.status === 'rejected' ? [(one.reason as { code: string }).code] : []))
    expect(codes).toEqual(Array(3).fill('figure/strip-changed'))
  })

  it('that a newer page has overtaken is refused', async () => {
    const figureId = await aHub()
    await database().figure.update({ where: { id: figureId }, data: { edition: 2 } })
    const refusal = await refusalOf(stripSave(asWriter(nell), order(figureId, 0, [{ item: '3' }])))
    expect(refusal.happened).toMatch(/^A newer page of this figure was published/)
  })

  it.each([
    [
      'a circle',
      [
        { item: '2', after: ['3'] },
        { item: '3', after: ['2'] },
      ],
      'figure/strip-cycle',
      /2 before 3 before 2/,
    ],
    ['a nut before its split pin', [{ item: '1', after: ['2'] }, { item: '2' }], 'figure/strip-cycle', /1 before 2/],
    ['an item that is not in the list', [{ item: '77' }], 'figure/unknown-item', /77/],
  ])('with %s is refused and leaves the order as it was', async (_, steps, code, words) => {
    const figureId = await aHub()
    const refusal = await refusalOf(stripSave(asWriter(nell), order(figureId, 0, steps)))
    expect([refusal.code, words.test(refusal.happened)]).toEqual([code, true])
    expect((await figureRead(figureId, {})).strip).toEqual([{ first: '1', then: '2' }])
    expect(await stripHistoryRead(figureId)).toEqual([])
  })

  it('comes with a figure file too, notes and minutes with it', async () => {
    const stripSteps = [{ item: '1', note: 'straighten the legs', minutes: 2 }, { item: '2' }]
    const figureId = await aHub({ stripSteps })
    expect((await figureRead(figureId, {})).stripSteps).toEqual(stripSteps)
    const refusal = await refusalOf(figureImport(asWriter(nell), hub({ stripSteps: [{ item: '9' }, { item: '9' }] })))
    expect(refusal.faults).toEqual([
      'strip step 1, item: the list has no item 9',
      'strip step 2, item: the list has no item 9',
      'strip step 2 (item 9): strip step 1 has it already',
    ])
  })

  it('goes along into a newer edition: notes with their parts, under their new items', async () => {
    const sent = hub()
    const { figureId } = await figureImport(asWriter(nell), sent)
    const steps = [
      { item: '3', note: 'wipe it off', minutes: '10' },
      { item: '1', after: ['3'], note: 'new one' },
    ]
    await stripSave(asWriter(nell), order(figureId, 0, [...steps, { item: '2', after: ['1'] }]))
    const [pin, nut, grease] = sent.file.lines
    // A newer page: the pin is gone, the grease is item 7 now.
    const lines = [
      { ...nut!, attaches: undefined },
      { ...grease!, item: '7', partNumber: `${sent.file.number}-3` },
    ]
    const newer = { ...sent.file, lines, callouts: [], stripOrder: [] }
    expect(pin!.item).toBe('1')
    const ready = await figurePrepare({ ...sent, file: JSON.parse(JSON.stringify(newer)) as unknown })
    await inTransaction((tx) => editionPlace(tx, asWriter(sam), ready, { figureId, supersede: [] }))
    const figure = await figureRead(figureId, {})
    expect(figure.stripSteps).toEqual([{ item: '7', note: 'wipe it off', minutes: 10 }, { item: '2' }])
    // The pin stood between them: the grease is still wiped off before the nut.
    expect(figure.strip).toEqual([{ first: '7', then: '2' }])
    expect((await stripHistoryRead(figureId)).map((row) => row.version)).toEqual([2, 1])
  })
})
