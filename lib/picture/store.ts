import { mkdir, open, readFile, rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { must } from '../must.ts'

/** Where a picture lies: its name is the SHA-256 of its bytes, so the same page brought twice is kept once. */
export function picturePath(folder: string, id: string, extension: string): string {
  must(/^[0-9a-f]{64}$/.test(id) && /^[a-z]{3,4}$/.test(extension), 'a picture is named by its digest')
  return join(/*turbopackIgnore: true*/ folder, `${id}.${extension}`)
}

async function onDisk(path: string): Promise<void> {
  const handle = await open(/*turbopackIgnore: true*/ path, 'r')
  try {
    await handle.sync()
  } finally {
    await handle.close()
  }
}

/**
 * Writes the bytes so that the name never stands for half a picture: into a file beside, to the disk, then renamed.
 * Writing what is there already changes nothing.
 */
export async function pictureFileWrite(
  folder: string,
  picture: { id: string; extension: string; bytes: Uint8Array },
): Promise<void> {
  const path = picturePath(folder, picture.id, picture.extension)
  const there = await stat(/*turbopackIgnore: true*/ path).catch(() => null)
  if (there?.size === picture.bytes.byteLength) return
  await mkdir(/*turbopackIgnore: true*/ folder, { recursive: true })
  const beside = `${path}.${process.pid}.part`
  try {
    const handle = await open(/*turbopackIgnore: true*/ beside, 'w')
    try {
      await handle.writeFile(picture.bytes)
      await handle.sync()
    } finally {
      await handle.close()
    }
    await rename(/*turbopackIgnore: true*/ beside, path)
    await onDisk(folder)
  } catch (error) {
    await rm(/*turbopackIgnore: true*/ beside, { force: true })
    throw error
  }
}

export async function pictureFileRemove(folder: string, id: string, extension: string): Promise<void> {
  await rm(/*turbopackIgnore: true*/ picturePath(folder, id, extension), { force: true })
}

export function pictureFileThere(folder: string, id: string, extension: string): Promise<boolean> {
  return stat(/*turbopackIgnore: true*/ picturePath(folder, id, extension)).then(
    (facts) => facts.isFile(),
    () => false,
  )
}

/** The bytes, or null when the file is gone. */
export function pictureFileRead(folder: string, id: string, extension: string): Promise<Buffer | null> {
  return readFile(/*turbopackIgnore: true*/ picturePath(folder, id, extension)).catch((error: unknown) => {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null
    throw error
  })
}
