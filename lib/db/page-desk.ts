import type { PartClass } from '../catalogue/part-class.ts'
import { partNumberKey } from '../catalogue/part-number.ts'
import type { DeskDraft, DeskHead } from '../figure/desk.ts'
import { deskPositionsText } from '../figure/desk-check.ts'
import { type DraftInput, type DraftSaveInput, PAGES_AT_ONCE_MAX, type PagesInput } from '../figure/desk-schema.ts'
import { type BookLine, deskStart, deskWithBookLines, type KnownPart } from '../figure/desk-start.ts'
import type { PageReading } from '../figure/reader/schema.ts'
import { quantityScale, type StockUnit } from '../measure/quantity.ts'
import { pageDigest } from '../picture/page-cut.ts'
import { pictureSniff } from '../picture/picture-type.ts'
import { pictureFileRemove, pictureFileThere, pictureFileWrite, picturePath } from '../picture/store.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { figureView } from './figure.ts'
import type { DraftState } from './page-desk-read.ts'
import { pageFilesSweepAfter } from './page-files.ts'
import { type PageReader, refusalNamed } from './page-reader.ts'
import { type WriteContext, write } from './transaction.ts'

export const SOURCE_MEGABYTES_MAX = 60
const EXTENSIONS = { PNG: 'png', JPEG: 'jpg', WebP: 'webp', TIFF: 'tiff', SVG: 'svg' } as const

export interface SourceBrought {
  sourceId: string
  pages: number
  /** The page on the desk when the file has only one; else pages are chosen first. */
  draftId: number | null
}

/**
 * Takes a file in: it is kept as it came, opened to count its pages, and a file of one page goes straight onto the desk.
 * The same file again is the same file. Refuses with 'desk/too-heavy', 'figure/no-such' and what the reader refuses with.
 */
export async function sourceBring(
  context: WriteContext,
  reader: PageReader,
  input: { bytes: Uint8Array; name: string; figureId?: number | undefined },
): Promise<SourceBrought> {
  const { bytes, figureId } = input
  const name = input.name.replace(/^.*[\\/]/, '').slice(0, 200) || 'page'
  if (bytes.byteLength > SOURCE_MEGABYTES_MAX * 1e6) {
    const megabytes = Math.ceil(bytes.byteLength / 1e6)
    throw new Refusal('desk/too-heavy', { name, megabytes, limit: SOURCE_MEGABYTES_MAX })
  }
  const sourceId = pageDigest(bytes)
  const type = pictureSniff(bytes)
  const extension = type === null ? 'pdf' : EXTENSIONS[type]
  const folder = settingsRead().pagesDir
  await pictureFileWrite(folder, { id: sourceId, extension, bytes })
  try {
    const facts = await reader.open(picturePath(folder, sourceId, extension))
    const brought = await write(context, 'desk.bring', { sourceId, name, figureId }, async (tx) => {
      const row = { extension, kind: facts.kind, pageCount: facts.pages, bytes: bytes.byteLength }
      await tx.pageSource.upsert({
        where: { id: sourceId },
        create: { id: sourceId, name, ...row, personId: context.personId, createdAt: context.now },
        // Brought again, it waits anew for its pages to be chosen.
        update: { createdAt: context.now },
      })
      const pages = facts.pages === 1 ? await draftsPlace(tx, context, sourceId, [1], figureId) : []
      return { sourceId, pages: facts.pages, draftId: pages[0] ?? null }
    })
    // A page of the same file that left the desk meanwhile may have taken it along; now a row holds it.
    await pictureFileWrite(folder, { id: sourceId, extension, bytes })
    return brought
  } catch (error) {
    const kept = await database().pageSource.findUnique({ where: { id: sourceId }, select: { id: true } })
    if (!kept) await pictureFileRemove(folder, sourceId, extension)
    throw refusalNamed(error, name)
  }
}

/** Puts chosen pages on the desk. Refuses with 'desk/no-such', 'desk/no-page' and 'desk/too-many'. */
export function draftsStart(context: WriteContext, input: PagesInput): Promise<{ draftIds: number[] }> {
  return write(context, 'desk.pages', input, async (tx) => {
    const source = await tx.pageSource.findUnique({ where: { id: input.sourceId } })
    if (!source) throw new Refusal('desk/no-such')
    const pages = [...new Set(input.pages)].filter((page) => page <= source.pageCount).sort((a, b) => a - b)
    if (pages.length === 0) throw new Refusal('desk/no-page', { name: source.name, pages: source.pageCount })
    if (pages.length > PAGES_AT_ONCE_MAX)
      throw new Refusal('desk/too-many', { count: pages.length, limit: PAGES_AT_ONCE_MAX })
    return { draftIds: await draftsPlace(tx, context, source.id, pages, input.figureId) }
  })
}

