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

/** A speck of two by two pixels fits into a window of so many pixels to each side of its middle. */
const REACH = 1
/** So far around that window lies paper only: the full stop of 1.1 and the dot of an i have their letters within. */
const FREE = 8
/** Paper is lighter than the speck by so many steps of grey. */
const LIGHTER = 70
/** Specks a million pixels from which a page counts as a soiled copy; a clean drawing has a few dots of its own. */
const SOILED = 15

/**
 * The page without the specks of a soiled copy: small marks with paper all round them. Dots at the ends of leader lines hang
 * on the line, dots of print stand by their letters. A page with hardly a speck stays as it is.
 */
export function pageSpecksTaken(page: GreyPage): GreyPage {
  const { width, height, data } = page
  const around: number[] = []
  for (let y = -FREE; y <= FREE; y++)
    for (let x = -FREE; x <= FREE; x++) if (Math.max(Math.abs(x), Math.abs(y)) > REACH) around.push(y * width + x)
  const specks: number[] = []
  const near = REACH + 1
  for (let y = FREE; y < height - FREE; y++)
    for (let x = FREE, at = y * width + FREE; x < width - FREE; x++, at++) {
      const limit = data[at]! + LIGHTER
      // Nearly every pixel leaves at the first comparison.
      if (data[at - near]! < limit || data[at + near]! < limit) continue
      if (data[at - near * width]! < limit || data[at + near * width]! < limit) continue
      if (around.every((by) => data[at + by]! >= limit)) specks.push(at)
    }
  if (specks.length < SOILED * (data.length / 1e6)) return page
  const clean = Uint8Array.from(data)
  const frame = around.filter((by) => Math.abs(by) >= near * width - near)
  for (const at of specks) {
    let paper = 0
    for (const by of frame) paper += data[at + by]!
    paper = Math.round(paper / frame.length)
    for (let y = -REACH; y <= REACH; y++) clean.fill(paper, at + y * width - REACH, at + y * width + REACH + 1)
  }
  return { width, height, data: clean }
}
