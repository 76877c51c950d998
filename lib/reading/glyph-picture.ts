import type { GreyPage, PageBox } from '../figure/reader/schema.ts'

/** Side of the picture the glyph net looks at, pixels; the glyph's longer side fills `GLYPH_INK` of them. */
export const GLYPH_SIDE = 24
const GLYPH_INK = 20

/** Ink of one printed sign, 0 (paper) to 1 (ink), `GLYPH_SIDE` square, centred and scaled with its proportions kept. */
export function glyphPicture(page: GreyPage, box: PageBox): Float32Array {
  const [left, top, right, bottom] = box
  const step = Math.max(right - left, bottom - top) / GLYPH_INK
  const originX = (left + right) / 2 - (step * GLYPH_SIDE) / 2
  const originY = (top + bottom) / 2 - (step * GLYPH_SIDE) / 2
  const picture = new Float32Array(GLYPH_SIDE * GLYPH_SIDE)
  const parts = step > 1.5 ? 3 : 2
  let darkest = 255
  let lightest = 0
  for (let row = 0; row < GLYPH_SIDE; row++)
    for (let column = 0; column < GLYPH_SIDE; column++) {
      let sum = 0
      for (let a = 0; a < parts; a++)
        for (let b = 0; b < parts; b++) {
          const x = originX + (column + (b + 0.5) / parts) * step
          const y = originY + (row + (a + 0.5) / parts) * step
          // What lies beside the box belongs to a neighbour: it counts as paper.
          const beside = x < left - 1 || x > right + 1 || y < top - 1 || y > bottom + 1
          sum += beside ? -1 : greyAt(page, x, y)
        }
      const value = sum < 0 ? -1 : sum / (parts * parts)
      picture[row * GLYPH_SIDE + column] = value
      if (value >= 0) {
        darkest = Math.min(darkest, value)
        lightest = Math.max(lightest, value)
      }
    }
  const span = Math.max(lightest - darkest, 24)
  for (let at = 0; at < picture.length; at++)
    picture[at] = picture[at]! < 0 ? 0 : Math.min(1, Math.max(0, (lightest - picture[at]!) / span))
  return picture
}

/** Grey between the four nearest pixels; the page's edge is repeated beyond it. Pixel centres lie at halves. */
function greyAt(page: GreyPage, x: number, y: number): number {
  const px = Math.min(Math.max(x - 0.5, 0), page.width - 1.001)
  const py = Math.min(Math.max(y - 0.5, 0), page.height - 1.001)
  const column = Math.floor(px)
  const row = Math.floor(py)
  const at = row * page.width + column
  const right = column + 1 < page.width ? 1 : 0
  const below = row + 1 < page.height ? page.width : 0
  const fx = px - column
  const fy = py - row
  const upper = page.data[at]! * (1 - fx) + page.data[at + right]! * fx
  const lower = page.data[at + below]! * (1 - fx) + page.data[at + below + right]! * fx
  return upper * (1 - fy) + lower * fy
}
