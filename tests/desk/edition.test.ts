import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead, figuresOfModel } from '../../lib/db/figure.ts'
import { figureImport } from '../../lib/db/figure-import.ts'
import { jobOpen } from '../../lib/db/job.ts'
import { jobView } from '../../lib/db/job-read.ts'
import { draftSave, sourceBring } from '../../lib/db/page-desk.ts'
import { draftRead } from '../../lib/db/page-desk-read.ts'
import { draftPublish, draftReview } from '../../lib/db/page-publish.ts'
import { readingsStart } from '../../lib/db/page-reading.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { partWhereUsed } from '../../lib/db/where-used.ts'
import type { ReadRow } from '../../lib/figure/reader/schema.ts'
import { hub, refusalOf } from '../exchange/hub-figure.ts'
import { aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aPage, fakeReader } from './fake-reader.ts'
import { hubPage } from './hub-page.ts'

useWorkshop()

let writer: string | null = null
async function nell() {
  writer ??= await aPerson('Nell Farrow')
  return asWriter(writer)
}

/** A hub in the book: 1 split pin (held by 2), 2 castle nut, 3 wheel grease; 1 comes off before 2, 2 before 3. */
async function hubInBook() {
  const sent = hub({
    stripOrder: [
      { first: '1', then: '2' },
      { first: '2', then: '3' },
    ],
  })
  const { figureId, modelId } = await figureImport(await nell(), sent)
  return { figureId, modelId, file: sent.file, numbers: sent.file.lines.map((line) => line.partNumber ?? '') }
}

const row = (item: string, partNumber: string, description: string, quantity: number): ReadRow => ({
  ...hubPage().rows[0]!,
  item,
  partNumber,
  description,
  quantity,
})

/** A newer page of the figure as it was read, on the desk. */
async function newer(figureId: number, rows: ReadRow[]): Promise<{ draftId: number; version: number }> {
  const callouts = rows.map((one, at) => ({ ...hubPage().callouts[0]!, item: one.item, x: 100 + 150 * at, y: 200 }))
  const reader = fakeReader({ reading: hubPage({ rows, callouts, figures: [] }) })
  const { draftId } = await sourceBring(await nell(), reader, { bytes: await aPage(), name: 'newer.png', figureId })
  await readingsStart(reader, [draftId!])
  return { draftId: draftId!, version: (await draftRead(draftId!)).version }
}

