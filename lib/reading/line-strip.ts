import type { GreyPage, PageBox } from '../figure/reader/schema.ts'

/** Height of the strip the net reads, pixels, and the widest strip it is given; longer lines are pressed together. */
export const STRIP_HEIGHT = 48
const WIDTH_MAX = 1280

/** A line of print as the net takes it. */
export interface Strip {
  width: number
  /** Where the crop itself begins and ends on the strip, as shares of its width. */
  from: number
  to: number
  data: Float32Array
}

/** The box with a little air, 48 pixels high, paper to its right up to a multiple of 32; values -1 (ink) to 1 (paper). */
export function stripOf(page: GreyPage, [left, top, right, bottom]: PageBox): Strip {
  const air = (bottom - top) * 0.12
  const scale = STRIP_HEIGHT / (bottom - top + 2 * air)
  const filled = Math.min(WIDTH_MAX, Math.max(8, Math.round((right - left + 2 * air) * scale)))
  const width = Math.max(64, Math.ceil(filled / 32) * 32)
  const data = new Float32Array(STRIP_HEIGHT * width).fill(1)
  const stepX = (right - left + 2 * air) / filled
  const parts = Math.max(1, Math.min(4, Math.round(1 / scale)))
  for (let row = 0; row < STRIP_HEIGHT; row++)
    for (let column = 0; column < filled; column++) {
      let sum = 0
      for (let part = 0; part < parts * parts; part++) {
        const x = left - air + (column + ((part % parts) + 0.5) / parts) * stepX - 0.5
        const y = top - air + (row + (Math.floor(part / parts) + 0.5) / parts) / scale - 0.5
        sum += between(page, x, y)
      }
      data[row * width + column] = sum / (parts * parts) / 127.5 - 1
    }
  // Air on the right has the tone of the paper, not a white edge that reads as a stroke.
  let paper = -1
  for (let at = 0; at < STRIP_HEIGHT; at++) paper = Math.max(paper, data[at * width + filled - 1]!)
  for (let row = 0; row < STRIP_HEIGHT; row++) data.fill(paper, row * width + filled, (row + 1) * width)
  const side = (air / (right - left + 2 * air)) * filled
  return { width, from: side / width, to: (filled - side) / width, data }
}

function between(page: GreyPage, x: number, y: number): number {
  const px = Math.min(Math.max(x, 0), page.width - 1)
  const py = Math.min(Math.max(y, 0), page.height - 1)
  const [column, row] = [Math.floor(px), Math.floor(py)]
  const at = row * page.width + column
  const right = column + 1 < page.width ? at + 1 : at
  const below = row + 1 < page.height ? page.width : 0
  const upper = page.data[at]! + (page.data[right]! - page.data[at]!) * (px - column)
  const lower = page.data[at + below]! + (page.data[right + below]! - page.data[at + below]!) * (px - column)
  return upper + (lower - upper) * (py - row)
}
