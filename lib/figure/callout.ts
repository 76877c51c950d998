import type { Point } from '../geometry/view.ts'

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

/** The smallest distance between two printed numbers: how large a button over each may be drawn. Infinity for one. */
export function calloutSpacing(callouts: readonly Callout[]): number {
  let least = Infinity
  const sorted = [...callouts].sort((a, b) => a.x - b.x)
  for (const [at, callout] of sorted.entries()) {
    for (const other of sorted.slice(at + 1)) {
      if (other.x - callout.x >= least) break
      least = Math.min(least, Math.hypot(other.x - callout.x, other.y - callout.y))
    }
  }
  return least
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
