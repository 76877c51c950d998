import type { Blobs } from './blobs.ts'
import { type InkPage, inkedAt } from './ink.ts'
import { type Leader, leaderFrom } from './leaders.ts'
import { type Stroke, strokeFollowed, strokesFrom, turned } from './line-follow.ts'
import type { NumberSpot } from './numbers.ts'

const RAYS = 128
/** A leader line begins at most this many heights of the number away from it. */
const AWAY = 1.15

interface Start {
  x: number
  y: number
  /** Direction from the number, radians, and the gap between the number and the line, pixels. */
  angle: number
  gap: number
}

/**
 * Leader lines of a number without a ring: thin strokes that begin near the number and run away from it along a line through it.
 * Two that run on one line to both sides are a dimension line with its figure between, and then there is no leader.
 */
export function leadersOfBare(ink: InkPage, blobs: Blobs, spot: NumberSpot): Leader[] {
  const found: { leader: Leader; angle: number; gap: number }[] = []
  for (const start of startsAround(ink, blobs, spot)) {
    const reach = Math.max(24, Math.round(1.2 * spot.height))
    for (const look of strokesFrom(ink, start.x, start.y, start.angle, 1.1, reach)) {
      if (look.clear < 0.55 * reach) continue
      const stroke = strokeFollowed(ink, start.x, start.y, look.angle)
      if (!stroke || !aimsAt(spot, stroke) || runsBack(ink, stroke, start.gap)) continue
      const leader = leaderFrom(ink, stroke)
      if (leader.length >= 1.1 * spot.height) found.push({ leader, angle: stroke.angle, gap: start.gap })
      break
    }
  }
  const opposed = found.some((a) => found.some((b) => Math.abs(turned(a.angle - b.angle - Math.PI)) < 0.15 && a !== b))
  if (opposed) return []
  if (found.length === 0) return leadersOfShelf(ink, blobs, spot)
  const nearest = Math.min(...found.map(({ gap }) => gap))
  const near = found.filter(({ gap }) => gap <= 1.6 * nearest + 3)
  near.sort((a, b) => b.leader.length - a.leader.length)
  const kept: typeof near = []
  for (const one of near)
    if (
      kept.every((other) => Math.hypot(other.leader.tipX - one.leader.tipX, other.leader.tipY - one.leader.tipY) > 12)
    )
      kept.push(one)
  return kept.map(({ leader }) => leader)
}

/** Where ink that is not the number's own is first met around it, one start for each stroke. */
function startsAround(ink: InkPage, blobs: Blobs, spot: NumberSpot): Start[] {
  const [left, top, right, bottom] = spot.box
  const [x, y] = [(left + right) / 2, (top + bottom) / 2]
  const own = new Set(spot.blobs)
  const starts: Start[] = []
  for (let ray = 0; ray < RAYS; ray++) {
    const angle = (2 * Math.PI * ray) / RAYS
    const [dx, dy] = [Math.cos(angle), Math.sin(angle)]
    const exit = Math.min(
      (right - left) / 2 / Math.max(1e-6, Math.abs(dx)),
      (bottom - top) / 2 / Math.max(1e-6, Math.abs(dy)),
    )
    for (let far = exit; far < exit + AWAY * spot.height; far += 0.7) {
      const [px, py] = [Math.floor(x + dx * far), Math.floor(y + dy * far)]
      if (px < 0 || py < 0 || px >= ink.width || py >= ink.height) break
      const label = blobs.labels[py * ink.width + px]!
      if (label < 0 || own.has(label) || blobs.list[label]!.area < spot.height * 0.8) continue
      const start = { x: x + dx * far, y: y + dy * far, angle, gap: far - exit }
      const beside = starts.findIndex((other) => Math.hypot(other.x - start.x, other.y - start.y) < 0.3 * spot.height)
      if (beside < 0) starts.push(start)
      else if (start.gap < starts[beside]!.gap) starts[beside] = start
      break
    }
  }
  return starts
}

/** The stroke's line passes through the number's box, a little enlarged. */
function aimsAt(spot: NumberSpot, stroke: Stroke): boolean {
  const [left, top, right, bottom] = spot.box
  const [sin, cos] = [Math.sin(stroke.angle), Math.cos(stroke.angle)]
  const off = Math.abs(((left + right) / 2 - stroke.fromX) * sin - ((top + bottom) / 2 - stroke.fromY) * cos)
  return off < (Math.abs(sin) * (right - left)) / 2 + (Math.abs(cos) * (bottom - top)) / 2 + 0.12 * spot.height
}

/** The line is there between its start and the number as well: it passes by, it does not begin here. */
function runsBack(ink: InkPage, stroke: Stroke, gap: number): boolean {
  const far = Math.max(4, Math.min(gap, 12))
  let seen = 0
  for (let back = 3; back < 3 + far; back++)
    if (inkedAt(ink, stroke.fromX - Math.cos(stroke.angle) * back, stroke.fromY - Math.sin(stroke.angle) * back))
      seen += 1
  return seen > 0.6 * far && gap > 6
}

/** The number stands on a short level line, and the leader goes on from one end of it. */
function leadersOfShelf(ink: InkPage, blobs: Blobs, spot: NumberSpot): Leader[] {
  const [left, , right, bottom] = spot.box
  const own = new Set(spot.blobs)
  const x = (left + right) / 2
  for (let y = Math.floor(bottom) + 1; y < bottom + 0.6 * spot.height; y++) {
    const label = blobs.labels[y * ink.width + Math.floor(x)] ?? -1
    if (label < 0 || own.has(label)) continue
    const ways = [0, Math.PI].map((angle) => strokeFollowed(ink, x, y + 0.5, angle))
    const [east, west] = ways
    if (!east || !west) return []
    const span = east.toX - west.toX
    if (span < 0.8 * (right - left) || span > right - left + 3 * spot.height) return []
    const leaders = [east, west].flatMap((shelf) => {
      const leader = leaderFrom(ink, shelf)
      return leader.length > Math.abs(shelf.toX - x) + spot.height ? [leader] : []
    })
    return leaders.length === 1 ? leaders : []
  }
  return []
}
