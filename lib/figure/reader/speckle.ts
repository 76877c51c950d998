import type { GreyPage } from './schema.ts'

/** How much a pixel must stand out from its neighbours to be a speck, steps of grey. */
const OUT = 50
/** Share of specks from which a page counts as speckled; clean line drawings have some hairs, not this many. */
const SPECKLED = 0.0015

/**
 * The page without the dots and holes that dust, a poor copy or a poor sensor leaves. Only a page with many lone pixels is
 * touched: there each pixel that is darker than all eight neighbours, or brighter than two on opposite sides, is put back.
 */
export function pageDusted(page: GreyPage): GreyPage {
  const { width, height, data } = page
  const lone: number[] = []
  const around = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1]
  for (let y = 1; y < height - 1; y++)
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x
      const value = data[at]!
      // Nearly every pixel leaves at the first comparison.
      if (data[at - 1]! - value < OUT || data[at + 1]! - value < OUT) continue
      if (around.every((by) => data[at + by]! - value >= OUT)) lone.push(at)
    }
  if (lone.length < SPECKLED * data.length) return page
  const clean = Uint8Array.from(data)
  for (const at of lone) clean[at] = Math.max(data[at - 1]!, data[at + 1]!)
  for (let y = 1; y < height - 1; y++)
    for (let x = 1; x < width - 1; x++) {
      const at = y * width + x
      let value = clean[at]!
      for (const by of [1, width, width + 1, width - 1]) {
        const side = Math.max(clean[at - by]!, clean[at + by]!)
        if (data[at]! - side >= OUT) value = Math.min(value, side)
      }
      clean[at] = value
    }
  // A pair of specks is not lone; what is left of them falls to the size of blobs.
  return { width, height, data: clean }
}
