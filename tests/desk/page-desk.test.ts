import { describe, expect, it } from 'vitest'
import { database } from '../../lib/db/client.ts'
import { figureRead } from '../../lib/db/figure.ts'
import {
  draftDrop,
  draftPutBack,
  draftReadAgain,
  draftSave,
  draftStop,
  draftsStart,
  SOURCE_MEGABYTES_MAX,
  sourceBring,
} from '../../lib/db/page-desk.ts'
import { draftRead, draftsList, sourceRead, sourceThumbnail } from '../../lib/db/page-desk-read.ts'
import { draftPublish, draftRenews, draftReview } from '../../lib/db/page-publish.ts'
import { readingAbort, readingsSettle, readingsStart } from '../../lib/db/page-reading.ts'
import { inTransaction } from '../../lib/db/transaction.ts'
import { type DeskAct, type DeskDraft, deskHistory, deskStep } from '../../lib/figure/desk.ts'
import { Refusal } from '../../lib/refusal.ts'
import { refusalOf } from '../exchange/hub-figure.ts'
import { aPart, aPerson } from '../support/builders.ts'
import { asWriter, useWorkshop } from '../support/database.ts'
import { aPage, type FakeReader, fakeReader } from './fake-reader.ts'

useWorkshop()

let writer: string | null = null
async function nell() {
  writer ??= await aPerson('Nell Farrow')
  return asWriter(writer)
}

async function brought(reader: FakeReader, figureId?: number): Promise<number> {
  const { draftId } = await sourceBring(await nell(), reader, { bytes: await aPage(), name: 'hub.png', figureId })
  return draftId!
}

async function read(reader = fakeReader(), figureId?: number): Promise<number> {
  const draftId = await brought(reader, figureId)
  await readingsStart(reader, [draftId])
  return draftId
}

const put = (draft: DeskDraft, ...acts: DeskAct[]) => acts.reduce(deskStep, deskHistory(draft)).present

let numbers = 0
/** Reads a page and puts it right, ready to publish under a figure number of its own. */
async function putRight(): Promise<{ draftId: number; version: number; number: string; draft: DeskDraft }> {
  const draftId = await read()
  numbers += 1
  const number = `7-${numbers}`
  const view = await draftRead(draftId)
  const nine = view.draft!.callouts.find((one) => one.item === '9')!.id
  const head = { maker: 'Thornley & Pike', model: 'TB6', kind: 'tipping trailer', number, title: 'Hub and drum brake' }
  const draft = put(
    view.draft!,
    { do: 'renumber', id: nine, item: '3' },
    { do: 'set-head', head: { ...head, positions: 'LH left wheel\nRH right wheel' } },
  )
  const { version } = await draftSave(await nell(), { draftId, version: view.version, draft })
  return { draftId, version, number, draft }
}

