import type { GreyPage, TextRun } from '../figure/reader/schema.ts'
import { PICTURE_MEGAPIXELS_MAX } from '../picture/raster.ts'

/** Longest side, in pixels, at which a page is read: A3 at 200 dpi is 3307. More adds time, not digits. */
export const READ_SIDE_MAX = 3600
/** Pixels that are decoded at all, in millions: a page that is read is a picture that is kept. */
export const PAGE_MEGAPIXELS_MAX = PICTURE_MEGAPIXELS_MAX

/** A page made ready: its size as given (upright), the grey picture that is read, and its picture for people. */
export interface MadePage {
  /** Pixels of the upright page as given; a PDF page has those of its rendering. */
  width: number
  height: number
  grey: GreyPage
  /** In pixels of `grey`. */
  runs: TextRun[]
  /** PNG of the upright page on white, its longest side at most `longestSide` pixels (as given when null). */
  picture: (longestSide: number | null) => Promise<Uint8Array>
}

/** One line of a decoder's complaint, without the line breaks it likes to add. */
export function complaint(error: unknown): string {
  const text = error instanceof Error ? error.message : String(error)
  return (
    text
      .replace(/[\s\p{Cc}]+/gu, ' ')
      .trim()
      .slice(0, 160) || 'the decoder gave up'
  )
}

/** Width and height scaled so that the longest side is at most `side`; never enlarged. */
export function sizeWithin(width: number, height: number, side: number): { width: number; height: number } {
  const scale = Math.min(1, side / Math.max(width, height))
  return { width: Math.max(1, Math.round(width * scale)), height: Math.max(1, Math.round(height * scale)) }
}
