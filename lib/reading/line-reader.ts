import type { CropText, GreyPage, PageBox } from '../figure/reader/schema.ts'
import { type LineKind, type LineSession, lineSessionOpen } from './line-session.ts'
import { STRIP_HEIGHT, type Strip, stripOf } from './line-strip.ts'

/** Strips of one width are read together, as many as keep the net's own memory small. */
const PIXELS_TOGETHER = STRIP_HEIGHT * 1280

/** Reads lines of print. The net is opened with the first of them and kept. */
export class LineReader {
  private session: Promise<LineSession> | null = null

  /** Text of each box, in order. @throws Error when the net cannot be opened or fails. */
  async read(page: GreyPage, boxes: readonly PageBox[], kind: LineKind): Promise<CropText[]> {
    this.session ??= lineSessionOpen()
    this.session.catch(() => {
      this.session = null
    })
    const session = await this.session
    const texts: CropText[] = boxes.map(() => ({ text: '', confidence: 0 }))
    const strips = boxes.map((box) => stripOf(page, box))
    for (const batch of batchesOf(strips)) {
      const read = await session.read(
        batch.map((at) => strips[at]!),
        kind,
      )
      for (const [n, at] of batch.entries()) texts[at] = read[n]!
    }
    return texts
  }

  async close(): Promise<void> {
    const open = this.session
    this.session = null
    await (await open)?.close()
  }
}

/** Places of strips of one width, so many together as the net is given at once. */
function batchesOf(strips: readonly Strip[]): number[][] {
  const byWidth = new Map<number, number[]>()
  for (const [at, { width }] of strips.entries()) byWidth.set(width, [...(byWidth.get(width) ?? []), at])
  return [...byWidth].flatMap(([width, members]) => {
    const together = Math.max(1, Math.floor(PIXELS_TOGETHER / (STRIP_HEIGHT * width)))
    return Array.from({ length: Math.ceil(members.length / together) }, (_, n) =>
      members.slice(n * together, (n + 1) * together),
    )
  })
}
