import type { GreyPage, ReadCallout } from './schema.ts'

/** Tiles along the longer side, and the least side of one, pixels. */
const TILES = 48
const TILE_MIN = 16
/** Steps of grey within which a tile has the tone that paper has at its place. */
const ALIKE = 16
/** Rounds of the fit; the tone of a tile counts the less the further it lies from the plane of the round before. */
const ROUNDS = 12
const FALLOFF = 8
/** So much of a sheet has the tone of its paper, and so little is lighter than paper. */
const PAPER_LEAST = 0.75
const LIGHTER_MOST = 0.1

/**
 * Whether most of a picture is one sheet with something on it. Paper has one tone, which light and the fold of a book let rise
 * or fall across the page, and nothing on it is lighter; a photograph of things has many tones on both sides of its commonest.
 */
export function isPaper(page: GreyPage): boolean {
  const { tones, columns } = tileTones(page)
  const places = tones.map((tone, at) => ({ x: at % columns, y: Math.floor(at / columns), tone }))
  let plane = (_x: number, _y: number) => middleOf(tones)
  for (let round = 0; round < ROUNDS; round++) {
    const last = plane
    plane = planeThrough(places, ({ x, y, tone }) => 1 / (1 + ((tone - last(x, y)) / FALLOFF) ** 2))
  }
  const away = places.map(({ x, y, tone }) => tone - plane(x, y))
  const near = away.filter((by) => Math.abs(by) <= ALIKE).length
  const lighter = away.filter((by) => by > ALIKE).length
  return near >= PAPER_LEAST * tones.length && lighter <= LIGHTER_MOST * tones.length
}

/** Numbers without a list that are plainly a numbering: so many different ones, hardly one twice, most beside their neighbour. */
const NUMBERS_MIN = 6
const DIFFERENT = 0.8
const BESIDE = 0.6

/** Whether the items of a drawing count parts, as scraps of a photograph that look like digits do not. */
export function isNumbering(callouts: readonly Pick<ReadCallout, 'item'>[]): boolean {
  const items = [...new Set(callouts.map(({ item }) => item))]
  const numbers = new Set(items.map((item) => Number(/\d+/.exec(item)?.[0] ?? Number.NaN)))
  const beside = items.filter((item) => {
    const own = Number(/\d+/.exec(item)?.[0] ?? Number.NaN)
    return numbers.has(own + 1) || numbers.has(own - 1)
  })
  return (
    items.length >= NUMBERS_MIN && items.length >= DIFFERENT * callouts.length && beside.length >= BESIDE * items.length
  )
}

/** The lighter end of the tones of each tile, row by row: a tile of print still shows its paper there. */
function tileTones({ width, height, data }: GreyPage): { tones: number[]; columns: number } {
  const side = Math.max(TILE_MIN, Math.round(Math.max(width, height) / TILES))
  const columns = Math.ceil(width / side)
  const tones: number[] = []
  const counts = new Uint32Array(256)
  for (let top = 0; top < height; top += side)
    for (let left = 0; left < width; left += side) {
      counts.fill(0)
      const [right, bottom] = [Math.min(width, left + side), Math.min(height, top + side)]
      for (let y = top; y < bottom; y++) for (let x = left; x < right; x++) counts[data[y * width + x]!]! += 1
      let above = 0.25 * (right - left) * (bottom - top)
      let tone = 255
      while (tone > 0 && above >= counts[tone]!) above -= counts[tone--]!
      tones.push(tone)
    }
  return { tones, columns }
}

interface Tile {
  x: number
  y: number
  tone: number
}

/** The plane of least squares through tones, each with its weight. */
function planeThrough(tiles: readonly Tile[], weightOf: (tile: Tile) => number): (x: number, y: number) => number {
  const sums = { w: 0, x: 0, y: 0, t: 0 }
  const weights = tiles.map(weightOf)
  for (const [at, { x, y, tone }] of tiles.entries()) {
    const w = weights[at]!
    sums.w += w
    sums.x += w * x
    sums.y += w * y
    sums.t += w * tone
  }
  const mean = { x: sums.x / sums.w, y: sums.y / sums.w, t: sums.t / sums.w }
  let [xx, xy, yy, xt, yt] = [0, 0, 0, 0, 0]
  for (const [at, { x, y, tone }] of tiles.entries()) {
    const w = weights[at]!
    xx += w * (x - mean.x) ** 2
    xy += w * (x - mean.x) * (y - mean.y)
    yy += w * (y - mean.y) ** 2
    xt += w * (x - mean.x) * (tone - mean.t)
    yt += w * (y - mean.y) * (tone - mean.t)
  }
  // A picture of one row or column of tiles has no slope across it.
  const area = xx * yy - xy * xy
  const across = area > 1e-9 ? (xt * yy - yt * xy) / area : 0
  const down = area > 1e-9 ? (yt * xx - xt * xy) / area : 0
  return (x, y) => mean.t + across * (x - mean.x) + down * (y - mean.y)
}

function middleOf(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? 255
}