describe('a newer page of a figure in the book', () => {
  it('knows model, number, title and places before anybody types', async () => {
    const { figureId, file } = await hubInBook()
    const { draftId } = await newer(figureId, [row('1', 'TP-X', 'Split pin', 2)])
    expect((await draftRead(draftId)).draft?.head).toMatchObject({
      maker: 'Thornley & Pike',
      model: 'TB6',
      number: file.number,
      title: 'Hub and drum brake',
      positions: 'LH left wheel',
    })
  })

  it('tells what changes before it is published, and changes nothing by telling', async () => {
    const { figureId, numbers } = await hubInBook()
    const before = await figureRead(figureId, {})
    const { draftId } = await newer(figureId, [
      row('1', numbers[0]!, 'Split pin', 3),
      row('2', `${numbers[1]}A`, 'Castle nut', 1),
      row('4', `NEW-${numbers[0]}`, 'Hub cap', 1),
    ])
    const { changes, there } = await draftReview(draftId)
    expect(there).toBeNull()
    expect(changes?.diff.quantityChanged).toMatchObject([{ item: '1', from: 2, to: 3 }])
    expect(changes?.diff.numberChanged).toMatchObject([{ item: '2', from: numbers[1], to: `${numbers[1]}A` }])
    expect(changes?.diff.added).toEqual([2])
    expect(changes?.before.find((line) => line.lineId === changes.diff.removed[0])?.item).toBe('3')
    expect([changes?.stripKept, changes?.stripDropped]).toEqual([1, [{ first: '2', then: '3' }]])
    expect(await figureRead(figureId, {})).toEqual(before)
  })

  it('takes the place of the old one: same figure, next edition, strip order and facts of the joints kept', async () => {
    const { figureId, modelId, numbers } = await hubInBook()
    const before = await figureRead(figureId, {})
    const { draftId, version } = await newer(figureId, [
      row('1', numbers[0]!, 'Split pin', 3),
      row('2', `${numbers[1]}B`, 'Castle nut', 1),
    ])
    const nut = before.lines.find((line) => line.item === '2')!
    const done = await draftPublish(await nell(), { draftId, version, supersede: [nut.lineId] })
    expect(done).toMatchObject({ figureId, modelId, edition: 2 })
    const after = await figureRead(figureId, {})
    expect(after).toMatchObject({ edition: 2, number: before.number, tests: before.tests, positions: before.positions })
    expect(after.strip).toEqual([{ first: '1', then: '2' }])
    expect(after.lines.map((line) => [line.item, line.partNumber, line.quantity, line.attaches])).toEqual([
      ['1', numbers[0], 3, '2'],
      ['2', `${numbers[1]}B`, 1, undefined],
    ])
    // The line of a part that is still there is the same line; the joint's torque goes on with its place.
    expect(after.lines[0]!.lineId).toBe(before.lines[0]!.lineId)
    expect(after.lines[1]!.facts.torqueNm).toBe(110)
    expect(after.picture.id).not.toBe(before.picture.id)
    const links = await database().supersession.findMany({ where: { oldPartId: nut.partId }, include: { new: true } })
    expect(links.map((link) => [link.new.number, link.interchange])).toEqual([[`${numbers[1]}B`, 'one-way']])
    // Nobody finds the old number in the book, and nobody loses it.
    expect((await partWhereUsed(nut.partId)).uses).toEqual([])
    expect((await figuresOfModel(modelId)).find((one) => one.id === figureId)?.lines).toBe(2)
    expect(await database().partsListLine.count({ where: { figureId, retiredAt: { not: null } } })).toBe(2)
  })

  it('an open job keeps the line it was planned with, and its plan still finds it', async () => {
    const { figureId, modelId, numbers } = await hubInBook()
    const nut = (await figureRead(figureId, {})).lines.find((line) => line.item === '2')!
    const machineId = await inTransaction(async (tx) => {
      const data = { modelId, fleetNumber: `T${figureId}`, fleetKey: `t${figureId}`, name: 'Tipping trailer' }
      return (await tx.machine.create({ data })).id
    })
    const { jobId } = await jobOpen(await nell(), {
      machineId,
      kind: 'repair',
      complaint: 'Wheel rocks',
      hours: null,
      unsafe: false,
      figureId,
      lineId: nut.lineId,
      positions: ['LH'],
      quantity: 1,
    })
    const before = await jobView(jobId)
    const { draftId, version } = await newer(figureId, [
      row('1', numbers[0]!, 'Split pin', 2),
      row('2', `${numbers[1]}C`, 'Castle nut', 1),
    ])
    expect((await draftReview(draftId)).changes?.jobs.map((job) => [job.id, job.item])).toEqual([[jobId, '2']])
    await draftPublish(await nell(), { draftId, version, supersede: [] })
    const after = await jobView(jobId)
    expect(after.targets).toEqual(before.targets)
    // Choosing another part plans the job anew: the retired line is still among what it plans with.
    const { jobTarget } = await import('../../lib/db/job.ts')
    const pin = (await figureRead(figureId, {})).lines.find((line) => line.item === '1')!
    await jobTarget(await nell(), { jobId, figureId, lineId: pin.lineId, positions: ['LH'], quantity: 2 })
    const planned = await jobView(jobId)
    expect(planned.needs.map((need) => need.item)).toEqual(expect.arrayContaining(['1', '2']))
  })

  it('a page that prints no numbers keeps the parts, and their units', async () => {
    const { figureId } = await hubInBook()
    const before = await figureRead(figureId, {})
    const { draftId, version } = await newer(figureId, [
      row('1', '', 'Split pin', 2),
      row('2', '', 'Castle nut', 1),
      { ...row('3', '', 'Wheel grease', 0), quantity: null, quantityNote: 'AR' },
    ])
    const draft = (await draftRead(draftId)).draft!
    const grease = {
      ...draft,
      rows: draft.rows.map((one) => (one.item === '3' ? { ...one, unit: 'kilogram' as const } : one)),
    }
    const saved = await draftSave(await nell(), { draftId, version, draft: grease })
    await draftPublish(await nell(), { draftId, version: saved.version, supersede: [] })
    const after = await figureRead(figureId, {})
    expect(after.lines.map((line) => line.partId)).toEqual(before.lines.map((line) => line.partId))
    expect(after.lines.map((line) => line.lineId)).toEqual(before.lines.map((line) => line.lineId))
  })

  it('superseding in a circle is refused and the edition in the book stays', async () => {
    const { figureId, numbers } = await hubInBook()
    const nut = (await figureRead(figureId, {})).lines.find((line) => line.item === '2')!
    const { draftId, version } = await newer(figureId, [row('2', `${numbers[1]}D`, 'Castle nut', 1)])
    await draftPublish(await nell(), { draftId, version, supersede: [nut.lineId] })
    const now = (await figureRead(figureId, {})).lines.find((line) => line.item === '2')!
    const back = await newer(figureId, [row('2', numbers[1]!, 'Castle nut', 1)])
    const refusal = await refusalOf(draftPublish(await nell(), { ...back, supersede: [now.lineId] }))
    expect(refusal.code).toBe('catalogue/cycle')
    expect((await figureRead(figureId, {})).edition).toBe(2)
    expect((await draftRead(back.draftId)).state).toBe('ready')
  })
})
