import type { InkPage } from './ink.ts'
import type { GreyPage } from './schema.ts'

/** A pixel lies deep in a solid when all this far around it is ink, pixels. */
const DEEP = 6
/** A line on a solid is darker than the solid on both its sides by this, steps of grey. */
const DARKER = 8
const BESIDE = 5

/**
 * Ink as a leader line sees it: a shaded or coloured part is dark all over, and the line that ends on it is darker still. Deep in
 * such solids only what is darker than both its sides stays ink.
 */
export function linesOnSolids(page: GreyPage, ink: InkPage): InkPage {
  const { width, height } = ink
  const sums = new Int32Array((width + 1) * (height + 1))
  for (let y = 0; y < height; y++) {
    let row = 0
    for (let x = 0; x < width; x++) {
      row += ink.data[y * width + x]!
      sums[(y + 1) * (width + 1) + x + 1] = sums[y * (width + 1) + x + 1]! + row
    }
  }
  const whole = (2 * DEEP + 1) ** 2
  const data = Uint8Array.from(ink.data)
  const pairs = [BESIDE, BESIDE * width, BESIDE * (width + 1), BESIDE * (width - 1)]
  for (let y = DEEP; y < height - DEEP; y++)
    for (let x = DEEP; x < width - DEEP; x++) {
      const at = y * width + x
      if (data[at] === 0) continue
      const [low, high] = [(y - DEEP) * (width + 1), (y + DEEP + 1) * (width + 1)]
      const inked =
        sums[high + x + DEEP + 1]! - sums[low + x + DEEP + 1]! - sums[high + x - DEEP]! + sums[low + x - DEEP]!
      if (inked < whole) continue
      const value = page.data[at]!
      if (!pairs.some((by) => Math.min(page.data[at - by]!, page.data[at + by]!) - value >= DARKER)) data[at] = 0
    }
  return { width, height, data }
}
