import { createHash } from 'node:crypto'
import { Refusal } from '../refusal.ts'
import { pictureClaim, pictureFound, pictureLie, pictureSniff } from './picture-type.ts'
import { rasterCheck } from './raster.ts'
import { svgClean } from './svg.ts'

export const PICTURE_MEGABYTES_MAX = 60

/** A picture as somebody sent it. Name and media type are claims. */
export interface PictureSent {
  bytes: Uint8Array
  name: string
  mediaType?: string
}

/** A picture that may be kept and shown. */
export interface PictureChecked {
  /** SHA-256 of `bytes`, hexadecimal. */
  id: string
  bytes: Uint8Array
  mediaType: string
  extension: string
  /** Pixels; user units for SVG. */
  width: number
  height: number
  /** Kinds of SVG element that were left out though they may show something. */
  leftOut: string[]
}

/**
 * Reads what was sent to its end and answers the picture to keep: upright, without anything that is not picture.
 * Refusals in order of precedence: 'picture/broken' (empty), 'picture/too-heavy', 'picture/wrong-type',
 * 'picture/too-large', then 'picture/unsafe' and 'picture/broken' from reading it.
 */
export async function pictureCheck(sent: PictureSent): Promise<PictureChecked> {
  const { bytes, name, mediaType } = sent
  if (bytes.byteLength === 0) throw new Refusal('picture/broken', { why: 'the file is empty' })
  if (bytes.byteLength > PICTURE_MEGABYTES_MAX * 1e6)
    throw new Refusal('picture/too-heavy', {
      what: `${Math.ceil(bytes.byteLength / 1e6)} MB`,
      limit: `${PICTURE_MEGABYTES_MAX} MB`,
    })
  const type = pictureSniff(bytes)
  const claimed = type === null ? pictureClaim(name, mediaType) : pictureLie(type, name, mediaType)
  if (type === null || claimed !== null)
    throw new Refusal('picture/wrong-type', { claimed: claimed ?? 'a picture', found: pictureFound(bytes) })
  if (type !== 'SVG') return identified({ ...(await rasterCheck(bytes, type)), leftOut: [] })
  const { text, ...drawing } = await svgClean(bytes)
  return identified({ ...drawing, bytes: Buffer.from(text), mediaType: 'image/svg+xml', extension: 'svg' })
}

function identified(picture: Omit<PictureChecked, 'id'>): PictureChecked {
  return { id: createHash('sha256').update(picture.bytes).digest('hex'), ...picture }
}