describe('a page brought to the desk', () => {
  it('of one sheet is read at once and then waits to be put right', async () => {
    const draftId = await read()
    const view = await draftRead(draftId)
    expect(view).toMatchObject({ state: 'ready', name: 'hub.png', page: 1, version: 0, nothing: '' })
    expect(view.draft?.callouts.map((one) => one.item)).toEqual(['1', '2', '1', '9'])
    expect(view.viewId).toMatch(/^[0-9a-f]{64}$/)
    expect((await draftsList()).open.map((row) => row.id)).toContain(draftId)
  })

  it('of many sheets lets pages be chosen first', async () => {
    const reader = fakeReader({ pages: 30 })
    const writer = await nell()
    const { sourceId, draftId, pages } = await sourceBring(writer, reader, { bytes: await aPage(), name: 'book.pdf' })
    expect([draftId, pages]).toEqual([null, 30])
    expect((await sourceThumbnail(reader, sourceId, 30)).byteLength).toBeGreaterThan(50)
    expect((await refusalOf(sourceThumbnail(reader, sourceId, 31))).code).toBe('desk/no-such')
    const { draftIds } = await draftsStart(asWriter(writer.personId), { sourceId, pages: [12, 4, 4, 99] })
    expect((await sourceRead(sourceId)).taken.map((one) => one.page)).toEqual([4, 12])
    const again = await draftsStart(asWriter(writer.personId), { sourceId, pages: [12] })
    expect(again.draftIds).toEqual([draftIds[1]])
    const none = await refusalOf(draftsStart(asWriter(writer.personId), { sourceId, pages: [99] }))
    expect(none.code).toBe('desk/no-page')
    const many = Array.from({ length: 30 }, (_, at) => at + 1)
    await database().pageSource.findUniqueOrThrow({ where: { id: sourceId } })
    await inTransaction((tx) => tx.pageSource.update({ where: { id: sourceId }, data: { pageCount: 90 } }))
    const greedy = draftsStart(asWriter(writer.personId), {
      sourceId,
      pages: [...many, ...many.map((page) => page + 30)],
    })
    expect((await refusalOf(greedy)).code).toBe('desk/too-many')
  })

  it('twice is one page on the desk', async () => {
    const reader = fakeReader()
    const bytes = await aPage()
    const one = await sourceBring(await nell(), reader, { bytes, name: 'hub.png' })
    const two = await sourceBring(await nell(), reader, { bytes, name: 'copy of hub.png' })
    expect(two).toEqual(one)
  })

  it('that the reader cannot open leaves nothing behind', async () => {
    const reader = fakeReader({ open: () => Promise.reject(new Error('no page')) })
    const before = await database().pageSource.count()
    await expect(sourceBring(await nell(), reader, { bytes: await aPage(), name: 'x.png' })).rejects.toThrow('no page')
    expect(await database().pageSource.count()).toBe(before)
  })

  it('is named as the person knows it when the reader refuses it', async () => {
    const locked = new Refusal('page/locked', { file: 'a-digest.pdf' })
    const reader = fakeReader({ open: () => Promise.reject(locked) })
    const refusal = await refusalOf(sourceBring(await nell(), reader, { bytes: await aPage(), name: 'hub book.pdf' }))
    expect([refusal.code, refusal.happened]).toEqual(['page/locked', 'hub book.pdf is locked with a password.'])
  })

  it('that is too heavy is refused with its weight', async () => {
    const bytes = new Uint8Array(SOURCE_MEGABYTES_MAX * 1e6 + 1)
    const refusal = await refusalOf(sourceBring(await nell(), fakeReader(), { bytes, name: 'book.pdf' }))
    expect(refusal.code).toBe('desk/too-heavy')
  })

  it('with nothing on it says so and can still be drawn in by hand', async () => {
    const { hubPage } = await import('./hub-page.ts')
    const reading = hubPage({
      kind: 'no-parts-page',
      why: 'no numbers were found',
      callouts: [],
      rows: [],
      figures: [],
    })
    const view = await draftRead(await read(fakeReader({ reading })))
    expect(view).toMatchObject({ state: 'ready', nothing: 'no numbers were found' })
    expect(view.draft?.callouts).toEqual([])
  })
})

