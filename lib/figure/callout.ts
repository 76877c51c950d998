import type { Opening, Point, Span } from '../geometry/view.ts'

export interface Callout {
  item: string
  /** Centre of the printed number, units of the drawing. */
  x: number
  y: number
  /** Where its leader lines end on the part. */
  tips: Point[]
}

/** Distance from a point to the segment a-b. */
function segmentDistance(point: Point, a: Point, b: Point): number {
  const dx = b.x - a.x
  const dy = b.y - a.y
  const length2 = dx * dx + dy * dy
  const along = length2 === 0 ? 0 : Math.max(0, Math.min(1, ((point.x - a.x) * dx + (point.y - a.y) * dy) / length2))
  return Math.hypot(point.x - a.x - along * dx, point.y - a.y - along * dy)
}

/**
 * The callout a finger means: the number or leader tip nearest to `point`, within `margin` (both units of the drawing;
 * the caller divides a finger's width by the zoom). A leader line itself counts half as near as its ends, so that a tap on
 * a part where a foreign leader passes goes to the part. Null when nothing is near.
 */
export function calloutAt(callouts: readonly Callout[], point: Point, margin: number): Callout | null {
  let best: Callout | null = null
  let nearest = margin
  for (const callout of callouts) {
    const ends = [{ x: callout.x, y: callout.y }, ...callout.tips]
    const toEnd = Math.min(...ends.map((end) => Math.hypot(point.x - end.x, point.y - end.y)))
    const toLine = Math.min(Infinity, ...callout.tips.map((tip) => 2 * segmentDistance(point, callout, tip)))
    const distance = Math.min(toEnd, toLine)
    if (distance < nearest) {
      nearest = distance
      best = callout
    }
  }
  return best
}

/** For each callout the distance to the nearest other number: the room for its button. Infinity when it is alone. */
export function calloutRooms(callouts: readonly Callout[]): number[] {
  return callouts.map((callout) =>
    callouts.reduce(
      (least, other) =>
        other === callout ? least : Math.min(least, Math.hypot(other.x - callout.x, other.y - callout.y)),
      Infinity,
    ),
  )
}

/**
 * Screen pixels that the numbers of a readable drawing stand apart: for a thumb the least size of a target (WCAG 2.2, success
 * criterion 2.5.8: 24) and a little; for a mouse what the number itself needs.
 */
export const APART_PIXELS = { thumb: 26, mouse: 21 } as const

/**
 * Where to open a drawing so that its numbers can be read and pressed: the scale at which all but the closest tenth of them stand
 * one pixel apart (times APART_PIXELS gives the scale to open at), and the middle of the crowd. Scale 0, the whole drawing will
 * do, when there is at most one number.
 */
export function calloutOpening(callouts: readonly Callout[], page: { width: number; height: number }): Opening {
  const rooms = calloutRooms(callouts)
    .filter((room) => room > 0 && Number.isFinite(room))
    .sort((a, b) => a - b)
  const room = rooms[Math.floor(rooms.length / 10)]
  if (room === undefined) return { scale: 0, at: { x: page.width / 2, y: page.height / 2 } }
  const median = (values: number[]) => values.sort((a, b) => a - b)[Math.floor(values.length / 2)]!
  return {
    scale: 1 / room,
    at: { x: median(callouts.map((one) => one.x)), y: median(callouts.map((one) => one.y)) },
  }
}

/** The part of the page that all numbers stand in; null when there is none. */
export function calloutSpan(callouts: readonly Callout[]): Span | null {
  if (callouts.length === 0) return null
  const xs = callouts.map((one) => one.x)
  const ys = callouts.map((one) => one.y)
  return { left: Math.min(...xs), top: Math.min(...ys), right: Math.max(...xs), bottom: Math.max(...ys) }
}

/** The point to bring into view for a callout: halfway between its number and the part. */
export function calloutMiddle(callout: Callout): Point {
  const tip = callout.tips[0] ?? callout
  return { x: (callout.x + tip.x) / 2, y: (callout.y + tip.y) / 2 }
}

/** Item typed on the keyboard, digit by digit: the callout it names, and whether a longer item could still be meant. */
export function calloutTyped(items: readonly string[], typed: string): { item: string | null; more: boolean } {
  const wanted = typed.toUpperCase()
  const exact = items.find((item) => item.toUpperCase() === wanted) ?? null
  return {
    item: exact,
    more: items.some((item) => item.toUpperCase() !== wanted && item.toUpperCase().startsWith(wanted)),
  }
}
