import { createHash } from 'node:crypto'
import { pictureFileRead } from '../picture/store.ts'

export interface PictureRow {
  id: string
  extension: string
  bytes: number
}

/** Pictures (or documents, as `what` says) that are missing from the folder or whose bytes are not those of their name. */
export async function pictureFaults(
  folder: string,
  rows: readonly PictureRow[],
  what: 'picture' | 'document' = 'picture',
): Promise<string[]> {
  const faults: string[] = []
  for (const { id, extension, bytes } of rows) {
    if (!/^[0-9a-f]{64}$/.test(id) || !/^[a-z]{3,4}$/.test(extension)) {
      faults.push(`${what} ${id}.${extension} has no proper name`)
      continue
    }
    const found = await pictureFileRead(folder, id, extension)
    if (!found) faults.push(`${what} ${id}.${extension} is missing`)
    else if (createHash('sha256').update(found).digest('hex') !== id)
      faults.push(`${what} ${id}.${extension} was changed: its bytes do not fit its name`)
    else if (found.byteLength !== bytes)
      faults.push(`${what} ${id}.${extension} has ${found.byteLength} bytes, its row says ${bytes}`)
  }
  return faults
}
