import type { Balloon } from './balloons.ts'
import { type InkPage, inkedAt } from './ink.ts'
import { type Stroke, strokeFollowed, strokeFrom, strokesFrom, turned } from './line-follow.ts'

/** A leader line: where it leaves the number and where it ends on the part (ISO 128-22). */
export interface Leader {
  fromX: number
  fromY: number
  tipX: number
  tipY: number
  length: number
}

/** Bends that one leader line may have. */
const BENDS_MAX = 2

/** Every leader line that leaves a balloon's ring, the longest first. */
export function leadersOfBalloon(ink: InkPage, balloon: Balloon): Leader[] {
  const outer = outerRadius(ink, balloon)
  const starts = ringCrossings(ink, balloon, outer)
  const leaders: { leader: Leader; off: number }[] = []
  for (const angle of starts) {
    const away = outer + 3
    const x = balloon.x + Math.cos(angle) * away
    const y = balloon.y + Math.sin(angle) * away
    const offOf = (stroke: Stroke) => distanceToLine(balloon.x, balloon.y, stroke)
    const stroke = strokeFrom(ink, x, y, angle, 1.2, (one) => offOf(one) < 0.16 * balloon.radius + 1.5)
    if (!stroke) continue
    const off = offOf(stroke)
    if (off > 0.4 * balloon.radius) continue
    for (const leader of leadersFrom(ink, stroke))
      if (leader.length > Math.max(10, 0.4 * balloon.radius)) leaders.push({ leader, off })
  }
  leaders.sort((a, b) => b.leader.length - a.leader.length)
  // A line that only happens to touch the ring rarely aims at its middle; leader lines do.
  const aimed = leaders.filter(({ off }) => off < 0.16 * balloon.radius + 1.5)
  return apart((aimed.length > 0 ? aimed : leaders.slice(0, 1)).map(({ leader }) => leader))
}

/** Outside of the ring, or of the outer one of two; hexagons reach a little beyond the circle through their sides. */
function outerRadius(ink: InkPage, { x, y, radius }: Balloon): number {
  let outer = radius * 1.05
  for (let far = radius + 1; far < 1.4 * radius; far++) {
    let seen = 0
    for (let ray = 0; ray < 60; ray++) {
      const angle = (2 * Math.PI * ray) / 60
      if (inkedAt(ink, x + Math.cos(angle) * far, y + Math.sin(angle) * far)) seen += 1
    }
    if (seen > 36) outer = Math.max(outer, far)
  }
  return outer
}

/** Directions in which ink crosses the gap just outside the ring. */
function ringCrossings(ink: InkPage, { x, y }: Balloon, outer: number): number[] {
  const steps = Math.ceil(2 * Math.PI * (outer + 6))
  const hit = Array.from({ length: steps }, (_, step) => {
    const angle = (2 * Math.PI * step) / steps
    const [dx, dy] = [Math.cos(angle), Math.sin(angle)]
    return [3, 6].every((by) => inkedAt(ink, x + dx * (outer + by), y + dy * (outer + by)))
  })
  const first = hit.indexOf(false)
  if (first < 0) return []
  const crossings: number[] = []
  let from = -1
  for (let n = 1; n <= steps; n++) {
    const step = first + n
    if (hit[step % steps]) {
      if (from < 0) from = step
    } else if (from >= 0) {
      if (step - from <= 14) crossings.push((2 * Math.PI * ((from + step - 1) / 2)) / steps)
      from = -1
    }
  }
  return crossings
}

function distanceToLine(x: number, y: number, stroke: Stroke): number {
  return Math.abs((x - stroke.fromX) * Math.sin(stroke.angle) - (y - stroke.fromY) * Math.cos(stroke.angle))
}

/** Follows the bends of a leader line to its end. */
export function leaderFrom(ink: InkPage, first: Stroke): Leader {
  return leadersFrom(ink, first)[0]!
}

/**
 * Follows the bends of a leader line; from a level shoulder two or three may fork, one to each place of the part. A bend is one
 * thin stroke going on; where several go on otherwise, the line has met an outline and ends.
 */
export function leadersFrom(ink: InkPage, first: Stroke): Leader[] {
  const start = { fromX: first.fromX, fromY: first.fromY }
  const ends: { stroke: Stroke; length: number }[] = []
  const follow = (stroke: Stroke, before: number, bends: number): void => {
    const length = before + Math.hypot(stroke.toX - stroke.fromX, stroke.toY - stroke.fromY)
    const on = stroke.marked || bends >= BENDS_MAX ? [] : strokesOn(ink, stroke)
    const forks =
      on.length > 1 && bends === 0 && Math.abs(Math.sin(stroke.angle)) < 0.06 && on.every((next) => next.marked)
    if (on.length === 1 || forks) for (const next of on) follow(next, length, bends + 1)
    else ends.push({ stroke, length })
  }
  follow(first, 0, 0)
  return ends.map(({ stroke, length }) => ({ ...start, tipX: stroke.toX, tipY: stroke.toY, length }))
}

/** Strokes of the same breadth that go on from the end of another. A sharp bend is met before the last ink. */
function strokesOn(ink: InkPage, stroke: Stroke): Stroke[] {
  for (const back of [1, 4, 9]) {
    const x = stroke.toX - back * Math.cos(stroke.angle)
    const y = stroke.toY - back * Math.sin(stroke.angle)
    const on = strokesFrom(ink, x, y, stroke.angle, 2.6, 30, 16).filter(
      (next) => Math.abs(turned(next.angle - stroke.angle)) > 0.12,
    )
    if (on.length === 0) continue
    if (on.some(({ width }) => width > 1.25 * stroke.width + 0.8 || width < 0.6 * stroke.width - 1)) {
      if (on.length > 1) return []
      continue
    }
    if (arms(ink, stroke, on) > 1 + on.length) return []
    return on.flatMap((next) => strokeFollowed(ink, x, y, next.angle) ?? [])
  }
  return []
}

/** Lines that leave a bend, that of arrival with them: an outline that was met goes on to both sides, a bend does not. */
function arms(ink: InkPage, stroke: Stroke, on: readonly Stroke[]): number {
  const [dx, dy] = [Math.cos(stroke.angle), Math.sin(stroke.angle)]
  const bends = on.map((next) => {
    const across = dx * Math.sin(next.angle) - dy * Math.cos(next.angle)
    const along =
      ((next.fromX - stroke.toX) * Math.sin(next.angle) - (next.fromY - stroke.toY) * Math.cos(next.angle)) / across
    return Math.max(-12, Math.min(12, along))
  })
  const way = bends.reduce((sum, along) => sum + along, 0) / bends.length
  const [x, y] = [stroke.toX + way * dx, stroke.toY + way * dy]
  const radius = 7 + stroke.width
  let count = 0
  let before = inkedAt(ink, x + radius, y)
  for (let step = 1; step <= 72; step++) {
    const angle = (2 * Math.PI * step) / 72
    const here = inkedAt(ink, x + Math.cos(angle) * radius, y + Math.sin(angle) * radius)
    if (here && !before) count += 1
    before = here
  }
  return count
}

/** Leaders whose ends are one and the same place count once. */
function apart(leaders: readonly Leader[]): Leader[] {
  const kept: Leader[] = []
  for (const leader of leaders)
    if (kept.every((other) => Math.hypot(other.tipX - leader.tipX, other.tipY - leader.tipY) > 8)) kept.push(leader)
  return kept
}
