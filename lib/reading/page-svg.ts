import { svgClean } from '../picture/svg.ts'
import { Refusal } from '../refusal.ts'
import { complaint, type MadePage } from './page-made.ts'
import { rasterPage } from './page-raster.ts'

/** Sides between which a drawing is drawn for reading: its own units where they lie between these, else scaled. */
const SIDE_MIN = 1600
const SIDE_MAX = 3600

/**
 * A drawing, cleaned of whatever could run or load, drawn in pixels. Refuses as `svgClean` does, and with 'page/broken'.
 */
export async function svgPage(bytes: Uint8Array, file: string): Promise<MadePage> {
  const { text, width, height } = await svgClean(bytes)
  const longest = Math.max(width, height)
  const scale = longest < SIDE_MIN ? SIDE_MIN / longest : longest > SIDE_MAX ? SIDE_MAX / longest : 1
  const { default: sharp } = await import('sharp')
  try {
    const drawn = await sharp(Buffer.from(text), {
      density: Math.min(2400, Math.max(1, 72 * scale)),
      limitInputPixels: 40e6,
    })
      .resize({
        width: Math.max(1, Math.round(width * scale)),
        height: Math.max(1, Math.round(height * scale)),
        fit: 'fill',
      })
      .flatten({ background: '#ffffff' })
      .png({ compressionLevel: 3 })
      .toBuffer()
    return await rasterPage(drawn, file, 1)
  } catch (error) {
    throw new Refusal('page/broken', { file, where: 'the drawing', why: complaint(error) })
  }
}
