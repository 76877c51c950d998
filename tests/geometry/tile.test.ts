import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { TILE_PIXELS, tileBox, tileGrid, tileLevels, tilesFor } from '../../lib/geometry/tile.ts'
import { viewClamp, viewFit, viewToPage } from '../../lib/geometry/view.ts'

fc.configureGlobal({ seed: 20260105 })

const scan = fc.record({ width: fc.integer({ min: 300, max: 9000 }), height: fc.integer({ min: 300, max: 9000 }) })
const glass = fc.record({ width: fc.integer({ min: 300, max: 1400 }), height: fc.integer({ min: 300, max: 1000 }) })
const share = fc.double({ min: 0, max: 1, noNaN: true })

describe('a large scan in tiles', () => {
  test('6,000 x 8,000 has four sizes, the smallest in one tile', () => {
    expect(tileLevels({ width: 6000, height: 8000 })).toEqual([
      { width: 750, height: 1000 },
      { width: 1500, height: 2000 },
      { width: 3000, height: 4000 },
      { width: 6000, height: 8000 },
    ])
    expect(tileGrid({ width: 6000, height: 8000 })).toEqual({ across: 6, down: 8 })
    expect(tileLevels({ width: TILE_PIXELS, height: 9 })).toHaveLength(1)
  })

  test('the tiles of a level cover it from edge to edge, each a pixel over its neighbours', () => {
    fc.assert(
      fc.property(scan, (picture) => {
        for (const level of tileLevels(picture)) {
          const { across, down } = tileGrid(level)
          expect(tileBox({ level: 0, x: 0, y: 0 }, level)).toMatchObject({ left: 0, top: 0 })
          const last = tileBox({ level: 0, x: across - 1, y: down - 1 }, level)
          expect(last.left + last.width).toBeCloseTo(1, 9)
          expect(last.top + last.height).toBeCloseTo(1, 9)
          if (across > 1) {
            const [one, two] = [tileBox({ level: 0, x: 0, y: 0 }, level), tileBox({ level: 0, x: 1, y: 0 }, level)]
            expect((one.left + one.width - two.left) * level.width).toBeCloseTo(2, 6)
          }
        }
      }),
    )
  })

  test('whatever of the scan is in the window lies on a tile of one level, sharp enough for the screen', () => {
    let tiled = 0
    fc.assert(
      fc.property(
        scan,
        glass,
        share,
        share,
        fc.double({ min: 1, max: 12, noNaN: true }),
        (picture, window, u, v, times) => {
          const fit = viewFit(picture, window)
          const scale = fit.scale * times
          const wish = { scale, left: -u * picture.width * scale, top: -v * picture.height * scale }
          const view = viewClamp(wish, picture, window)
          const tiles = tilesFor(view, picture, window, picture, 2, 0)
          const levels = tileLevels(picture)
          if (tiles.length === 0) {
            expect(levels[0]!.width).toBeGreaterThanOrEqual(
              Math.min(picture.width, picture.width * view.scale * 1.6) - 1,
            )
            return
          }
          tiled += 1
          expect(new Set(tiles.map((tile) => tile.level)).size).toBe(1)
          const at = tiles[0]!.level
          const level = levels[at]!
          const needed = picture.width * view.scale * 2 * 0.8
          if (at < levels.length - 1) expect(level.width).toBeGreaterThanOrEqual(needed)
          expect(levels[at - 1]!.width).toBeLessThan(needed)
          for (const corner of [
            { x: 1, y: 1 },
            { x: window.width - 1, y: window.height - 1 },
            { x: window.width / 2, y: window.height / 2 },
          ]) {
            const spot = viewToPage(view, corner)
            const [x, y] = [spot.x / picture.width, spot.y / picture.height]
            if (x <= 0 || y <= 0 || x >= 1 || y >= 1) continue
            const covered = tiles.some((tile) => {
              const box = tileBox(tile, level)
              return x >= box.left && x <= box.left + box.width && y >= box.top && y <= box.top + box.height
            })
            expect(covered).toBe(true)
          }
          // A phone must not be asked to hold the whole scan: a window's worth of pixels, and the tiles it cuts into.
          const grid = tileGrid(level)
          expect(tiles.length).toBeLessThanOrEqual(grid.across * grid.down)
          const side = (room: number) => Math.ceil((room * 2) / 0.4 / TILE_PIXELS) + 1
          if (at < levels.length - 1) expect(tiles.length).toBeLessThanOrEqual(side(window.width) * side(window.height))
        },
      ),
    )
    expect(tiled).toBeGreaterThan(20)
  })
})
