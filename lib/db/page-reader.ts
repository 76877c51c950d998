import type { PageReading } from '../figure/reader/schema.ts'

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
