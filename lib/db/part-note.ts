import type { NoteInput } from '../catalogue/schema.ts'
import { type DocumentChecked, documentCheck, documentIsPdf } from '../picture/document.ts'
import { type PictureChecked, type PictureSent, pictureCheck } from '../picture/picture.ts'
import { pictureFileRead, pictureFileRemove, pictureFileWrite } from '../picture/store.ts'
import { Refusal } from '../refusal.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { partKnown, personNames } from './part-typed.ts'
import { pictureForsake, pictureStore } from './picture.ts'
import { inTransaction, type WriteContext, write } from './transaction.ts'

export interface NoteView {
  id: number
  kind: 'note' | 'picture' | 'document'
  text: string
  picture: { id: string; width: number; height: number } | null
  document: { id: string; fileName: string; bytes: number } | null
  by: string
  at: Date
  removed: { by: string; at: Date } | null
}

export function noteAdd(context: WriteContext, input: NoteInput): Promise<{ noteId: number }> {
  return write(context, 'catalogue.note', input, (tx) => notePlace(tx, context, { ...input, kind: 'note' }))
}

async function notePlace(
  tx: Tx,
  context: WriteContext,
  note: { partId: number; kind: string; text: string; pictureId?: string; documentId?: string; fileName?: string },
): Promise<{ noteId: number }> {
  await partKnown(tx, note.partId)
  const row = await tx.partNote.create({ data: { ...note, personId: context.personId, at: context.now } })
  return { noteId: row.id }
}

/** Keeps a picture or a document with a part; which of the two it is, its content says. Refusals: those of either check. */
export async function noteFileAdd(
  context: WriteContext,
  input: NoteInput & { sent: PictureSent },
): Promise<{ noteId: number }> {
  const { sent, ...note } = input
  if (documentIsPdf(sent.bytes)) return documentAdd(context, note, documentCheck(sent))
  const picture = await pictureCheck(sent)
  try {
    return await write(context, 'catalogue.note-picture', { ...note, picture: picture.id }, async (tx) =>
      notePlace(tx, context, { ...note, kind: 'picture', pictureId: await pictureStore(tx, context.now, picture) }),
    )
  } catch (error) {
    await pictureForsake(picture as PictureChecked).catch(() => undefined)
    throw error
  }
}

async function documentAdd(
  context: WriteContext,
  note: NoteInput,
  document: DocumentChecked,
): Promise<{ noteId: number }> {
  const { id, mediaType, extension, bytes, fileName } = document
  try {
    return await write(context, 'catalogue.note-document', { ...note, document: id }, async (tx) => {
      const row = { mediaType, extension, bytes: bytes.byteLength, createdAt: context.now }
      await tx.document.upsert({ where: { id }, create: { id, ...row }, update: {} })
      await pictureFileWrite(settingsRead().documentsDir, document)
      return notePlace(tx, context, { ...note, kind: 'document', documentId: id, fileName })
    })
  } catch (error) {
    // As with pictures: a file that no row names is taken away, looked at while nobody else writes.
    await inTransaction(async (tx) => {
      const kept = await tx.document.findUnique({ where: { id }, select: { id: true } })
      if (!kept) await pictureFileRemove(settingsRead().documentsDir, id, extension)
    }).catch(() => undefined)
    throw error
  }
}

/** Takes a note, picture or document off the card. It stays in the history with who and when; the file is kept. */
export function noteRemove(context: WriteContext, input: { noteId: number }): Promise<null> {
  return write(context, 'catalogue.note-remove', input, async (tx) => {
    const { count } = await tx.partNote.updateMany({
      where: { id: input.noteId, removedAt: null },
      data: { removedAt: context.now, removedById: context.personId },
    })
    if (count === 0) throw new Refusal('catalogue/no-such')
    return null
  })
}

/** The notes of a part, newest first; those taken off come last. */
export async function notesOf(partId: number): Promise<NoteView[]> {
  const db = database() as unknown as Tx
  const rows = await db.partNote.findMany({
    where: { partId },
    include: { picture: true, document: true },
    orderBy: { id: 'desc' },
    take: 500,
  })
  const names = await personNames(
    db,
    rows.flatMap((row) => [row.personId, row.removedById]),
  )
  const views = rows.map(
    (row): NoteView => ({
      id: row.id,
      kind: row.kind as NoteView['kind'],
      text: row.text,
      picture: row.picture && { id: row.picture.id, width: row.picture.width, height: row.picture.height },
      document: row.document && {
        id: row.document.id,
        fileName: row.fileName ?? 'document.pdf',
        bytes: row.document.bytes,
      },
      by: names(row.personId),
      at: row.at,
      removed: row.removedAt && { by: names(row.removedById), at: row.removedAt },
    }),
  )
  return [...views.filter((view) => !view.removed), ...views.filter((view) => view.removed)]
}

/** A document of a note, for handing out; null when there is none. */
export async function documentOfNote(noteId: number): Promise<{ bytes: Buffer; fileName: string } | null> {
  const note = await database().partNote.findUnique({ where: { id: noteId }, include: { document: true } })
  if (!note?.document) return null
  const bytes = await pictureFileRead(settingsRead().documentsDir, note.document.id, note.document.extension)
  return bytes && { bytes, fileName: note.fileName ?? 'document.pdf' }
}
