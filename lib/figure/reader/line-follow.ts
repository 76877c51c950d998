import { type InkPage, inkedAt } from './ink.ts'
import { endMark } from './line-ends.ts'

/** A straight stroke that was followed from where it starts. */
export interface Stroke {
  /** First and last point, pixels. */
  fromX: number
  fromY: number
  toX: number
  toY: number
  /** Direction of travel, radians, y downwards. */
  angle: number
  /** Pixels of it that stood clear on both sides, and its usual width. */
  clear: number
  width: number
  /** It ended in an arrow head or a dot. */
  marked: boolean
}

/** Paper that a stroke may show inside: a hole of a poor copy, pixels. */
const GAP = 4
/** Widest leader line, pixels at the scale of reading. */
const WIDTH_MAX = 8
/** Half of the breadth that is looked at across a stroke. */
const SIDE = 10
/** Other ink that a stroke may run through (crossing lines, thread, hatching) and still be itself behind it. */
const BROAD_MAX = 34
/** Clear pixels after which its direction is known well enough to tell a bend from a stair. */
const KNOWN = 24

/** A stroke is followed no further, pixels. */
const REACH = 4000

/** Where a stroke is looked for across its line, nearest first. */
const NEAREST = [0, -1, 1, -2, 2] as const

/**
 * Ink across the line of travel at one place: its breadth in pixels, 0 on paper. `middleAcross` is then how far its middle lies
 * off the place. Asked at every pixel of every stroke that is tried, hence no object for the answer.
 */
function breadthAcross(ink: InkPage, x: number, y: number, nx: number, ny: number): number {
  let at = 0
  let tried = 0
  for (; tried < NEAREST.length; tried++) {
    at = NEAREST[tried]!
    if (inkedAt(ink, x + nx * at, y + ny * at)) break
  }
  if (tried === NEAREST.length) return 0
  let low = at
  let high = at
  while (low > -SIDE && inkedAt(ink, x + nx * (low - 1), y + ny * (low - 1))) low -= 1
  while (high < SIDE && inkedAt(ink, x + nx * (high + 1), y + ny * (high + 1))) high += 1
  middleAcross = (low + high) / 2
  return high - low + 1
}
let middleAcross = 0

/**
 * Follows a thin straight stroke from a point in a direction, which may be off by some degrees: the line through what was seen
 * so far steers. It runs on through crossing lines and small holes and stops where it bends, fades or drowns in other ink. With
 * fewer than `least` clear pixels there is none, and no more of the way is looked at than it takes to know that.
 */
export function strokeFollowed(
  ink: InkPage,
  x: number,
  y: number,
  angle: number,
  reach = REACH,
  least = 5,
): Stroke | null {
  const [dx, dy] = [Math.cos(angle), Math.sin(angle)]
  const [nx, ny] = [-dy, dx]
  // Sums of the regression of the stroke's middle (across) on the way travelled.
  let [n, st, so, stt, sto, soo] = [0, 0, 0, 0, 0, 0]
  let [offset, slope] = [0, 0]
  const widths = WIDTHS
  widths.clear()
  let walked = 0
  let lastInk = 0
  let lastClear = 0
  let miss = 0
  for (let way = 0; way < Math.min(reach, REACH); way++) {
    if (n + reach - way < least) return null
    const middle = offset + slope * way
    const width = breadthAcross(ink, x + dx * way + nx * middle, y + dy * way + ny * middle, nx, ny)
    BREADTHS[way] = width
    walked = way + 1
    if (width === 0) {
      miss += 1
      if (miss > GAP) break
      continue
    }
    miss = 0
    lastInk = way
    const usual = widths.count < 8 ? WIDTH_MAX : Math.min(WIDTH_MAX, 1.5 * widths.middle() + 1.6)
    const seen = middle + middleAcross
    // Off the line that is known by now: another line, which the stroke met or ran into.
    if (width > usual || (n >= KNOWN && Math.abs(seen - middle) > 1.8)) {
      if (way - lastClear > BROAD_MAX) break
      continue
    }
    lastClear = way
    if (widths.count < 40) widths.add(width)
    n += 1
    st += way
    so += seen
    stt += way * way
    sto += way * seen
    soo += seen * seen
    // A few pixels make stairs, not a slope.
    if (n >= 16) {
      const spread = n * stt - st * st
      slope = (n * sto - st * so) / spread
      offset = (so - slope * st) / n
      if (n > 24 && Math.abs(slope) > 0.12) return null
    } else if (n > 0) offset = so / n
  }
  if (n < 5 || n < least) return null
  // A cut across a broader line, or a bow, does not lie on one straight line. Long ones were steered all the way.
  if (Math.abs(slope) > 0.12 || (n < 36 && strayed(n, st, so, stt, sto, soo) > 0.9)) return null
  const place = (way: number): [number, number] => [
    x + dx * way + nx * (offset + slope * way),
    y + dy * way + ny * (offset + slope * way),
  ]
  const width = widths.middle()
  const mark = endMark(ink, BREADTHS.subarray(0, walked), width, 2 * SIDE, place)
  const end = mark ?? (lastInk - lastClear > BROAD_MAX ? lastClear + 3 : lastInk)
  const [fromX, fromY] = place(0)
  const [toX, toY] = place(end)
  return {
    fromX,
    fromY,
    toX,
    toY,
    angle: angle + Math.atan(slope),
    clear: n,
    width,
    marked: mark !== null,
  }
}