/** A page that lies on the desk already for the same purpose is not laid there twice. */
async function draftsPlace(
  tx: Tx,
  context: WriteContext,
  sourceId: string,
  pages: readonly number[],
  figureId: number | undefined,
): Promise<number[]> {
  const figure = figureId === undefined ? null : await figureView(tx, figureId)
  const ids: number[] = []
  for (const page of pages) {
    const there = await tx.pageDraft.findFirst({
      where: { sourceId, page, figureId: figureId ?? null, state: { in: ['waiting', 'reading', 'ready', 'failed'] } },
      orderBy: { id: 'desc' },
    })
    const at = { changedAt: context.now, beatAt: context.now }
    if (there?.state === 'failed') await tx.pageDraft.update({ where: { id: there.id }, data: { ...AGAIN, ...at } })
    const draft =
      there ??
      (await tx.pageDraft.create({
        data: {
          sourceId,
          page,
          personId: context.personId,
          createdAt: context.now,
          ...at,
          figureId: figureId ?? null,
          modelId: figure?.model.id ?? null,
        },
      }))
    ids.push(draft.id)
  }
  return ids
}

/** What a page on the desk is before it is read. */
const AGAIN = { state: 'waiting', progress: 0, step: '', failure: null, runner: null } as const

/** What is laid on the desk once a page is read: the figure it renews gives it head and units. */
export async function draftLaid(tx: Tx, draftId: number, reading: PageReading): Promise<DeskDraft> {
  const row = await tx.pageDraft.findUniqueOrThrow({ where: { id: draftId } })
  const keys = [...new Set(reading.rows.map((one) => partNumberKey(one.partNumber)))].filter((key) => key !== '')
  const known = new Map<string, KnownPart>()
  for (let at = 0; at < keys.length; at += 500)
    for (const part of await tx.part.findMany({
      where: { numberKey: { in: keys.slice(at, at + 500) } },
      select: { numberKey: true, unit: true, partClass: true },
    }))
      known.set(part.numberKey, { unit: part.unit as StockUnit, partClass: part.partClass as PartClass })
  const draft = deskStart(reading, await headOf(tx, row), (number) => known.get(partNumberKey(number)))
  return row.figureId === null ? draft : deskWithBookLines(draft, await bookLines(tx, row.figureId))
}

/** The lines of a figure as the desk shows them. */
export async function bookLines(tx: Tx, figureId: number): Promise<BookLine[]> {
  const { lines } = await figureView(tx, figureId)
  return lines.map((line) => ({
    item: line.item,
    partNumber: line.partNumber,
    description: line.description,
    quantity: line.quantity / quantityScale(line.unit),
    quantityNote: line.quantityNote ?? '',
    unit: line.unit,
    partClass: line.partClass,
  }))
}

async function headOf(tx: Tx, row: { figureId: number | null; modelId: number | null }): Promise<Partial<DeskHead>> {
  if (row.figureId === null) return {}
  const hand = row.modelId === null ? {} : { modelId: row.modelId }
  const figure = await figureView(tx, row.figureId, hand)
  const model = await tx.machineModel.findUniqueOrThrow({ where: { id: figure.model.id } })
  return {
    modelId: model.id,
    maker: model.maker,
    model: model.name,
    kind: model.kind,
    number: figure.number,
    title: figure.title,
    positions: deskPositionsText(figure.positions),
  }
}

/**
 * Keeps what a person has put right. `version` is the one that was loaded: when another window has saved since, this is
 * refused with 'desk/stale' and nothing is lost there. Refuses with 'desk/no-such' and 'desk/not-ready' too.
 */
export function draftSave(context: WriteContext, input: DraftSaveInput): Promise<{ version: number }> {
  const { draftId, version, draft } = input
  return write(context, 'desk.save', input, async (tx) => {
    const saved = await tx.pageDraft.updateMany({
      where: { id: draftId, version, state: 'ready' },
      data: { draft: JSON.stringify(draft), version: version + 1, changedAt: context.now },
    })
    if (saved.count === 0) await draftRefuse(tx, draftId, version)
    return { version: version + 1 }
  })
}

