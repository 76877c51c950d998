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
    for (let x = 0; x < width; x++) {
      const { at, share } = across[x]!
      rows[y * width + x] =
        page.data[from + at[0]]! * share[0] +
        page.data[from + at[1]]! * share[1] +
        page.data[from + at[2]]! * share[2] +
        page.data[from + at[3]]! * share[3]
    }
  }
  const data = new Uint8ClampedArray(width * height)
  for (const [y, { at, share }] of tapsOf(page.height, height).entries()) {
    const [a, b, c, d] = at.map((row) => row * width) as [number, number, number, number]
    for (let x = 0; x < width; x++)
      data[y * width + x] =
        rows[a + x]! * share[0] + rows[b + x]! * share[1] + rows[c + x]! * share[2] + rows[d + x]! * share[3]
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

/** For each pixel of the enlarged line the four nearest of the given one and their shares; its ends are repeated. */
function tapsOf(from: number, to: number): { at: Four; share: Four }[] {
  return Array.from({ length: to }, (_, index) => {
    const place = ((index + 0.5) * from) / to - 0.5
    const first = Math.floor(place) - 1
    const t = place - first - 1
    const within = (at: number) => Math.min(from - 1, Math.max(0, at))
    return {
      at: [within(first), within(first + 1), within(first + 2), within(first + 3)],
      share: [
        ((-t + 2) * t - 1) * t * 0.5,
        ((3 * t - 5) * t * t + 2) * 0.5,
        ((-3 * t + 4) * t + 1) * t * 0.5,
        (t - 1) * t * t * 0.5,
      ],
    }
  })
}
