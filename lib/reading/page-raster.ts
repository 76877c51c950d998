import { Refusal } from '../refusal.ts'
import { complaint, type MadePage, PAGE_MEGAPIXELS_MAX, READ_SIDE_MAX, sizeWithin } from './page-made.ts'

const SECONDS_MAX = 50

async function decoder() {
  const { default: sharp } = await import('sharp')
  // A page is decoded once: a store of past ones would only hold memory.
  sharp.cache(false)
  return sharp
}

/** Number of pages of a scan: a TIFF has as many as its directories, any other picture one. */
export async function rasterPages(bytes: Uint8Array, file: string): Promise<number> {
  const sharp = await decoder()
  try {
    const { pages, format } = await sharp(bytes, { limitInputPixels: false }).metadata()
    return format === 'tiff' ? (pages ?? 1) : 1
  } catch (error) {
    throw new Refusal('page/broken', { file, where: 'its head', why: complaint(error) })
  }
}

/**
 * One page of a scan or photo: upright as the camera noted it, transparent parts white. The size is read from the head
 * before any pixel is decoded. Refuses with 'page/too-large' and 'page/broken'.
 */
export async function rasterPage(bytes: Uint8Array, file: string, page: number): Promise<MadePage> {
  const sharp = await decoder()
  const options = {
    failOn: 'error',
    limitInputPixels: PAGE_MEGAPIXELS_MAX * 1e6,
    sequentialRead: true,
    page: page - 1,
    pages: 1,
  } as const
  const where = `page ${page}`
  let size: { width: number; height: number }
  try {
    const { autoOrient, width, height } = await sharp(bytes, { ...options, limitInputPixels: false }).metadata()
    size = { width: autoOrient?.width ?? width, height: autoOrient?.height ?? height }
  } catch (error) {
    throw new Refusal('page/broken', { file, where, why: complaint(error) })
  }
  const pixels = size.width * size.height
  if (pixels > PAGE_MEGAPIXELS_MAX * 1e6)
    throw new Refusal('page/too-large', {
      file,
      page,
      pixels: Math.ceil(pixels / 1e5) / 10,
      limit: PAGE_MEGAPIXELS_MAX,
    })
  const upright = () =>
    sharp(bytes, options).autoOrient().flatten({ background: '#ffffff' }).timeout({ seconds: SECONDS_MAX })
  const within = sizeWithin(size.width, size.height, READ_SIDE_MAX)
  try {
    const { data, info } = await upright()
      .resize({ ...within, fit: 'fill' })
      .toColourspace('b-w')
      .raw({ depth: 'uchar' })
      .toBuffer({ resolveWithObject: true })
    const grey = { width: info.width, height: info.height, data: firstChannel(data, info.channels) }
    return {
      ...size,
      grey,
      runs: [],
      picture: async (longestSide) => {
        const shown = upright()
        if (longestSide !== null)
          shown.resize({ ...sizeWithin(size.width, size.height, longestSide), fit: 'fill', kernel: 'lanczos3' })
        return shown.toColourspace('srgb').png({ compressionLevel: 6 }).toBuffer()
      },
    }
  } catch (error) {
    throw new Refusal('page/broken', { file, where, why: complaint(error) })
  }
}

function firstChannel(data: Buffer, channels: number): Uint8Array {
  if (channels === 1) return new Uint8Array(data.buffer, data.byteOffset, data.byteLength)
  const grey = new Uint8Array(data.byteLength / channels)
  for (let at = 0; at < grey.length; at++) grey[at] = data[at * channels]!
  return grey
}
