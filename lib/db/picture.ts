import { readFile } from 'node:fs/promises'
import { TILED_FROM_PIXELS, type Tile } from '../geometry/tile.ts'
import type { PictureChecked } from '../picture/picture.ts'
import { pictureFileRead, pictureFileRemove, pictureFileWrite, picturePath } from '../picture/store.ts'
import { tileExists, tileFile } from '../picture/tiles.ts'
import { settingsRead } from '../settings.ts'
import { database, type Tx } from './client.ts'
import { inTransaction } from './transaction.ts'

/**
 * Keeps a checked picture: its row in the caller's transaction, its file in DATA_DIR/pictures. A transaction begins as a
 * writer, so the file is written while nobody else writes; when the transaction does not come through, call
 * `pictureForsake`. Writing it again (the transaction is tried again, the page is brought twice) changes nothing.
 */
export async function pictureStore(tx: Tx, now: Date, picture: PictureChecked): Promise<string> {
  const { id, mediaType, extension, width, height, bytes } = picture
  const row = { mediaType, extension, width: Math.round(width), height: Math.round(height), bytes: bytes.byteLength }
  await tx.picture.upsert({ where: { id }, create: { id, ...row, createdAt: now }, update: {} })
  await pictureFileWrite(settingsRead().picturesDir, picture)
  return id
}

/**
 * Removes the file of a picture that no row names, after a transaction that kept it has failed. Looks inside a transaction
 * of its own: another import of the same page either has its row by then, or writes the file again after this.
 */
export async function pictureForsake(picture: Pick<PictureChecked, 'id' | 'extension'>): Promise<void> {
  await inTransaction(async (tx) => {
    const kept = await tx.picture.findUnique({ where: { id: picture.id }, select: { id: true } })
    if (!kept) await pictureFileRemove(settingsRead().picturesDir, picture.id, picture.extension)
  })
}

export interface PictureFile {
  bytes: Buffer
  mediaType: string
  extension: string
}

/** A kept picture for showing; null when there is none of that name. */
export async function pictureFile(id: string): Promise<PictureFile | null> {
  if (!/^[0-9a-f]{64}$/.test(id)) return null
  const row = await database().picture.findUnique({ where: { id }, select: { mediaType: true, extension: true } })
  const bytes = row && (await pictureFileRead(settingsRead().picturesDir, id, row.extension))
  return row && bytes ? { ...row, bytes } : null
}

/** Cuts a large scan while it is brought in, so that nobody at the bench waits for it. A scan that is not cut now is cut when it is first shown. */
export async function pictureTilesCut(picture: Omit<PictureChecked, 'bytes'>): Promise<void> {
  const { id, extension, width, height } = picture
  if (extension === 'svg' || Math.max(width, height) <= TILED_FROM_PIXELS) return
  const { picturesDir, tilesDir } = settingsRead()
  await tileFile(tilesDir, id, picturePath(picturesDir, id, extension), { level: 0, x: 0, y: 0 })
}

/** A tile of a kept scan, WebP; null when there is no such picture or tile, or the picture is a drawing that needs none. */
export async function pictureTile(id: string, tile: Tile): Promise<Buffer | null> {
  if (!/^[0-9a-f]{64}$/.test(id)) return null
  const picture = await database().picture.findUnique({
    where: { id },
    select: { extension: true, width: true, height: true },
  })
  if (!picture || picture.extension === 'svg' || !tileExists(tile, picture)) return null
  const { picturesDir, tilesDir } = settingsRead()
  const file = await tileFile(tilesDir, id, picturePath(picturesDir, id, picture.extension), tile)
  return readFile(/*turbopackIgnore: true*/ file)
}
