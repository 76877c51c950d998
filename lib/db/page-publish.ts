import { partNumberKey } from '../catalogue/part-number.ts'
import { DeskDraft } from '../figure/desk.ts'
import { type DeskChecked, deskCheck, deskFigureFile, deskKeep, deskLooks } from '../figure/desk-check.ts'
import type { DraftPublishInput } from '../figure/desk-schema.ts'
import { deskWithBookLines } from '../figure/desk-start.ts'
import type { FigureFileInput } from '../figure/schema.ts'
import { FIGURE_SIDE_MAX, pageCut } from '../picture/page-cut.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { type EditionChanges, editionChanges, editionPlace } from './figure-edition.ts'
import { type FigureReady, figurePlace, figurePrepare, placedOrForsaken } from './figure-import.ts'
import { bookLines, draftRefuse } from './page-desk.ts'
import { deskPicture } from './page-desk-read.ts'
import { pageFilesSweepAfter } from './page-files.ts'
import { type WriteContext, write } from './transaction.ts'

export interface DraftReview {
  checked: DeskChecked
  /** Things that a person has not looked at yet. */
  looks: number
  /** A figure that has this number in the book of this model already, when the page does not renew it. */
  there: { id: number; modelId: number; title: string } | null
  /** Part numbers of the page that the catalogue has, and how many it would make. */
  parts: { known: number; fresh: number }
  /** Set when the page renews a figure and nothing stands in the way. */
  changes: EditionChanges | null
}

/** What publishing would do, for a person to confirm. Writes nothing. Refuses with 'desk/no-such'. */
export async function draftReview(draftId: number): Promise<DraftReview> {
  const db = database() as unknown as Tx
  const row = await db.pageDraft.findUnique({ where: { id: draftId } })
  if (row?.draft == null) throw new Refusal('desk/no-such')
  const draft = await withModel(db, DeskDraft.parse(JSON.parse(row.draft)))
  const checked = deskCheck(draft)
  const { file } = checked
  const numbers = file?.lines.flatMap((line) => (line.partNumber ? [partNumberKey(line.partNumber)] : [])) ?? []
  const keys = [...new Set(numbers)]
  const makerKey = partNumberKey(draft.head.maker)
  let known = 0
  for (let at = 0; at < keys.length; at += 500)
    known += await db.part.count({ where: { makerKey, numberKey: { in: keys.slice(at, at + 500) } } })
  return {
    checked,
    looks: deskLooks(draft).length + draft.head.unsure.length,
    there: file && row.figureId === null ? await figureThere(db, file) : null,
    parts: { known, fresh: (file?.lines.length ?? 0) === 0 ? 0 : keys.length - known },
    changes: file && row.figureId !== null ? await editionChanges(db, row.figureId, file) : null,
  }
}

async function figureThere(db: Tx, file: { number: string; model: { maker: string; name: string } }) {
  const key = partNumberKey(`${file.model.maker}/${file.model.name}`)
  const of = await db.figureOfModel.findFirst({
    where: { numberKey: partNumberKey(file.number), model: { key } },
    include: { figure: { select: { title: true } } },
  })
  return of && { id: of.figureId, modelId: of.modelId, title: of.figure.title }
}

/** A model that was chosen from the list is spelled as the list spells it. */
async function withModel(db: Tx, draft: DeskDraft): Promise<DeskDraft> {
  if (draft.head.modelId === null) return draft
  const model = await db.machineModel.findUnique({ where: { id: draft.head.modelId } })
  if (!model) return draft
  return { ...draft, head: { ...draft.head, maker: model.maker, model: model.name, kind: model.kind } }
}

export interface DraftPublished {
  figureId: number
  modelId: number
  edition: number
  warnings: string[]
}

/**
 * Brings the page into the parts book, all of it or nothing: as a figure of its own through the figure import, or as the next
 * edition of the figure it renews. The page leaves the desk in the same transaction. Refusals in order of precedence:
 * 'desk/no-such', 'desk/not-ready', 'import/refused' (what the rows say), 'desk/file-gone', those of the picture, then
 * 'desk/stale', 'figure/exists', 'import/refused' (a part kept by another unit), 'figure/strip-cycle', 'catalogue/cycle'.
 */
