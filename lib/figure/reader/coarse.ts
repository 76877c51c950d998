import { READING_SIDE } from './scale.ts'
import type { GreyPage, TextRun } from './schema.ts'

/**
 * A page whose longer side has fewer pixels is coarse: A4 at 100 to the inch has 1,169. Its print is seven pixels tall, as tall
 * as what is taken for a speck elsewhere, and a hairline is fainter than the grain of the paper.
 */
const COARSE_SIDE = 1500
const ENLARGED_MOST = 2.2

/** By how much a page is enlarged before anything on it is looked for; 1 for a page that is fine enough. */
export function coarseScale({ width, height }: { width: number; height: number }): number {
  const longest = Math.max(width, height)
  return longest >= COARSE_SIDE ? 1 : Math.min(ENLARGED_MOST, READING_SIDE / longest)
}

/**
 * The page enlarged through its pixels by cubic pieces (Keys 1981), first along rows and then down the columns: edges stay as
 * steep as they are, where a straight line between two pixels would flatten them.
 */
export function pageEnlarged(page: GreyPage, scale: number): GreyPage {
  if (scale === 1) return page
  const width = Math.round(page.width * scale)
  const height = Math.round(page.height * scale)
  const across = tapsOf(page.width, width)
  const rows = new Float32Array(width * page.height)
  for (let y = 0; y < page.height; y++) {
    const from = y * page.width
    for (let x = 0, tap = 0; x < width; x++, tap += 4)
      rows[y * width + x] =
        page.data[from + across.at[tap]!]! * across.share[tap]! +
        page.data[from + across.at[tap + 1]!]! * across.share[tap + 1]! +
        page.data[from + across.at[tap + 2]!]! * across.share[tap + 2]! +
        page.data[from + across.at[tap + 3]!]! * across.share[tap + 3]!
  }
  const data = new Uint8ClampedArray(width * height)
  const down = tapsOf(page.height, height)
  for (let y = 0, tap = 0; y < height; y++, tap += 4) {
    const [a, b, c, d] = [0, 1, 2, 3].map((one) => down.at[tap + one]! * width) as Four
    const [p, q, r, s] = [0, 1, 2, 3].map((one) => down.share[tap + one]!) as Four
    for (let x = 0, to = y * width; x < width; x++, to++)
      data[to] = rows[a + x]! * p + rows[b + x]! * q + rows[c + x]! * r + rows[d + x]! * s
  }
  return { width, height, data: new Uint8Array(data.buffer) }
}

export function runsEnlarged(runs: readonly TextRun[], scale: number): readonly TextRun[] {
  if (scale === 1) return runs
  return runs.map(({ text, box: [left, top, right, bottom] }) => ({
    text,
    box: [left * scale, top * scale, right * scale, bottom * scale],
  }))
}

type Four = [number, number, number, number]

/** For each pixel of the enlarged line the four nearest of the given one and their shares, four after four; its ends are repeated. */
function tapsOf(from: number, to: number): { at: Int32Array; share: Float64Array } {
  const taps = { at: new Int32Array(4 * to), share: new Float64Array(4 * to) }
  for (let index = 0; index < to; index++) {
    const place = ((index + 0.5) * from) / to - 0.5
    const first = Math.floor(place) - 1
    const t = place - first - 1
    for (let one = 0; one < 4; one++) taps.at[4 * index + one] = Math.min(from - 1, Math.max(0, first + one))
    taps.share[4 * index] = ((-t + 2) * t - 1) * t * 0.5
    taps.share[4 * index + 1] = ((3 * t - 5) * t * t + 2) * 0.5
    taps.share[4 * index + 2] = ((-3 * t + 4) * t + 1) * t * 0.5
    taps.share[4 * index + 3] = (t - 1) * t * t * 0.5
  }
  return taps
}
