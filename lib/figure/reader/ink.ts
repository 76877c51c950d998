import type { GreyPage } from './schema.ts'

/** Ink of a page: 1 where a pixel is ink, 0 where it is paper; `data[y * width + x]`. */
export interface InkPage {
  width: number
  height: number
  data: Uint8Array
}

/** Ink is darker than the paper by this share of the darkest ink. */
const INK = 0.24
/** Of a blurred copy only the middle of each line is so dark: what runs into each other otherwise stands apart. */
export const LEAN = 0.45

/** Side of the tiles whose paper tone is taken, pixels. */
const TILE = 32

/**
 * What is ink. The tone of the paper is the bright end of each tile and its neighbours, so a shadow across a photo or a
 * grey sheet does not matter; ink is what is darker by more than the grain of the paper and a share of the darkest ink.
 */
export function inkOf(page: GreyPage, share = INK): InkPage {
  const { width, height, data } = page
  const columns = Math.ceil(width / TILE)
  const rows = Math.ceil(height / TILE)
  const tiles = tonesOf(page, columns, rows)
  const paper = spread(tiles.bright, columns, rows)
  const grain = middle(tiles.grain)
  const depth = Math.max(40, percentile(tiles.dark, 0.9))
  const margin = Math.max(share * depth, Math.min(4 * grain, 0.5 * depth), 14)
  const ink = new Uint8Array(data.length)
  for (let y = 0; y < height; y++) {
    const row = Math.floor(y / TILE) * columns
    for (let x = 0; x < width; x++)
      if (data[y * width + x]! < paper[row + Math.floor(x / TILE)]! - margin) ink[y * width + x] = 1
  }
  return { width, height, data: ink }
}

interface Tones {
  bright: Float32Array
  /** Depth of the darkest ink below the paper, for tiles that have ink. */
  dark: number[]
  /** Half of the spread of the paper's own tone. */
  grain: number[]
}

function tonesOf(page: GreyPage, columns: number, rows: number): Tones {
  const bright = new Float32Array(columns * rows)
  const dark: number[] = []
  const grain: number[] = []
  const counts = new Uint32Array(256)
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      counts.fill(0)
      let total = 0
      const bottom = Math.min(page.height, (row + 1) * TILE)
      const right = Math.min(page.width, (column + 1) * TILE)
      for (let y = row * TILE; y < bottom; y++)
        for (let x = column * TILE; x < right; x++) {
          counts[page.data[y * page.width + x]!]! += 1
          total += 1
        }
      const tone = (share: number): number => {
        let left = share * total
        for (let value = 0; value < 256; value++) {
          left -= counts[value]!
          if (left < 0) return value
        }
        return 255
      }
      const light = tone(0.75)
      bright[row * columns + column] = light
      grain.push(light - tone(0.3))
      if (light - tone(0.01) > 30) dark.push(light - tone(0.01))
    }
  return { bright, dark, grain }
}

/** A tile full of ink is no paper: each takes the bright end (third brightest of five by five) of its neighbourhood. */
function spread(bright: Float32Array, columns: number, rows: number): Float32Array {
  const paper = new Float32Array(bright.length)
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      const near: number[] = []
      for (let dy = -2; dy <= 2; dy++)
        for (let dx = -2; dx <= 2; dx++) {
          const y = Math.min(rows - 1, Math.max(0, row + dy))
          const x = Math.min(columns - 1, Math.max(0, column + dx))
          near.push(bright[y * columns + x]!)
        }
      paper[row * columns + column] = percentile(near, 0.6)
    }
  return paper
}

export function percentile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0
}

export function middle(values: readonly number[]): number {
  return percentile(values, 0.5)
}

/** True where the point (pixels, corner of the page at 0, 0) lies on ink. */
export function inkedAt(ink: InkPage, x: number, y: number): boolean {
  const column = Math.floor(x)
  const row = Math.floor(y)
  return column >= 0 && row >= 0 && column < ink.width && row < ink.height && ink.data[row * ink.width + column] === 1
}
