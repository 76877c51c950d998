import type { Ink } from './page-ink.ts'
import type { GreyPage, TextRun } from './schema.ts'

/** A page lies askew by a few degrees at most; more would be a turned page. */
const DEGREES_MAX = 6
const COARSE_STEP = 0.1
const FINE_STEP = 0.02
/** Frame, table and text lines agree across and down to this; slanted edges of parts do not. */
const AGREE = 0.3
/** A skew that moves the far end of a line by less than so many pixels is left alone: turning a page blurs it. */
const SHIFT_MIN = 2.5
const POINTS_MAX = 60_000
/** Peak over the middle of the profile scores from which a direction counts as seen. */
const SEEN = 1.25
/** A single direction (a text page without rules) must stand out by this much. */
const SEEN_ALONE = 2
/**
 * Rules across stand out by this much, and outweigh so many times what parts show down the page: a list between hairlines has no
 * wall that could agree with them.
 */
const RULED = 6
const OUTWEIGHS = 8

interface Direction {
  degrees: number
  /** Peak score over the median score: 1 is no direction at all. */
  strength: number
}

/**
 * Clockwise skew of a page in degrees: the turn at which edges across and edges down both fall into the fewest, fullest
 * lines (projection profile, Postl 1986, on long edges). Only a direction that both agree on, or one that the rules or lines
 * of a text alone make very plain, is believed: slanted and isometric edges of parts never come in a right angle with the page's
 * own lines, so a drawing without frame, table or text answers 0.
 */
export function skewDegrees(ink: Ink): number {
  const across = direction(edgePoints(ink, 'across'), 1, ink)
  const down = direction(edgePoints(ink, 'down'), -1, ink)
  const agreed = across.strength >= SEEN && down.strength >= SEEN && Math.abs(across.degrees - down.degrees) <= AGREE
  const weight = (one: Direction) => one.strength - 1
  const degrees = agreed
    ? (across.degrees * weight(across) + down.degrees * weight(down)) / (weight(across) + weight(down))
    : (across.strength >= SEEN_ALONE && down.strength < SEEN) ||
        (across.strength >= RULED && weight(across) >= OUTWEIGHS * weight(down))
      ? across.degrees
      : 0
  const shift = Math.abs(Math.tan((degrees * Math.PI) / 180)) * Math.max(ink.width, ink.height)
  return shift < SHIFT_MIN ? 0 : Math.round(degrees * 100) / 100
}

/** Ink pixels with paper above (across) or on the left (down) that belong to an edge running some pixels straight on. */
function edgePoints({ width, height, data }: Ink, way: 'across' | 'down'): Float32Array {
  const [along, over] = way === 'across' ? [1, width] : [width, 1]
  const reach = Math.max(6, Math.round(Math.max(width, height) / 250))
  const found: number[] = []
  for (let y = reach + 1; y < height - reach - 1; y++)
    for (let x = reach + 1; x < width - reach - 1; x++) {
      const at = y * width + x
      if (data[at] !== 1 || data[at - over] === 1) continue
      // Straight on for a while, give or take one pixel: letters drop out, rules and frames stay.
      let straight = 0
      for (let step = -reach; step <= reach; step++) {
        const on = at + step * along
        if (data[on] === 1 || data[on - over] === 1 || data[on + over] === 1) straight++
      }
      if (straight > 2 * reach - 1) found.push(way === 'across' ? x : y, way === 'across' ? y : x)
    }
  return thinned(found)
}

function thinned(points: readonly number[]): Float32Array {
  const count = points.length / 2
  const step = Math.max(1, count / POINTS_MAX)
  const kept = new Float32Array(2 * Math.floor(count / step))
  for (let n = 0; n * 2 + 1 < kept.length; n++) {
    const from = 2 * Math.floor(n * step)
    kept[2 * n] = points[from]!
    kept[2 * n + 1] = points[from + 1]!
  }
  return kept
}

