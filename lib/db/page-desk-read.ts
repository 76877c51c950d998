import { DeskDraft } from '../figure/desk.ts'
import { PageReading } from '../figure/reader/schema.ts'
import { pictureFileRead, picturePath } from '../picture/store.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { database } from './client.ts'
import type { PageReader } from './page-reader.ts'

export const DRAFT_STATES = ['waiting', 'reading', 'ready', 'failed', 'published', 'dropped'] as const
export type DraftState = (typeof DRAFT_STATES)[number]

export interface DraftRow {
  id: number
  name: string
  page: number
  pageCount: number
  state: DraftState
  progress: number
  step: string
  failure: string | null
  changedAt: Date
  person: string
  /** Words for what it is: the figure's number and title as far as they are known. */
  says: string
  figureId: number | null
  modelId: number | null
}

export interface DraftView extends DraftRow {
  sourceId: string
  version: number
  draft: DeskDraft | null
  /** Why the reader found no parts page; empty when it found one. */
  nothing: string
  /** Digest of the picture for the screen. */
  viewId: string | null
  /** The figure it renews, or became. */
  figure: { id: number; number: string; title: string; modelId: number; model: string; edition: number } | null
}

const WITH = { source: true, figure: { include: { models: { include: { model: true } } } } } as const

type Row = NonNullable<Awaited<ReturnType<typeof rowFind>>>
const rowFind = (id: number) => database().pageDraft.findUnique({ where: { id }, include: WITH })

function rowOf(row: Row, people: ReadonlyMap<string, string>): DraftRow {
  const head = row.draft === null ? null : (JSON.parse(row.draft) as DeskDraft).head
  const says = [head?.number, head?.title].filter((text) => text !== undefined && text.trim() !== '').join(' ')
  return {
    id: row.id,
    name: row.source.name,
    page: row.page,
    pageCount: row.source.pageCount,
    state: row.state as DraftState,
    progress: row.progress,
    step: row.step,
    failure: row.failure,
    changedAt: row.changedAt,
    person: people.get(row.personId) ?? '',
    says: says || (row.figure ? row.figure.title : ''),
    figureId: row.figureId,
    modelId: row.modelId,
  }
}

async function names(ids: readonly string[]): Promise<Map<string, string>> {
  const people = await database().person.findMany({
    where: { id: { in: [...new Set(ids)] } },
    select: { id: true, name: true },
  })
  return new Map(people.map((person) => [person.id, person.name]))
}

/** What lies on the desk, what was changed last first; published and dropped pages follow, the newest only. */
export async function draftsList(): Promise<{ open: DraftRow[]; done: DraftRow[] }> {
  const db = database()
  const ended = { in: ['published', 'dropped'] }
  const [open, done] = await Promise.all([
    db.pageDraft.findMany({
      where: { state: { not: ended } },
      include: WITH,
      orderBy: { changedAt: 'desc' },
      take: 200,
    }),
    db.pageDraft.findMany({ where: { state: ended }, include: WITH, orderBy: { changedAt: 'desc' }, take: 12 }),
  ])
  const people = await names([...open, ...done].map((row) => row.personId))
  return { open: open.map((row) => rowOf(row, people)), done: done.map((row) => rowOf(row, people)) }
}

/** One page on the desk. Refuses with 'desk/no-such'. */
export async function draftRead(draftId: number): Promise<DraftView> {
  const row = await rowFind(draftId)
  if (!row) throw new Refusal('desk/no-such')
  const of = row.figure?.models.find((one) => one.modelId === row.modelId) ?? row.figure?.models[0]
  const reading = row.reading === null ? null : PageReading.parse(JSON.parse(row.reading))
  return {
    ...rowOf(row, await names([row.personId])),
    sourceId: row.sourceId,
    version: row.version,
    draft: row.draft === null ? null : DeskDraft.parse(JSON.parse(row.draft)),
    nothing: reading?.kind === 'no-parts-page' ? reading.why || 'neither numbers nor a list' : '',
    viewId: row.viewId,
    figure:
      row.figure && of
        ? {
            id: row.figure.id,
            number: of.number,
            title: row.figure.title,
            modelId: of.modelId,
            model: `${of.model.maker} ${of.model.name}`,
            edition: row.figure.edition,
          }
        : null,
  }
}

export interface SourceView {
  id: string
  name: string
  kind: string
  pageCount: number
  /** Pages of it that lie on the desk or went into the book. */
  taken: { page: number; draftId: number; state: DraftState }[]
}

export async function sourceRead(sourceId: string): Promise<SourceView> {
  const source = await database().pageSource.findUnique({
    where: { id: sourceId },
    include: { drafts: { where: { state: { not: 'dropped' } }, orderBy: { id: 'asc' } } },
  })
  if (!source) throw new Refusal('desk/no-such')
  const taken = source.drafts.map(({ id, page, state }) => ({ page, draftId: id, state: state as DraftState }))
  return { id: source.id, name: source.name, kind: source.kind, pageCount: source.pageCount, taken }
}

/** A small picture of one page of a file, to choose by. Refuses with 'desk/no-such'. */
export async function sourceThumbnail(reader: PageReader, sourceId: string, page: number): Promise<Buffer> {
  const source = await database().pageSource.findUnique({ where: { id: sourceId } })
  if (!source || page < 1 || page > source.pageCount) throw new Refusal('desk/no-such')
  return reader.picture(picturePath(settingsRead().pagesDir, source.id, source.extension), page, 360)
}

/** A kept picture of the desk. Refuses with 'desk/file-gone'. */
export async function deskPicture(id: string, extension = 'png'): Promise<Buffer> {
  const bytes = /^[0-9a-f]{64}$/.test(id) ? await pictureFileRead(settingsRead().pagesDir, id, extension) : null
  if (!bytes) throw new Refusal('desk/file-gone')
  return bytes
}

export async function draftViewPicture(draftId: number): Promise<{ id: string; bytes: Buffer }> {
  const row = await database().pageDraft.findUnique({ where: { id: draftId }, select: { viewId: true } })
  if (!row) throw new Refusal('desk/no-such')
  return { id: row.viewId ?? '', bytes: await deskPicture(row.viewId ?? '') }
}