describe('reading a page', () => {
  it('shows how far it is, can be stopped, and can be begun again', async () => {
    const reader = fakeReader()
    const held = new Promise<void>((started) => {
      reader.hold = started
    })
    const draftId = await brought(reader)
    const end = readingsStart(reader, [draftId])
    await held
    expect((await draftRead(draftId)).state).toBe('reading')
    await expect.poll(async () => (await draftRead(draftId)).step).toBe('Reading the numbers')
    await draftStop(await nell(), { draftId })
    readingAbort(draftId)
    await end
    expect(await draftRead(draftId)).toMatchObject({ state: 'failed', failure: 'The reading was stopped by hand.' })
    reader.hold = null
    await draftReadAgain(await nell(), { draftId })
    await readingsStart(reader, [draftId])
    expect((await draftRead(draftId)).state).toBe('ready')
    expect(reader.reads).toBe(2)
  })

  it('that fails keeps the page and says why', async () => {
    const draftId = await read(fakeReader({ fails: 'the scanner drew a blank' }))
    expect(await draftRead(draftId)).toMatchObject({
      state: 'failed',
      failure: 'The page could not be read: the scanner drew a blank',
    })
    const early = await refusalOf(draftSave(await nell(), { draftId, version: 0, draft: (await putRight()).draft }))
    expect(early.code).toBe('desk/not-ready')
  })

  it('that was cut off by a restart is marked, and only once it gives no sign of life', async () => {
    const draftId = await brought(fakeReader())
    const at = (seconds: number) => new Date(Date.parse('2026-11-02T08:15:00Z') + seconds * 1000)
    await inTransaction((tx) =>
      tx.pageDraft.update({
        where: { id: draftId },
        data: { state: 'reading', runner: `${process.ppid}-elsewhere`, beatAt: at(0) },
      }),
    )
    await readingsSettle(at(40))
    expect((await draftRead(draftId)).state).toBe('reading')
    await readingsSettle(at(60))
    expect(await draftRead(draftId)).toMatchObject({
      state: 'failed',
      failure: expect.stringMatching(/Read it again|read it again/),
    })
  })

  it('by a process that is gone is marked at once', async () => {
    const draftId = await brought(fakeReader())
    const now = new Date()
    await inTransaction((tx) =>
      tx.pageDraft.update({
        where: { id: draftId },
        // The same process number, another run of it: what a restarted container looks like.
        data: { state: 'reading', runner: `${process.pid}-before`, beatAt: now },
      }),
    )
    await readingsSettle(now)
    expect((await draftRead(draftId)).state).toBe('failed')
  })
})

describe('a draft', () => {
  it('is kept as it is put right, and the older of two windows is told', async () => {
    const draftId = await read()
    const { draft, version } = await draftRead(draftId)
    const one = put(draft!, { do: 'set-head', head: { title: 'from one window' } })
    const two = put(draft!, { do: 'set-head', head: { title: 'from the other' } })
    const context = await nell()
    expect(await draftSave(context, { draftId, version, draft: one })).toEqual({ version: 1 })
    // The same save sent twice by a bad line is one save.
    expect(await draftSave(context, { draftId, version, draft: one })).toEqual({ version: 1 })
    const late = await refusalOf(draftSave(await nell(), { draftId, version, draft: two }))
    expect(late.code).toBe('desk/stale')
    expect((await draftRead(draftId)).draft?.head.title).toBe('from one window')
  })

  it('that is dropped can be put back as it was left', async () => {
    const draftId = await read()
    await draftDrop(await nell(), { draftId })
    expect((await draftsList()).open.map((row) => row.id)).not.toContain(draftId)
    expect(await draftPutBack(await nell(), { draftId })).toEqual({ draftId, read: true })
    expect((await draftRead(draftId)).state).toBe('ready')
  })

  it('that does not exist is refused by every verb', async () => {
    for (const verb of [draftDrop, draftPutBack, draftReadAgain, draftStop])
      expect((await refusalOf(verb(await nell(), { draftId: 9999 }))).code).toBe('desk/no-such')
    expect((await refusalOf(draftRead(9999))).code).toBe('desk/no-such')
  })
})

