import { createHash } from 'node:crypto'
import { Refusal } from '../refusal.ts'
import { type PictureChecked, type PictureSent, pictureCheck } from './picture.ts'
import { pictureFound, pictureSniff } from './picture-type.ts'

/** Enough to read a number stamped on a casting, and a tenth of what a telephone sends. Common practice, no source. */
export const PHOTO_LONG_EDGE_PIXELS = 1600
export const PHOTO_MEGABYTES_MAX = 25

/**
 * A photo from the bench: upright, its long edge at most 1600 pixels, pixels and nothing else - where and when it was taken
 * is dropped with all other EXIF. Always JPEG: a PNG of a telephone is a photo as well, and five times as heavy.
 * Refusals: 'picture/too-heavy', 'photo/wrong-type' (a drawing or a scan is kept with the part, not here), then those of `pictureCheck`.
 */
export async function photoCheck(sent: PictureSent): Promise<PictureChecked> {
  const megabytes = Math.ceil(sent.bytes.byteLength / 1e6)
  if (sent.bytes.byteLength > PHOTO_MEGABYTES_MAX * 1e6)
    throw new Refusal('picture/too-heavy', { what: `${megabytes} MB`, limit: `${PHOTO_MEGABYTES_MAX} MB` })
  const type = pictureSniff(sent.bytes)
  if (sent.bytes.byteLength > 0 && (type === 'SVG' || type === 'TIFF' || type === null))
    throw new Refusal('photo/wrong-type', { name: sent.name, found: pictureFound(sent.bytes) })
  const whole = await pictureCheck(sent)
  const { default: sharp } = await import('sharp')
  const { data, info } = await sharp(whole.bytes)
    .resize({
      width: PHOTO_LONG_EDGE_PIXELS,
      height: PHOTO_LONG_EDGE_PIXELS,
      fit: 'inside',
      withoutEnlargement: true,
    })
    // A see-through PNG would turn black.
    .flatten({ background: '#ffffff' })
    .jpeg({ quality: 82 })
    .toBuffer({ resolveWithObject: true })
  return {
    id: createHash('sha256').update(data).digest('hex'),
    bytes: data,
    mediaType: 'image/jpeg',
    extension: 'jpg',
    width: info.width,
    height: info.height,
    leftOut: [],
  }
}
