import sharp from 'sharp'
import type { PageReader } from '../../lib/db/page-reader.ts'
import type { PageReading } from '../../lib/figure/reader/schema.ts'
import { Refusal } from '../../lib/refusal.ts'
import { hubPage } from './hub-page.ts'

let made = 0

/** Bytes of a page that nobody has brought yet. */
export function aPage(size: { width: number; height: number } = { width: 1000, height: 1400 }): Promise<Buffer> {
  made += 1
  return sharp({ create: { ...size, channels: 3, background: { r: 255, g: 255, b: 255 - (made % 200) } } })
    .png()
    .toBuffer()
}

export interface FakeReader extends PageReader {
  /** Pages of every file it opens. */
  pages: number
  reading: PageReading
  /** Holds every reading until it is called. */
  hold: (() => void) | null
  fails: string | null
  reads: number
}

/** A reader that says what it is told to say, when it is told to. */
export function fakeReader(change: Partial<FakeReader> = {}): FakeReader {
  const reader: FakeReader = {
    pages: 1,
    reading: hubPage(),
    hold: null,
    fails: null,
    reads: 0,
    open: async () => ({ kind: reader.pages > 1 ? 'pdf' : 'raster', pages: reader.pages }),
    picture: () => aPage({ width: 36, height: 50 }),
    async read(_path, { signal, onProgress }) {
      reader.reads += 1
      onProgress(0.5, 'Reading the numbers')
      if (reader.fails !== null) throw new Error(reader.fails)
      const { hold } = reader
      if (hold !== null)
        await new Promise<void>((go, stop) => {
          reader.hold = go
          hold()
          signal.addEventListener('abort', () => stop(new Refusal('desk/file-gone')), { once: true })
        })
      const { width, height } = reader.reading
      return { reading: reader.reading, picture: await aPage({ width, height }) }
    },
    ...change,
  }
  return reader
}
