import sharp from 'sharp'
import { type Random, randomInteger } from '../../lib/maths/random.ts'
import { type Box, type Drawn, svgOf } from './svg-ink.ts'

/** Where on a drawn page nothing stands yet. */
export interface FreeSpace {
  /** An empty box of the wished size inside the field, or null; it is taken at once. */
  take: (width: number, height: number, field: Box) => Box | null
}

const STEP = 4

export async function freeSpaceOf(drawn: Pick<Drawn, 'width' | 'height' | 'ink'>, random: Random): Promise<FreeSpace> {
  const { data, info } = await sharp(svgOf(drawn, 1 / STEP))
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true })
  const used = Uint8Array.from({ length: info.width * info.height }, (_, at) =>
    data[at * info.channels]! < 250 ? 1 : 0,
  )
  const empty = (box: Box): boolean => {
    for (let y = Math.floor(box.top / STEP); y <= Math.ceil(box.bottom / STEP); y++)
      for (let x = Math.floor(box.left / STEP); x <= Math.ceil(box.right / STEP); x++)
        if (used[y * info.width + x] !== 0) return false
    return true
  }
  return {
    take: (width, height, field) => {
      for (let tries = 0; tries < 300; tries++) {
        if (field.right - field.left <= width || field.bottom - field.top <= height) return null
        const left = randomInteger(random, Math.ceil(field.left), Math.floor(field.right - width))
        const top = randomInteger(random, Math.ceil(field.top), Math.floor(field.bottom - height))
        const box = { left, top, right: left + width, bottom: top + height }
        if (!empty(box)) continue
        for (let y = Math.floor(box.top / STEP); y <= Math.ceil(box.bottom / STEP); y++)
          used.fill(1, y * info.width + Math.floor(box.left / STEP), y * info.width + Math.ceil(box.right / STEP))
        return box
      }
      return null
    },
  }
}