export async function draftPublish(context: WriteContext, input: DraftPublishInput): Promise<DraftPublished> {
  const { draftId, version, supersede } = input
  const db = database() as unknown as Tx
  const row = await db.pageDraft.findUnique({ where: { id: draftId } })
  if (!row) throw new Refusal('desk/no-such')
  if (row.draft === null || row.pictureId === null)
    throw new Refusal('desk/not-ready', { state: 'not read', why: 'read it first.' })
  const content = { draftId, version, supersede }
  // Sent once more after it was published: its files are gone by then, and the first answer is given again.
  if (row.state !== 'ready')
    return write(context, 'desk.publish', content, (tx): Promise<DraftPublished> => draftRefuse(tx, draftId, version))
  const ready = await figureOf(await withModel(db, DeskDraft.parse(JSON.parse(row.draft))), row.pictureId)
  const done = await placedOrForsaken(ready.picture, () =>
    write(context, 'desk.publish', content, async (tx) => {
      const now = await tx.pageDraft.findUnique({ where: { id: draftId } })
      if (now?.state !== 'ready' || now.version !== version || now.draft !== row.draft)
        return draftRefuse(tx, draftId, version)
      const { figureId, modelId, edition, warnings } = await place(tx, context, ready, now, supersede)
      await tx.pageDraft.update({
        where: { id: draftId },
        data: { state: 'published', figureId, modelId, changedAt: context.now },
      })
      return { figureId, modelId, edition, warnings }
    }),
  )
  await pageFilesSweepAfter(context.now)
  return done
}

async function place(
  tx: Tx,
  context: WriteContext,
  ready: FigureReady,
  draft: { figureId: number | null; modelId: number | null },
  supersede: readonly number[],
): Promise<DraftPublished> {
  if (draft.figureId === null) {
    const { figureId, modelId, warnings } = await figurePlace(tx, context, ready)
    return { figureId, modelId, edition: 1, warnings }
  }
  const { figureId, edition } = await editionPlace(tx, context, ready, { figureId: draft.figureId, supersede })
  const of = await tx.figureOfModel.findFirstOrThrow({
    where: { figureId, ...(draft.modelId === null ? {} : { modelId: draft.modelId }) },
  })
  return { figureId, modelId: of.modelId, edition, warnings: ready.warnings }
}

/** File and picture of the figure, cut out of its page and no larger than a book needs. */
async function figureOf(draft: DeskDraft, pictureId: string): Promise<FigureReady> {
  const checked = deskCheck(draft)
  if (checked.file === null) {
    const items = new Map([...draft.rows, ...draft.callouts].map((one) => [one.id, `item ${one.item || '(none)'}, `]))
    const faults = checked.faults.map(({ id, words }) => `${id === null ? '' : (items.get(id) ?? '')}${words}`)
    throw new Refusal('import/refused', { count: faults.length, file: 'the page' }, { faults })
  }
  const whole = await deskPicture(pictureId)
  const cut = await pageCut(whole, deskKeep(draft), FIGURE_SIDE_MAX)
  const at = (point: { x: number; y: number }) => ({
    x: Math.min(cut.width, point.x * cut.scale),
    y: Math.min(cut.height, point.y * cut.scale),
  })
  const { file } = deskFigureFile(draft)
  const scaled: FigureFileInput = {
    ...file,
    picture: { file: cut.name, width: cut.width, height: cut.height },
    callouts: file.callouts.map(({ item, tips, ...number }) => ({ item, ...at(number), tips: tips.map(at) })),
  }
  return figurePrepare({ file: scaled, picture: cut, name: 'the page' })
}

/** Says that the page is a newer edition of a figure in the book, so that publishing renews it. */
export function draftRenews(
  context: WriteContext,
  input: { draftId: number; figureId: number },
): Promise<{ draftId: number }> {
  return write(context, 'desk.renews', input, async (tx) => {
    const of = await tx.figureOfModel.findFirst({ where: { figureId: input.figureId } })
    if (!of) throw new Refusal('figure/no-such')
    const row = await tx.pageDraft.findUnique({ where: { id: input.draftId } })
    if (row?.state !== 'ready' || row.draft === null) return draftRefuse(tx, input.draftId, -1)
    const draft = DeskDraft.parse(JSON.parse(row.draft))
    const laid = deskWithBookLines(draft, await bookLines(tx, of.figureId))
    await tx.pageDraft.update({
      where: { id: row.id },
      data: {
        figureId: of.figureId,
        modelId: of.modelId,
        changedAt: context.now,
        // Another window with the page open hears of the lines that were laid on it.
        ...(laid === draft ? {} : { draft: JSON.stringify(laid), version: row.version + 1 }),
      },
    })
    return { draftId: input.draftId }
  })
}
