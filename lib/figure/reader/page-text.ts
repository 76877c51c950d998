import type { GreyPage, PageBox } from './schema.ts'
import { dustTaken } from './table-dust.ts'

/** A line of text in a cell: where its letters stand. */
export interface TextLine {
  box: PageBox
  /** White letters on a dark ground. */
  inverse: boolean
}

const CONTRAST_MIN = 40
const CONTRAST_SHARE = 0.4
/** Letters are at least so high, pixels; less is dirt or a full stop. */
const TALL_MIN = 5

/**
 * Lines of text in a box of the page, by the rows of pixels that hold ink. What counts as ink is told from the box itself
 * (its commonest grey is the ground), so tinted and dark cells are read like white ones. Marks that touch the border of
 * the box from outside, such as a rule that was cut, are left out.
 */
export function cellLines(page: GreyPage, box: PageBox): TextLine[] {
  const [left, top, right, bottom] = clipped(page, box)
  const width = right - left
  const height = bottom - top
  if (width < 3 || height < TALL_MIN) return []
  const { ground, limit, inverse } = groundOf(page, left, top, right, bottom)
  if (limit === null) return []
  const ink = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++)
      if (Math.abs(page.data[(top + y) * page.width + left + x]! - ground) > limit) ink[y * width + x] = 1
  rulesWiped(ink, width, height)
  dustTaken(ink, width, height)
  const rows = new Int32Array(height)
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) rows[y]! += ink[y * width + x]!
  return bandsOf(rows).flatMap(([from, to]) => {
    const across = spanAcross(ink, width, from, to)
    if (across === null) return []
    return [{ box: [left + across[0], top + from, left + across[1], top + to] satisfies PageBox, inverse }]
  })
}

function clipped({ width, height }: GreyPage, [left, top, right, bottom]: PageBox): PageBox {
  return [
    Math.max(0, Math.round(left)),
    Math.max(0, Math.round(top)),
    Math.min(width, Math.round(right)),
    Math.min(height, Math.round(bottom)),
  ]
}

/** Commonest grey of the box, and how far from it ink begins; null when the box is plain. */
function groundOf(page: GreyPage, left: number, top: number, right: number, bottom: number) {
  const counts = new Uint32Array(32)
  let darkest = 255
  let lightest = 0
  for (let y = top; y < bottom; y++)
    for (let x = left; x < right; x++) {
      const value = page.data[y * page.width + x]!
      counts[value >> 3]!++
      if (value < darkest) darkest = value
      if (value > lightest) lightest = value
    }
  let most = 31
  for (let bin = 30; bin >= 0; bin--) if (counts[bin]! > counts[most]!) most = bin
  const ground = most * 8 + 4
  const inverse = lightest - ground > ground - darkest
  const contrast = Math.max(lightest - ground, ground - darkest)
  return {
    ground,
    inverse,
    limit: contrast < CONTRAST_MIN ? null : Math.max(CONTRAST_MIN / 2, contrast * CONTRAST_SHARE),
  }
}

/** Takes out what is left of rules along the border: full rows and columns within a few pixels of it. */
function rulesWiped(ink: Uint8Array, width: number, height: number): void {
  const deep = Math.min(5, height >> 2, width >> 2)
  for (let y = 0; y < height; y++) {
    if (y >= deep && y < height - deep) continue
    let count = 0
    for (let x = 0; x < width; x++) count += ink[y * width + x]!
    if (count > 0.7 * width) ink.fill(0, y * width, (y + 1) * width)
  }
  for (let x = 0; x < width; x++) {
    if (x >= deep && x < width - deep) continue
    let count = 0
    for (let y = 0; y < height; y++) count += ink[y * width + x]!
    if (count > 0.7 * height) for (let y = 0; y < height; y++) ink[y * width + x] = 0
  }
}

/** Runs of rows with ink; dots over letters belong to the letters below, two lines that touch are cut apart. */
function bandsOf(rows: Int32Array): [number, number][] {
  const bands: [number, number][] = []
  let from = -1
  for (let y = 0; y <= rows.length; y++) {
    const has = y < rows.length && rows[y]! > 0
    if (has && from < 0) from = y
    if (!has && from >= 0) {
      bands.push([from, y])
      from = -1
    }
  }
  const joined: [number, number][] = []
  for (const band of bands) {
    const last = joined.at(-1)
    const lower = last && Math.min(last[1] - last[0], band[1] - band[0])
    if (
      last &&
      lower !== undefined &&
      (band[0] - last[1] <= 1 ||
        (lower < 0.35 * Math.max(last[1] - last[0], band[1] - band[0]) && band[0] - last[1] <= 3))
    )
      last[1] = band[1]
    else joined.push([...band])
  }
  return joined.filter(([start, end]) => end - start >= TALL_MIN)
}

function spanAcross(ink: Uint8Array, width: number, from: number, to: number): [number, number] | null {
  let first = width
  let last = -1
  for (let y = from; y < to; y++)
    for (let x = 0; x < width; x++)
      if (ink[y * width + x] === 1) {
        if (x < first) first = x
        if (x > last) last = x
      }
  return last < 0 ? null : [first, last + 1]
}

/**
 * Lines whose letters touch those of the line below come as one band: cut it where the fewest pixels stand, when it is
 * about twice or three times as tall as the usual line of the list.
 */
export function linesCut(page: GreyPage, lines: readonly TextLine[], usual: number): TextLine[] {
  return lines.flatMap((line) => {
    const [left, top, right, bottom] = line.box
    const count = Math.round((bottom - top) / (1.15 * usual))
    if (count < 2) return [line]
    const pieces: TextLine[] = []
    let from = top
    for (let n = 1; n < count; n++) {
      const at = top + ((bottom - top) * n) / count
      const cut = thinnest(page, line, Math.round(at - usual * 0.3), Math.round(at + usual * 0.3))
      pieces.push(...cellLines(page, [left, from, right, cut]).slice(0, 1))
      from = cut
    }
    pieces.push(...cellLines(page, [left, from, right, bottom]).slice(0, 1))
    return pieces
  })
}

function thinnest(page: GreyPage, { box: [left, , right], inverse }: TextLine, from: number, to: number): number {
  let best = from
  let least = Number.POSITIVE_INFINITY
  for (let y = from; y <= to; y++) {
    let ink = 0
    for (let x = left; x < right; x++) {
      const value = page.data[y * page.width + x]!
      ink += inverse ? value : 255 - value
    }
    if (ink < least) {
      least = ink
      best = y
    }
  }
  return best
}
