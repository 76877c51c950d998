import { type Blobs, blobsOf } from './blobs.ts'
import type { InkPage } from './ink.ts'

/** A level run of ink from so many pixels on is a line and not the bar of a small figure, pixels at the scale of reading. */
const LEVEL_MIN = 14
/** The end of a leader under a number is little longer than the number; rules of tables and frames are longer. */
const LEVEL_MAX = 90
/** More rows than this one below the other are no line but a solid. */
const THICK_MAX = 7

/**
 * Pieces of ink with level lines apart from what stands on them. On a small or blurred copy a number runs into the level end of
 * its leader line (ISO 128-22, reference line) and would be one piece with the whole of it.
 */
export function blobsOffShelves(ink: InkPage): Blobs {
  const { width, height } = ink
  const level = levelLines(ink)
  const rest = Uint8Array.from(ink.data)
  for (let at = 0; at < level.length; at++) if (level[at] === 1) rest[at] = 0
  const blobs = blobsOf({ width, height, data: rest })
  const lines = blobsOf({ width, height, data: level })
  const first = blobs.list.length
  for (let at = 0; at < level.length; at++) if (level[at] === 1) blobs.labels[at] = first + lines.labels[at]!
  return { list: [...blobs.list, ...lines.list], labels: blobs.labels }
}

/** Ink of thin level lines. */
function levelLines({ width, height, data }: InkPage): Uint8Array {
  const level = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      if (data[y * width + x] === 0) continue
      const from = x
      while (x < width && data[y * width + x] === 1) x += 1
      if (x - from >= LEVEL_MIN && x - from <= LEVEL_MAX) level.fill(1, y * width + from, y * width + x)
    }
  // Down the page row by row, in the order in which the pixels lie; one row more closes what reaches the last.
  const rows = new Int32Array(width)
  for (let y = 0; y <= height; y++)
    for (let x = 0; x < width; x++) {
      if (y < height && level[y * width + x] === 1) {
        rows[x]! += 1
        continue
      }
      if (rows[x]! > THICK_MAX) for (let row = y - rows[x]!; row < y; row++) level[row * width + x] = 0
      rows[x] = 0
    }
  return level
}
