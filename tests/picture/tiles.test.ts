import { existsSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { TILE_PIXELS, tileBox, tileGrid, tileLevels } from '../../lib/geometry/tile.ts'
import { tileExists, tileFile } from '../../lib/picture/tiles.ts'

const folder = mkdtempSync(join(tmpdir(), 'tiles-'))
const id = 'ab'.repeat(32)
const scan = { width: 2601, height: 1900 }
const picture = join(folder, 'scan.png')

beforeAll(async () => {
  // A black square across the corner where four tiles meet.
  const square = await sharp({ create: { width: 40, height: 40, channels: 3, background: '#000' } })
    .png()
    .toBuffer()
  await sharp({ create: { ...scan, channels: 3, background: '#fff' } })
    .composite([{ input: square, left: TILE_PIXELS - 20, top: TILE_PIXELS - 20 }])
    .png()
    .toFile(picture)
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('cutting a scan', () => {
  test('makes every tile of every size, as large as its place on the sheet says, once', async () => {
    const cache = join(folder, 'cache')
    const file = await tileFile(cache, id, picture, { level: 0, x: 0, y: 0 })
    const cutAt = statSync(file).mtimeMs
    const levels = tileLevels(scan)
    for (const [at, level] of levels.entries()) {
      const { across, down } = tileGrid(level)
      expect(readdirSync(join(cache, id, String(at)))).toHaveLength(across * down)
      for (const tile of [
        { level: at, x: 0, y: 0 },
        { level: at, x: across - 1, y: down - 1 },
      ]) {
        const made = await sharp(await tileFile(cache, id, picture, tile)).metadata()
        const box = tileBox(tile, level)
        expect([made.width, made.height]).toEqual([
          Math.round(box.width * level.width),
          Math.round(box.height * level.height),
        ])
      }
    }
    expect(statSync(file).mtimeMs).toBe(cutAt)
    expect(readdirSync(cache)).toEqual([id])
  })

  test('keeps what is drawn where tiles meet in both of them', async () => {
    const cache = join(folder, 'cache')
    const last = tileLevels(scan).length - 1
    const corner = async (x: number, y: number, left: number, top: number) => {
      const file = await tileFile(cache, id, picture, { level: last, x, y })
      const { data } = await sharp(file).extract({ left, top, width: 8, height: 8 }).greyscale().raw().toBuffer({
        resolveWithObject: true,
      })
      return Math.max(...data)
    }
    expect(await corner(0, 0, TILE_PIXELS - 10, TILE_PIXELS - 10)).toBeLessThan(60)
    expect(await corner(1, 1, 2, 2)).toBeLessThan(60)
    expect(await corner(1, 1, 200, 200)).toBeGreaterThan(200)
  })

  test('two who look at the same time have it cut once, and a cut that fails leaves nothing behind', async () => {
    const cache = join(folder, 'two')
    const both = await Promise.all([1, 2].map(() => tileFile(cache, id, picture, { level: 0, x: 0, y: 0 })))
    expect(both.every((file) => existsSync(file))).toBe(true)
    expect(readdirSync(cache)).toEqual([id])
    const none = join(folder, 'none')
    await expect(tileFile(none, id, join(folder, 'gone.png'), { level: 0, x: 0, y: 0 })).rejects.toThrow()
    expect(readdirSync(none)).toEqual([])
  })

  test('a tile that the scan does not have is not asked for', () => {
    expect(tileExists({ level: 0, x: 0, y: 0 }, scan)).toBe(true)
    expect(tileExists({ level: 2, x: 2, y: 1 }, scan)).toBe(true)
    for (const tile of [
      { level: 3, x: 0, y: 0 },
      { level: 2, x: 3, y: 0 },
      { level: 2, x: 0, y: 2 },
      { level: -1, x: 0, y: 0 },
      { level: 1, x: 0.5, y: 0 },
    ])
      expect(tileExists(tile, scan)).toBe(false)
  })
})
