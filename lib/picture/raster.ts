import { Refusal } from '../refusal.ts'
import type { PictureType } from './picture-type.ts'

/** A fold-out sheet of 6,000 x 8,000, or A3 at 500 dpi; A3 at 300 dpi has 17 megapixels. A page reader needs no more. */
export const PICTURE_MEGAPIXELS_MAX = 50
const SECONDS_MAX = 60

export interface Raster {
  bytes: Uint8Array
  mediaType: string
  extension: string
  /** Pixels, after the orientation that the camera noted is applied. */
  width: number
  height: number
}

/** One line of the decoder's complaint, without the addresses and line breaks it likes to add. */
function why(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error)
  return text.replace(/\s+/g, ' ').trim().slice(0, 160) || 'the decoder gave up'
}

/**
 * Reads a raster picture to its end and writes it anew, so that what is kept holds pixels and nothing else: no EXIF (where
 * the photo was taken), no second page, nothing behind the end of the picture. TIFF becomes PNG, the others stay what they are.
 * Dimensions are read from the header before any pixel is decoded. Refuses with 'picture/too-large' and 'picture/broken'.
 */
export async function rasterCheck(bytes: Uint8Array, type: Exclude<PictureType, 'SVG'>): Promise<Raster> {
  const { default: sharp } = await import('sharp')
  const options = {
    failOn: 'error',
    limitInputPixels: PICTURE_MEGAPIXELS_MAX * 1e6,
    sequentialRead: true,
    page: 0,
    pages: 1,
  } as const
  let header: { width: number; height: number }
  try {
    // The header alone allocates nothing, so the limit can be ours and name the size.
    header = await sharp(bytes, { ...options, limitInputPixels: false }).metadata()
  } catch (error) {
    throw new Refusal('picture/broken', { why: why(error) })
  }
  const pixels = header.width * header.height
  if (pixels > PICTURE_MEGAPIXELS_MAX * 1e6)
    throw new Refusal('picture/too-large', {
      pixels: Math.ceil(pixels / 1e5) / 10,
      limit: PICTURE_MEGAPIXELS_MAX,
    })
  try {
    const upright = sharp(bytes, options).autoOrient().timeout({ seconds: SECONDS_MAX })
    const encoded =
      type === 'JPEG'
        ? upright.jpeg({ quality: 92, chromaSubsampling: '4:4:4' })
        : type === 'WebP'
          ? upright.webp({ quality: 92 })
          : upright.png({ compressionLevel: 7 })
    const { data, info } = await encoded.toBuffer({ resolveWithObject: true })
    const kept = type === 'JPEG' ? 'jpeg' : type === 'WebP' ? 'webp' : 'png'
    return {
      bytes: data,
      mediaType: `image/${kept}`,
      extension: kept === 'jpeg' ? 'jpg' : kept,
      width: info.width,
      height: info.height,
    }
  } catch (error) {
    throw new Refusal('picture/broken', { why: why(error) })
  }
}
