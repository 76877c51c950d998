import type { TextLine } from './page-text.ts'
import type { GreyPage, PageBox } from './schema.ts'
import { marksOf } from './table-print.ts'

/** Height of the letters on the sheet, pixels: with the air a reader of lines adds it is the height its net works at. */
const TALL = 39
const PITCH = 64
const AIR = 6
/**
 * Lines are set narrower than printed where their letters are wide: the time to read a line goes by its width. The net looks
 * at eight pixels at a time and must see each letter twice, so letters keep so many pixels from one to the next.
 */
const LETTER_PITCH = 21
const NARROWED_MOST = 0.72

/**
 * Lines of a table copied one below the other at one height, dark on light whatever they were, so that they are read in the
 * least time and all alike. The boxes are those of the lines on the sheet, in order.
 */
export function lineSheet(page: GreyPage, lines: readonly TextLine[]): { page: GreyPage; boxes: PageBox[] } {
  const wide = lines.map(({ box }) => {
    const natural = ((box[2] - box[0]) / (box[3] - box[1])) * TALL
    return Math.max(8, Math.round(natural * narrowing(natural, marksOf(page, box).length)))
  })
  const width = Math.max(0, ...wide) + 2 * AIR
  const height = lines.length * PITCH
  const data = new Uint8Array(width * height).fill(255)
  const boxes = lines.map(({ box: [left, top, right, bottom], inverse }, at): PageBox => {
    const place: PageBox = [AIR, at * PITCH + (PITCH - TALL) / 2, AIR + wide[at]!, at * PITCH + (PITCH + TALL) / 2]
    const stepX = (right - left) / wide[at]!
    const stepY = (bottom - top) / TALL
    const air = { x: AIR, y: Math.floor((PITCH - TALL) / 2) - 1 }
    for (let y = -air.y; y < TALL + air.y; y++)
      for (let x = -air.x; x < wide[at]! + air.x; x++) {
        // Beyond its own air a line might show the rule or the line above it.
        const fromX = clamp(left + (x + 0.5) * stepX - 0.5, left - 2, right + 1)
        const fromY = clamp(top + (y + 0.5) * stepY - 0.5, top - 2, bottom + 1)
        const value = sampled(page, fromX, fromY, stepX, stepY)
        data[(Math.floor(place[1]) + y) * width + AIR + x] = inverse ? 255 - value : value
      }
    return place
  })
  return { page: { width, height, data }, boxes }
}

function narrowing(wide: number, marks: number): number {
  return wide < 3 * TALL ? 1 : clamp((LETTER_PITCH * marks) / wide, NARROWED_MOST, 1)
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value))
}

/** Mean of the pixels under one pixel of the sheet where the page is finer, between its neighbours where it is coarser. */
function sampled(page: GreyPage, x: number, y: number, stepX: number, stepY: number): number {
  const across = Math.max(1, Math.round(stepX))
  const down = Math.max(1, Math.round(stepY))
  let sum = 0
  for (let row = 0; row < down; row++)
    for (let column = 0; column < across; column++)
      sum += between(page, x + ((column + 0.5) / across - 0.5) * stepX, y + ((row + 0.5) / down - 0.5) * stepY)
  return sum / (across * down)
}

function between({ width, height, data }: GreyPage, x: number, y: number): number {
  const px = clamp(x, 0, width - 1.001)
  const py = clamp(y, 0, height - 1.001)
  const [column, row] = [Math.floor(px), Math.floor(py)]
  const at = row * width + column
  const upper = data[at]! + (data[at + 1]! - data[at]!) * (px - column)
  const lower = data[at + width]! + (data[at + width + 1]! - data[at + width]!) * (px - column)
  return upper + (lower - upper) * (py - row)
}