const STATE_WORDS: Record<DraftState, [state: string, why: string]> = {
  waiting: ['waiting to be read', 'it cannot be changed yet.'],
  reading: ['being read', 'it cannot be changed yet.'],
  ready: ['ready', 'it can be put right and published.'],
  failed: ['not read', 'read it again first.'],
  published: ['in the parts book', 'what was published is not changed from the desk; bring in a newer page instead.'],
  dropped: ['dropped', 'it was taken off the desk.'],
}

/** Says why a page cannot be saved or published in this state or version. */
export async function draftRefuse(tx: Tx, draftId: number, version: number): Promise<never> {
  const row = await tx.pageDraft.findUnique({ where: { id: draftId } })
  if (!row) throw new Refusal('desk/no-such')
  const [state, why] = STATE_WORDS[row.state as DraftState]
  if (row.state !== 'ready' || row.version === version) throw new Refusal('desk/not-ready', { state, why })
  throw new Refusal('desk/stale', {
    time: new Intl.DateTimeFormat('en-GB', { hour: '2-digit', minute: '2-digit' }).format(row.changedAt),
  })
}

/** Takes a page off the desk; its files are kept for a week, and so long it can be put back. */
export async function draftDrop(context: WriteContext, { draftId }: DraftInput): Promise<{ draftId: number }> {
  const done = await write(context, 'desk.drop', { draftId }, async (tx) => {
    const dropped = await tx.pageDraft.updateMany({
      where: { id: draftId, state: { in: ['waiting', 'reading', 'ready', 'failed'] } },
      data: { state: 'dropped', runner: null, changedAt: context.now },
    })
    if (dropped.count === 0) await draftRefuse(tx, draftId, -1)
    return { draftId }
  })
  await pageFilesSweepAfter(context.now)
  return done
}

/**
 * Puts a dropped page back as it was left; one that was never read waits for its reading again. Refuses with 'desk/file-gone'
 * when it was dropped so long ago that its files are gone.
 */
export function draftPutBack(
  context: WriteContext,
  { draftId }: DraftInput,
): Promise<{ draftId: number; read: boolean }> {
  return write(context, 'desk.put-back', { draftId }, async (tx) => {
    const row = await tx.pageDraft.findUnique({ where: { id: draftId }, include: { source: true } })
    if (row?.state !== 'dropped') return draftRefuse(tx, draftId, -1)
    const { pagesDir } = settingsRead()
    const files = row.draft ? [row.pictureId, row.viewId].flatMap((id) => (id === null ? [] : [[id, 'png']])) : []
    for (const [id, extension] of [[row.source.id, row.source.extension], ...files])
      if (!(await pictureFileThere(pagesDir, id!, extension!))) throw new Refusal('desk/file-gone')
    const at = { changedAt: context.now, beatAt: context.now }
    await tx.pageDraft.update({
      where: { id: draftId },
      data: row.draft ? { state: 'ready', ...at } : { ...AGAIN, ...at },
    })
    return { draftId, read: row.draft !== null }
  })
}

/** Lets a page that failed be read again. */
export function draftReadAgain(context: WriteContext, { draftId }: DraftInput): Promise<{ draftId: number }> {
  return write(context, 'desk.read-again', { draftId }, async (tx) => {
    const waiting = await tx.pageDraft.updateMany({
      where: { id: draftId, state: 'failed' },
      data: { ...AGAIN, changedAt: context.now, beatAt: context.now },
    })
    if (waiting.count === 0) await draftRefuse(tx, draftId, -1)
    return { draftId }
  })
}

/** Stops a reading; the page stays on the desk and can be read again. */
export function draftStop(context: WriteContext, { draftId }: DraftInput): Promise<{ draftId: number }> {
  return write(context, 'desk.stop', { draftId }, async (tx) => {
    const stopped = await tx.pageDraft.updateMany({
      where: { id: draftId, state: { in: ['waiting', 'reading'] } },
      data: { state: 'failed', failure: 'The reading was stopped by hand.', runner: null, changedAt: context.now },
    })
    if (stopped.count === 0) await draftRefuse(tx, draftId, -1)
    return { draftId }
  })
}