/** Root of the mean square by which the middles lie off the straight line through them, pixels. */
function strayed(n: number, st: number, so: number, stt: number, sto: number, soo: number): number {
  const spread = stt - (st * st) / n
  const shared = sto - (st * so) / n
  const own = soo - (so * so) / n
  return Math.sqrt(Math.max(0, own - (spread > 0 ? (shared * shared) / spread : 0)) / n)
}

/** Widths of a stroke that were seen, whole pixels; their middle is asked at every pixel of the way. */
class Widths {
  private readonly seen = new Uint8Array(2 * SIDE + 2)
  count = 0

  clear(): void {
    this.seen.fill(0)
    this.count = 0
  }

  add(width: number): void {
    this.seen[width]! += 1
    this.count += 1
  }

  middle(): number {
    if (this.count === 0) return 1
    let left = Math.floor(this.count / 2)
    let width = 0
    while (left >= this.seen[width]!) left -= this.seen[width++]!
    return width
  }
}

/** One stroke is followed at a time, and far more are tried than found: they share what they are measured with. */
const WIDTHS = new Widths()
const BREADTHS = new Uint8Array(REACH)

/**
 * The longest clear stroke that leaves a point within `spread` radians of a direction, or null; one that `aims` at where it
 * should come from goes before those that do not.
 */
export function strokeFrom(
  ink: InkPage,
  x: number,
  y: number,
  towards: number,
  spread: number,
  aims: (stroke: Stroke) => boolean,
): Stroke | null {
  let other: Stroke | null = null
  // A leader line, or the level part of it, may be no longer than the gap between the ring and the part.
  for (const reach of [48, 18]) {
    const looks = strokesFrom(ink, x, y, towards, spread, reach)
    for (const look of looks) {
      const stroke = strokeFollowed(ink, x, y, look.angle)
      if (stroke && aims(stroke)) return stroke
      other ??= stroke
    }
    other ??= looks[0] ?? null
  }
  return other
}

/** Short looks in every direction of a fan, one for each stroke that leaves the point with `least` clear pixels, the clearest first. */
export function strokesFrom(
  ink: InkPage,
  x: number,
  y: number,
  towards: number,
  spread: number,
  reach: number,
  least = 0.3 * reach,
): Stroke[] {
  const found: Stroke[] = []
  const step = 0.05
  for (let turn = -Math.floor(spread / step); turn <= spread / step; turn++) {
    const stroke = strokeFollowed(ink, x, y, towards + turn * step, reach, least)
    if (stroke) found.push(stroke)
  }
  found.sort((a, b) => b.clear - a.clear)
  const apart: Stroke[] = []
  for (const stroke of found)
    if (apart.every((other) => Math.abs(turned(other.angle - stroke.angle)) > 0.2)) apart.push(stroke)
  return apart
}

/** An angle brought between minus and plus half a turn. */
export function turned(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI))
}
