import type { Blobs } from './blobs.ts'
import type { InkPage } from './ink.ts'
import { type Leader, leadersFrom } from './leaders.ts'
import { type Stroke, strokeFollowed, strokesFrom, turned } from './line-follow.ts'
import type { NumberSpot } from './numbers.ts'
import { leadersOfShelf } from './shelf.ts'

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
  let around: Around | null = null
  for (const start of startsAround(ink, blobs, spot)) {
    const reach = Math.max(24, Math.round(1.2 * spot.height))
    for (const look of strokesFrom(ink, start.x, start.y, start.angle, 1.1, reach, 0.55 * reach)) {
      const stroke = strokeFollowed(ink, start.x, start.y, look.angle)
      if (!stroke || stroke.clear < 0.9 * spot.height || !aimsAt(spot, stroke, start.gap)) continue
      around ??= inkAround(ink, blobs, spot)
      if (liesOnOther(around, spot, start, stroke)) continue
      for (const leader of leadersFrom(ink, stroke))
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

/** The stroke's line passes through the number's box; one that begins close by may pass its corner. */
function aimsAt(spot: NumberSpot, stroke: Stroke, gap: number): boolean {
  const [left, top, right, bottom] = spot.box
  const [sin, cos] = [Math.sin(stroke.angle), Math.cos(stroke.angle)]
  const off = Math.abs(((left + right) / 2 - stroke.fromX) * sin - ((top + bottom) / 2 - stroke.fromY) * cos)
  const loose = (gap < 0.5 * spot.height ? 0.4 : 0.1) * spot.height
  return off < (Math.abs(sin) * (right - left)) / 2 + (Math.abs(cos) * (bottom - top)) / 2 + loose
}

interface Around extends InkPage {
  /** Where its first pixel lies on the page. */
  left: number
  top: number
}

/** The page near a number, without the number's own signs. */
function inkAround(ink: InkPage, blobs: Blobs, spot: NumberSpot): Around {
  const air = Math.ceil((AWAY + 2.2) * spot.height)
  const [left, top] = [Math.max(0, spot.box[0] - air), Math.max(0, spot.box[1] - air)]
  const width = Math.min(ink.width, spot.box[2] + air) - left
  const height = Math.min(ink.height, spot.box[3] + air) - top
  const own = new Set(spot.blobs)
  const data = new Uint8Array(width * height)
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const at = (top + y) * ink.width + left + x
      if (ink.data[at] === 1 && !own.has(blobs.labels[at]!)) data[y * width + x] = 1
    }
  return { width, height, data, left, top }
}

/**
 * Another line runs through the start: a frame, a cell, an outline that was cut across. The leader itself may reach nearer to
 * the number than where it was met.
 */
function liesOnOther(around: Around, spot: NumberSpot, start: Start, stroke: Stroke): boolean {
  const reach = Math.round(spot.height)
  const back = stroke.angle + Math.PI
  const [left, top, right, bottom] = spot.box
  return strokesFrom(around, start.x - around.left, start.y - around.top, back, 1.7, reach, 0.6 * reach).some(
    (other) => {
      const [toX, toY] = [other.toX + around.left, other.toY + around.top]
      const intoNumber = toX > left - 3 && toX < right + 3 && toY > top - 3 && toY < bottom + 3
      return other.clear > 0.6 * reach && !intoNumber && Math.abs(turned(other.angle - back)) > 0.12
    },
  )
}
