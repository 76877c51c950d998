import { mkdir, rename, rm, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { TILE_OVERLAP, TILE_PIXELS, type Tile, tileGrid, tileLevels } from '../geometry/tile.ts'
import type { Size } from '../geometry/view.ts'
import { must } from '../must.ts'
import { PICTURE_MEGAPIXELS_MAX } from './raster.ts'

/** One picture is cut at a time: cutting holds two cores and a strip of the scan. */
let cutting: Promise<unknown> = Promise.resolve()

/** True when the picture has this tile. */
export function tileExists(tile: Tile, picture: Size): boolean {
  const level = tileLevels(picture)[tile.level]
  if (!level || !Number.isInteger(tile.x) || !Number.isInteger(tile.y)) return false
  const { across, down } = tileGrid(level)
  return tile.x >= 0 && tile.y >= 0 && tile.x < across && tile.y < down
}

/**
 * The file of a tile below `folder` (a cache: what is lost is cut again). Cuts the whole scan when nobody has yet, into a folder
 * beside that takes its name only when it is complete. `picture` is the file that is kept, `id` its digest.
 */
export async function tileFile(folder: string, id: string, picture: string, tile: Tile): Promise<string> {
  must(/^[0-9a-f]{64}$/.test(id), 'a picture is named by its digest')
  const cut = join(/*turbopackIgnore: true*/ folder, id)
  if (!(await there(cut))) {
    const turn = cutting.then(async () => {
      if (!(await there(cut))) await cutTiles(cut, picture)
    })
    cutting = turn.catch(() => undefined)
    await turn
  }
  return join(/*turbopackIgnore: true*/ cut, String(tile.level), `${tile.x}_${tile.y}.webp`)
}

function there(path: string): Promise<boolean> {
  return stat(/*turbopackIgnore: true*/ path).then(
    () => true,
    () => false,
  )
}

async function cutTiles(cut: string, picture: string): Promise<void> {
  const { default: sharp } = await import('sharp')
  const beside = `${cut}.${process.pid}.part`
  await rm(/*turbopackIgnore: true*/ beside, { recursive: true, force: true })
  await mkdir(/*turbopackIgnore: true*/ beside, { recursive: true })
  try {
    await sharp(picture, { limitInputPixels: PICTURE_MEGAPIXELS_MAX * 1e6, sequentialRead: true })
      .flatten({ background: '#fff' })
      .webp({ quality: 86, effort: 2 })
      .tile({ size: TILE_PIXELS, overlap: TILE_OVERLAP, depth: 'onetile', layout: 'dz' })
      .toFile(join(/*turbopackIgnore: true*/ beside, 'scan.dz'))
    await rename(/*turbopackIgnore: true*/ join(beside, 'scan_files'), cut).catch(async (error: unknown) => {
      // Another process of this workshop was quicker: its tiles are the same.
      if (!(await there(cut))) throw error
    })
  } finally {
    await rm(/*turbopackIgnore: true*/ beside, { recursive: true, force: true })
  }
}
