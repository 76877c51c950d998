import type { Size, View } from './view.ts'

/**
 * A large scan is cut into tiles at several sizes, each half as large as the next, so that a phone holds only what it shows. Level 0
 * is one tile; the last level is the scan itself, pixel for pixel. Tiles carry one pixel of their neighbours on inner sides, so
 * that no seam shows between them.
 */
export const TILE_PIXELS = 1024
export const TILE_OVERLAP = 1
/** Pictures up to this length of side are shown as they are. */
export const TILED_FROM_PIXELS = 2048

export interface Tile {
  level: number
  x: number
  y: number
}

/** Pixels of each level, smallest first. Example: 6,000 x 8,000 has the levels 750 x 1,000, 1,500 x 2,000, 3,000 x 4,000 and itself. */
export function tileLevels(picture: Size): Size[] {
  const levels = [{ width: picture.width, height: picture.height }]
  for (let { width, height } = picture; Math.max(width, height) > TILE_PIXELS; ) {
    width = Math.ceil(width / 2)
    height = Math.ceil(height / 2)
    levels.unshift({ width, height })
  }
  return levels
}

/** How many tiles a level has across and down. */
export function tileGrid(level: Size): { across: number; down: number } {
  return { across: Math.ceil(level.width / TILE_PIXELS), down: Math.ceil(level.height / TILE_PIXELS) }
}

/** Where a tile lies on the picture, as shares of its width and height, its overlap included. */
export function tileBox(tile: Tile, level: Size): { left: number; top: number; width: number; height: number } {
  const from = (at: number) => Math.max(0, at * TILE_PIXELS - TILE_OVERLAP)
  const to = (at: number, length: number) => Math.min(length, (at + 1) * TILE_PIXELS + TILE_OVERLAP)
  return {
    left: from(tile.x) / level.width,
    top: from(tile.y) / level.height,
    width: (to(tile.x, level.width) - from(tile.x)) / level.width,
    height: (to(tile.y, level.height) - from(tile.y)) / level.height,
  }
}

/**
 * The tiles that a view needs: of the smallest level that has a picture pixel for nearly every pixel of the screen (four in five:
 * nobody sees the rest, and the next level costs four times the memory). None when level 0 is enough.
 * `density` is device pixels for one CSS pixel, `margin` CSS pixels fetched beyond the window.
 */
export function tilesFor(view: View, page: Size, window: Size, picture: Size, density: number, margin: number): Tile[] {
  const levels = tileLevels(picture)
  const wanted = page.width * view.scale * density * 0.8
  const found = levels.findIndex((level) => level.width >= wanted)
  const at = found === -1 ? levels.length - 1 : found
  const level = levels[at]!
  if (at === 0) return []
  const across = (page.width * view.scale) / level.width
  const down = (page.height * view.scale) / level.height
  const range = (offset: number, room: number, pixel: number, count: number) => {
    const first = Math.max(0, Math.floor((-offset - margin) / pixel / TILE_PIXELS))
    const last = Math.min(count - 1, Math.floor((room + margin - offset) / pixel / TILE_PIXELS))
    return Array.from({ length: Math.max(0, last - first + 1) }, (_, step) => first + step)
  }
  const grid = tileGrid(level)
  const columns = range(view.left, window.width, across, grid.across)
  return range(view.top, window.height, down, grid.down).flatMap((y) => columns.map((x) => ({ level: at, x, y })))
}