/** Angle at which the points fall into the fewest bins. Turned clockwise, a line across falls and one down moves left. */
function direction(points: Float32Array, sign: 1 | -1, { width, height }: Ink): Direction {
  if (points.length < 200) return { degrees: 0, strength: 1 }
  const bins = new Float64Array(2 * (width + height))
  const score = (degrees: number): number => {
    bins.fill(0)
    const slope = sign * Math.tan((degrees * Math.PI) / 180)
    const offset = bins.length / 2 - Math.max(width, height) / 2
    for (let at = 0; at < points.length; at += 2) bins[Math.round(points[at + 1]! - slope * points[at]! + offset)]! += 1
    let sum = 0
    for (let at = 0; at < bins.length; at++) sum += bins[at]! * bins[at]!
    return sum
  }
  const scores: number[] = []
  let best = { degrees: 0, score: 0 }
  const tryOne = (degrees: number) => {
    const found = score(degrees)
    if (found > best.score) best = { degrees, score: found }
    return found
  }
  for (let degrees = -DEGREES_MAX; degrees <= DEGREES_MAX + 1e-9; degrees += COARSE_STEP) scores.push(tryOne(degrees))
  const middle = [...scores].sort((a, b) => a - b)[scores.length >> 1]!
  const { degrees: near } = best
  for (let degrees = near - COARSE_STEP; degrees <= near + COARSE_STEP + 1e-9; degrees += FINE_STEP) tryOne(degrees)
  return { degrees: best.degrees, strength: best.score / middle }
}

/** A page turned straight, and the way back to the page as it was. */
export interface Straight {
  page: GreyPage
  runs: TextRun[]
  /** Point of the straight page on the page as it was. */
  back: (x: number, y: number) => { x: number; y: number }
}

/** The page turned by the skew (about its middle, the sheet enlarged so that no corner is lost; paper around it). */
export function pageStraight(page: GreyPage, runs: readonly TextRun[], degrees: number): Straight {
  if (degrees === 0) return { page, runs: [...runs], back: (x, y) => ({ x, y }) }
  const angle = (degrees * Math.PI) / 180
  const cos = Math.cos(angle)
  const sin = Math.sin(angle)
  const width = Math.ceil(page.width * cos + page.height * Math.abs(sin))
  const height = Math.ceil(page.height * cos + page.width * Math.abs(sin))
  const back = (x: number, y: number) => {
    const dx = x - width / 2
    const dy = y - height / 2
    return { x: page.width / 2 + dx * cos - dy * sin, y: page.height / 2 + dx * sin + dy * cos }
  }
  const forth = (x: number, y: number) => {
    const dx = x - page.width / 2
    const dy = y - page.height / 2
    return { x: width / 2 + dx * cos + dy * sin, y: height / 2 - dx * sin + dy * cos }
  }
  const turned = runs.map(({ text, box: [left, top, right, bottom] }): TextRun => {
    const middle = forth((left + right) / 2, (top + bottom) / 2)
    const [w, h] = [(right - left) / 2, (bottom - top) / 2]
    return { text, box: [middle.x - w, middle.y - h, middle.x + w, middle.y + h] }
  })
  return { page: { width, height, data: turnedPixels(page, width, height, cos, sin) }, runs: turned, back }
}

function turnedPixels(page: GreyPage, width: number, height: number, cos: number, sin: number): Uint8Array {
  const { data } = page
  const made = new Uint8Array(width * height).fill(255)
  const own = page.width
  const [right, bottom] = [page.width - 1, page.height - 1]
  for (let y = 0; y < height; y++) {
    let fromX = page.width / 2 + (0.5 - width / 2) * cos - (y + 0.5 - height / 2) * sin - 0.5
    let fromY = page.height / 2 + (0.5 - width / 2) * sin + (y + 0.5 - height / 2) * cos - 0.5
    for (let x = 0, to = y * width; x < width; x++, to++, fromX += cos, fromY += sin) {
      if (fromX < 0 || fromY < 0 || fromX >= right || fromY >= bottom) continue
      // Above zero to cut off is to round down, and several times as quick.
      const ix = fromX | 0
      const iy = fromY | 0
      const dx = fromX - ix
      const at = iy * own + ix
      const one = data[at]!
      const below = data[at + own]!
      const upper = one + (data[at + 1]! - one) * dx
      const lower = below + (data[at + own + 1]! - below) * dx
      made[to] = upper + (lower - upper) * (fromY - iy)
    }
  }
  return made
}
