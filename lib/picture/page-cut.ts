import { createHash } from 'node:crypto'
import type { PageBox } from '../figure/reader/schema.ts'

/** A page as a screen shows it: larger and a phone stands still while it decodes. */
export const VIEW_SIDE_MAX = 2600
/** A figure in the book: enough to read every number at full zoom, and well below what a picture may have. */
export const FIGURE_SIDE_MAX = 4800
const PAGE_MEGAPIXELS_MAX = 120
/** A page of line art is far below this as PNG; a photo of one is not, and is kept as JPEG. */
const PNG_MEGABYTES_MAX = 6

export interface PageCut {
  bytes: Buffer
  name: string
  mediaType: string
  width: number
  height: number
  /** Pixels of the cut for one pixel of the page. */
  scale: number
}

/** Cuts `box` (whole pixels; null for all) out of a page and makes it no larger than `sideMax`. */
export async function pageCut(page: Uint8Array, box: PageBox | null, sideMax: number): Promise<PageCut> {
  const { default: sharp } = await import('sharp')
  const options = { limitInputPixels: PAGE_MEGAPIXELS_MAX * 1e6, sequentialRead: box === null } as const
  const head = await sharp(page, options).metadata()
  const [left, top, right, bottom] = box ?? [0, 0, head.width, head.height]
  const scale = Math.min(1, sideMax / Math.max(right - left, bottom - top))
  const cut = () => {
    const image = sharp(page, options).flatten({ background: '#ffffff' })
    if (box) image.extract({ left, top, width: right - left, height: bottom - top })
    // Filled to the pixel, so that one scale serves both directions to within half a pixel.
    const [width, height] = [Math.round((right - left) * scale), Math.round((bottom - top) * scale)]
    return scale < 1 ? image.resize({ width, height, fit: 'fill' }) : image
  }
  const png = await cut().png({ compressionLevel: 7 }).toBuffer({ resolveWithObject: true })
  if (png.data.byteLength <= PNG_MEGABYTES_MAX * 1e6)
    return { bytes: png.data, name: 'page.png', mediaType: 'image/png', ...sizeOf(png.info), scale }
  const jpeg = await cut().jpeg({ quality: 88, chromaSubsampling: '4:4:4' }).toBuffer({ resolveWithObject: true })
  return { bytes: jpeg.data, name: 'page.jpg', mediaType: 'image/jpeg', ...sizeOf(jpeg.info), scale }
}

function sizeOf({ width, height }: { width: number; height: number }) {
  return { width, height }
}

/** Name under which a file of the desk is kept. */
export function pageDigest(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex')
}
