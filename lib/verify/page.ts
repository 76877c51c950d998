import { createHash } from 'node:crypto'
import { pictureFileRead } from '../picture/store.ts'

/** A page on the desk and the files it needs; each is named by the digest of its bytes. */
export interface PageDraftFiles {
  says: string
  files: readonly { what: string; id: string; extension: string }[]
}

/** Files of pages on the desk that are missing from the folder or whose bytes are not those of their name. */
export async function pageFileFaults(folder: string, drafts: readonly PageDraftFiles[]): Promise<string[]> {
  const faults: string[] = []
  for (const { says, files } of drafts)
    for (const { what, id, extension } of files) {
      if (!/^[0-9a-f]{64}$/.test(id) || !/^[a-z]{3,4}$/.test(extension)) {
        faults.push(`${says}: ${what}, ${id}.${extension}, has no proper name`)
        continue
      }
      const found = await pictureFileRead(folder, id, extension)
      if (!found) faults.push(`${says}: ${what}, ${id}.${extension}, is missing`)
      else if (createHash('sha256').update(found).digest('hex') !== id)
        faults.push(`${says}: ${what}, ${id}.${extension}, was changed: its bytes do not fit its name`)
    }
  return faults
}