describe('publishing a page', () => {
  it('makes the figure once, however often it is sent, and puts nothing in the book before', async () => {
    const { draftId, version, number } = await putRight()
    const figures = await database().figure.count()
    const context = await nell()
    const done = await draftPublish(context, { draftId, version, supersede: [] })
    expect(await draftPublish(context, { draftId, version, supersede: [] })).toEqual(done)
    expect(await database().figure.count()).toBe(figures + 1)
    const figure = await figureRead(done.figureId, {})
    expect(figure).toMatchObject({ number, title: 'Hub and drum brake', edition: 1 })
    expect(figure.positions).toMatchObject([{ code: 'LH', pairedWith: 'RH' }, { code: 'RH' }])
    expect(figure.lines.map((line) => [line.item, line.partNumber, line.quantity])).toEqual([
      ['1', 'TP-1101', 2],
      ['2', 'TP-1102', 1],
      ['3', 'TP-1103', 1],
    ])
    // The drawing is cut out of its page: numbers are measured from the corner of the cut.
    expect(figure.width).toBeLessThan(1000)
    expect(await draftRead(draftId)).toMatchObject({ state: 'published', figureId: done.figureId })
    const twice = await refusalOf(draftPublish(await nell(), { draftId, version, supersede: [] }))
    expect(twice.code).toBe('desk/not-ready')
  })

  it('is refused row by row, and nothing is kept', async () => {
    const { draftId, version, draft } = await putRight()
    const row = draft.rows[1]!.id
    const bad = put(draft, { do: 'set-row', id: row, field: 'quantity', value: 'some' })
    const saved = await draftSave(await nell(), { draftId, version, draft: bad })
    const figures = await database().figure.count()
    const refusal = await refusalOf(draftPublish(await nell(), { draftId, version: saved.version, supersede: [] }))
    expect([refusal.code, refusal.faults]).toEqual([
      'import/refused',
      ['item 2, quantity: too small, it must be above 0'],
    ])
    expect(await database().figure.count()).toBe(figures)
    expect((await draftRead(draftId)).state).toBe('ready')
  })

  it('of an older version than the desk has is refused', async () => {
    const { draftId, version } = await putRight()
    const refusal = await refusalOf(draftPublish(await nell(), { draftId, version: version - 1, supersede: [] }))
    expect(refusal.code).toBe('desk/stale')
  })

  it('under a number that is in the book already is refused, and can be told to renew that figure', async () => {
    const first = await putRight()
    const { figureId } = await draftPublish(await nell(), { ...first, supersede: [] })
    const second = await putRight()
    const draft = put(second.draft, { do: 'set-head', head: { number: first.number } })
    const { version } = await draftSave(await nell(), { ...second, draft })
    expect((await draftReview(second.draftId)).there).toMatchObject({ id: figureId })
    const refusal = await refusalOf(draftPublish(await nell(), { draftId: second.draftId, version, supersede: [] }))
    expect(refusal.code).toBe('figure/exists')
    await draftRenews(await nell(), { draftId: second.draftId, figureId })
    const done = await draftPublish(await nell(), { draftId: second.draftId, version, supersede: [] })
    expect(done).toMatchObject({ figureId, edition: 2 })
  })

  it('takes a page larger than a book needs, and keeps its numbers in place', async () => {
    const { hubPage } = await import('./hub-page.ts')
    const scale = 6
    const small = hubPage()
    const reading = hubPage({
      width: 6000,
      height: 8400,
      figures: [],
      callouts: small.callouts.map((one) => ({
        ...one,
        x: one.x * scale,
        y: one.y * scale,
        tips: one.tips.map((tip) => ({ x: tip.x * scale, y: tip.y * scale })),
      })),
    })
    const draftId = await read(fakeReader({ reading }))
    const view = await draftRead(draftId)
    numbers += 1
    const head = { maker: 'Thornley & Pike', model: 'TB6', number: `7-${numbers}`, title: 'Large page' }
    const { version } = await draftSave(await nell(), {
      draftId,
      version: view.version,
      draft: put(view.draft!, { do: 'set-head', head }),
    })
    const { figureId } = await draftPublish(await nell(), { draftId, version, supersede: [] })
    const figure = await figureRead(figureId, {})
    expect(figure.height).toBe(4800)
    expect(figure.callouts[0]!.x / figure.width).toBeCloseTo(120 / 1000, 3)
    expect(figure.callouts[0]!.y / figure.height).toBeCloseTo(120 / 1400, 3)
  })

  it('a part that is kept by another unit is named with its row', async () => {
    const { draftId, version, draft } = await putRight()
    await aPart({ number: 'TP-9900', maker: 'Thornley & Pike', unit: 'kilogram' })
    const row = draft.rows[2]!.id
    const bad = put(draft, { do: 'set-row', id: row, field: 'partNumber', value: 'TP-9900' })
    const saved = await draftSave(await nell(), { draftId, version, draft: bad })
    const refusal = await refusalOf(draftPublish(await nell(), { draftId, version: saved.version, supersede: [] }))
    expect(refusal.faults).toEqual([expect.stringMatching(/item 3.*kept by kilogram/)])
  })
})
