import { expect, test } from 'vitest'
import { figureRead } from '../../lib/db/figure.ts'
import { draftSave, sourceBring } from '../../lib/db/page-desk.ts'
import { draftRead } from '../../lib/db/page-desk-read.ts'
import { draftPublish, draftRenews, draftReview } from '../../lib/db/page-publish.ts'
import { readingsStart } from '../../lib/db/page-reading.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { deskHistory, deskStep } from '../../lib/figure/desk.ts'
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

async function read(reading: ReturnType<typeof hubPage>, figureId?: number): Promise<number> {
  const reader = fakeReader({ reading })
  const { draftId } = await sourceBring(await nell(), reader, { bytes: await aPage(), name: 'hub.png', figureId })
  await readingsStart(reader, [draftId!])
  return draftId!
}

/** As a list that was brought in leaves it: lines, and no number on any drawing. */
async function listFigure(number: string): Promise<number> {
  const draftId = await read(hubPage())
  const { draft, version } = await draftRead(draftId)
  const head = { maker: 'Thornley & Pike', model: 'TB6', kind: 'tipping trailer', number, title: 'Hub and drum brake' }
  const named = deskStep(deskHistory(draft!), { do: 'set-head', head }).present
  const saved = await draftSave(await nell(), { draftId, version, draft: named })
  const { figureId } = await draftPublish(await nell(), { draftId, version: saved.version, supersede: [] })
  await inTransaction((tx) => tx.callout.deleteMany({ where: { figureId } }))
  return figureId
}

test('a figure that came in as a list gets its drawing, and every line stays what it was', async () => {
  const figureId = await listFigure('7-01')
  const before = await figureRead(figureId, {})
  expect(before.callouts).toEqual([])
  const draftId = await read(hubPage({ rows: [] }), figureId)
  const view = await draftRead(draftId)
  expect(view.draft!.rows.map((row) => [row.item, row.partNumber, row.quantity])).toEqual([
    ['1', 'TP-1101', '2'],
    ['2', 'TP-1102', '1'],
    ['3', 'TP-1103', '1'],
  ])
  const { changes } = await draftReview(draftId)
  expect(changes?.diff).toMatchObject({ added: [], removed: [], numberChanged: [], quantityChanged: [] })
  await draftPublish(await nell(), { draftId, version: view.version, supersede: [] })
  const after = await figureRead(figureId, {})
  // A number without a line is left out, as the notes before publishing say.
  expect(after.callouts.map((one) => one.item)).toEqual(['1', '2', '1'])
  expect(after.edition).toBe(2)
  expect(after.lines.map(({ lineId, quantity }) => [lineId, quantity])).toEqual(
    before.lines.map(({ lineId, quantity }) => [lineId, quantity]),
  )
})

test('a page that printed only a drawing gets the lines of the figure it is said to renew', async () => {
  const figureId = await listFigure('7-02')
  const draftId = await read(hubPage({ rows: [] }))
  const { version } = await draftRead(draftId)
  await draftRenews(await nell(), { draftId, figureId })
  const view = await draftRead(draftId)
  expect(view.draft!.rows.map((row) => row.partNumber)).toEqual(['TP-1101', 'TP-1102', 'TP-1103'])
  // A window that has the page open hears of it.
  expect(view.version).toBe(version + 1)
})

test('a page becomes parts of the class that stood in its list', async () => {
  const figureId = await listFigure('7-03')
  const { lines } = await figureRead(figureId, {})
  expect(lines.map((line) => [line.description, line.partClass])).toEqual([
    ['Split pin', 'split-pin'],
    ['Castle nut', 'castle-nut'],
    ['Hub cap', 'cap'],
  ])
})
