import type { CropText, GreyPage, PageBox } from '../figure/reader/schema.ts'
import { type LineKind, type LineSession, lineSessionOpen } from './line-session.ts'
import { STRIP_HEIGHT, type Strip, stripOf } from './line-strip.ts'

/** Strips of one width are read together, as many as keep the net's own memory small. */
const PIXELS_TOGETHER = STRIP_HEIGHT * 1280
/** Lines that are remembered: more than a page of A3 has. */
const KNOWN_MOST = 2000

/** Reads lines of print. The net is opened with the first of them and kept. */
export class LineReader {
  private session: Promise<LineSession> | null = null
  /** Lists, title blocks and headings ask again for lines that were read: what a strip said, by what it looks like. */
  private readonly known = new Map<string, CropText>()

  /** Text of each box, in order. @throws Error when the net cannot be opened or fails. */
  async read(page: GreyPage, boxes: readonly PageBox[], kind: LineKind): Promise<CropText[]> {
    this.session ??= lineSessionOpen()
    this.session.catch(() => {
      this.session = null
    })
    const session = await this.session
    const strips = boxes.map((box) => stripOf(page, box))
    const names = strips.map((strip) => `${kind} ${nameOf(strip)}`)
    if (this.known.size > KNOWN_MOST) this.known.clear()
    const read = names.map((name) => this.known.get(name))
    const open = strips.flatMap((_, at) => (read[at] ? [] : [at]))
    for (const batch of batchesOf(open.map((at) => strips[at]!))) {
      const places = batch.map((n) => open[n]!)
      const texts = await session.read(
        places.map((at) => strips[at]!),
        kind,
      )
      for (const [n, at] of places.entries()) {
        read[at] = texts[n]!
        this.known.set(names[at]!, texts[n]!)
      }
    }
    return read.map((text) => text!)
  }

  async close(): Promise<void> {
    const open = this.session
    this.session = null
    await (await open)?.close()
  }
}

/** A name that two strips share only when they look alike: two sums over every bit (FNV-1a, Fowler, Noll and Vo). */
function nameOf({ width, from, to, data }: Strip): string {
  const bits = new Uint32Array(data.buffer, data.byteOffset, data.length)
  let [a, b] = [0x811c9dc5, 0x9e3779b9]
  for (let at = 0; at < bits.length; at++) {
    const word = bits[at]!
    a = Math.imul(a ^ word ^ (word >>> 15), 0x01000193)
    b = Math.imul(b ^ (word >>> 7) ^ word, 0x85ebca6b) + 1
    b ^= b >>> 13
  }
  return `${width} ${from} ${to} ${a >>> 0} ${b >>> 0}`
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
