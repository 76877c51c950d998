import { readFileSync } from 'node:fs'
import { type Blob, blobsOf } from '../figure/reader/blobs.ts'
import type { CropText, GreyPage, PageBox } from '../figure/reader/schema.ts'
import { GLYPHS, glyphPass, NO_GLYPH } from './glyph-net.ts'
import { glyphPicture } from './glyph-picture.ts'
import { weightsUnpacked } from './glyph-weights.ts'

const weights = weightsUnpacked(readFileSync(new URL('./glyph-weights.bin', import.meta.url)))

/** A letter is rarer than a digit that looks like it: 8 and B, 0 and D. */
const LETTER_PRIOR = 0.25

/** White between two digits in which a point may have stood, as a share of their height: a coarse copy drowns it in grey. */
const POINT_ROOM = 0.25

export interface ItemRead extends CropText {
  /** Two signs leave room for a point that was not seen. */
  roomForPoint: boolean
}

/**
 * Reads one item number sign by sign: digits, with a letter before or after them (12A, E1) or a point between (1.1). Answers
 * an empty text when the signs do not stand apart or are no signs of an item.
 */
export function itemRead(page: GreyPage, box: PageBox): ItemRead {
  const nothing = { text: '', confidence: 0, roomForPoint: false }
  const signs = signsIn(page, box)
  if (signs.length === 0 || signs.length > 6) return nothing
  const inked = signs.filter((sign) => sign !== 'point').length
  let text = ''
  let confidence = 1
  let place = 0
  for (const sign of signs) {
    if (sign === 'point') {
      text += '.'
      continue
    }
    place += 1
    const atEnd = inked > 1 && (place === 1 || place === inked)
    const { share } = glyphPass(weights, glyphPicture(page, sign))
    let best = -1
    let weight = 0
    for (let at = 0; at < NO_GLYPH; at++) {
      const own = share[at]! * (at < 10 ? 1 : atEnd ? LETTER_PRIOR : 0)
      if (own > weight) [best, weight] = [at, own]
    }
    if (best < 0) return nothing
    text += GLYPHS[best]
    confidence = Math.min(confidence, share[best]!)
  }
  const roomForPoint = signs.some((sign, at) => {
    const next = signs[at + 1]
    return sign !== 'point' && Array.isArray(next) && next[0] - sign[2] > POINT_ROOM * (sign[3] - sign[1])
  })
  return { text, confidence, roomForPoint }
}

/** Boxes of the signs in a crop from left to right, in pixels of the page; a dot on the line between two is a point. */
function signsIn(page: GreyPage, [left, top, right, bottom]: PageBox): (PageBox | 'point')[] {
  const x0 = Math.max(0, Math.floor(left) - 1)
  const y0 = Math.max(0, Math.floor(top) - 1)
  const width = Math.min(page.width, Math.ceil(right) + 1) - x0
  const height = Math.min(page.height, Math.ceil(bottom) + 1) - y0
  if (width < 3 || height < 6) return []
  const data = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) data[y * width + x] = page.data[(y0 + y) * page.width + x0 + x]!
  const cut = otsu(data)
  const ink = { width, height, data: data.map((value) => (value <= cut ? 1 : 0)) }
  const pieces = joined(blobsOf(ink).list.filter(({ area }) => area >= 3))
  const tall = Math.max(...pieces.map(({ box }) => box[3] - box[1]))
  const signs: (PageBox | 'point')[] = []
  for (const { box } of pieces) {
    const size = box[3] - box[1]
    if (size > 0.6 * tall) signs.push([box[0] + x0, box[1] + y0, box[2] + x0, box[3] + y0])
    else if (size < 0.35 * tall && box[3] > height * 0.75 && signs.length > 0 && signs.at(-1) !== 'point')
      signs.push('point')
  }
  if (signs.at(-1) === 'point') signs.pop()
  return signs
}

/** Pieces above each other are one sign that a scan has broken. Sorted by their left edge. */
function joined(pieces: readonly Blob[]): Blob[] {
  const signs: Blob[] = []
  for (const piece of [...pieces].sort((a, b) => a.box[0] - b.box[0])) {
    const last = signs.at(-1)
    const shared = last ? Math.min(last.box[2], piece.box[2]) - piece.box[0] : 0
    if (last && shared > 0.5 * Math.min(piece.box[2] - piece.box[0], last.box[2] - last.box[0])) {
      last.box = [
        Math.min(last.box[0], piece.box[0]),
        Math.min(last.box[1], piece.box[1]),
        Math.max(last.box[2], piece.box[2]),
        Math.max(last.box[3], piece.box[3]),
      ]
      last.area += piece.area
    } else signs.push({ box: [...piece.box], area: piece.area })
  }
  return signs
}

/** The cut between two tones that parts them best (Otsu 1979). */
function otsu(data: Uint8Array): number {
  const counts = new Float64Array(256)
  for (const value of data) counts[value]! += 1
  const total = data.length
  const whole = counts.reduce((sum, count, value) => sum + count * value, 0)
  let [cut, best, below, sumBelow] = [127, -1, 0, 0]
  for (let value = 0; value < 255; value++) {
    below += counts[value]!
    sumBelow += counts[value]! * value
    if (below === 0 || below === total) continue
    const apart = sumBelow / below - (whole - sumBelow) / (total - below)
    const between = below * (total - below) * apart * apart
    if (between > best) [best, cut] = [between, value]
  }
  return cut
}
