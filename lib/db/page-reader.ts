import type { PageReading } from '../figure/reader/schema.ts'
import { isRefusal, Refusal } from '../refusal.ts'

/** Opens files and reads their pages; the desk asks nobody else. */
export interface PageReader {
  open(path: string): Promise<{ kind: string; pages: number }>
  /** PNG of one page, upright; `longestSide` in pixels. */
  picture(path: string, page: number, longestSide: number): Promise<Buffer>
  /** The reading and the upright picture that its coordinates are measured in. */
  read(
    path: string,
    options: { page: number; signal: AbortSignal; onProgress: (share: number, step: string) => void },
  ): Promise<{ reading: PageReading; picture: Buffer }>
}

/** What the reader refused, said of the file as the person knows it: on disk it is named by its digest. */
export function refusalNamed(error: unknown, name: string): unknown {
  if (!isRefusal(error) || error.details.file === undefined) return error
  return new Refusal(error.code, { ...error.details, file: name }, { faults: error.faults })
}
