import { resolve } from 'node:path'
import type { PageReading } from '../figure/reader/schema.ts'
import { lanes } from './lanes.ts'

export interface PageReadFileOptions {
  /** Counted from 1; the first when not said. */
  page?: number
  /** Aborting ends the reading process; the promise is refused with 'page/cancelled'. */
  signal?: AbortSignal
  /** Share of the work done, 0 to 1, and what is being done. */
  onProgress?: (share: number, step: string) => void
  /** False leaves the picture out (an empty buffer comes back). */
  picture?: boolean
}

/**
 * Starts the reading process and makes it ready, some two seconds of work: asked when a person begins to bring in pages, so
 * that the first is read as quickly as the next. Answers whether there was anything to do.
 */
export function pageReaderWarm(): Promise<boolean> {
  return lanes().read.run({ kind: 'warm' })
}

/**
 * Reads one page of a file in the reading process. Coordinates are pixels of `picture`, the upright page as given. At most
 * 60 seconds. Refuses as `pagePicture`, and with 'page/too-long', 'page/reader-died' and 'page/cancelled'.
 */
export async function pageReadFile(
  path: string,
  { page = 1, signal, onProgress, picture = true }: PageReadFileOptions = {},
): Promise<{ reading: PageReading; picture: Buffer }> {
  const task = { kind: 'read', path: resolve(path), page, picture } as const
  const read = await lanes().read.run(task, { signal, onStep: onProgress })
  return { reading: read.reading, picture: Buffer.from(read.picture) }
}
