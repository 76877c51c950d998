import type { Blobs } from './blobs.ts'
import { type InkPage, inkedAt } from './ink.ts'
import { type Leader, leaderFrom } from './leaders.ts'
import { type Stroke, strokeFollowed, strokesFrom, turned } from './line-follow.ts'
import type { NumberSpot } from './numbers.ts'

/** How far below the number its shelf may lie, and how far it may stand out beside it, in heights of the number. */
const BELOW = 0.6
const OVERHANG = 1.2

/**
 * Leader lines of a number that stands on the level end of its leader (ISO 128-22, reference line): they leave one end of the
 * shelf. A line that runs on at both ends is a row of a table or a dimension.
 */
export function leadersOfShelf(ink: InkPage, blobs: Blobs, spot: NumberSpot): Leader[] {
  const [left, , right] = spot.box
  const y = shelfUnder(ink, blobs, spot)
  if (y === null) return []
  const west = shelfEnd(ink, (left + right) / 2, y, -1, left - OVERHANG * spot.height)
  const east = shelfEnd(ink, (left + right) / 2, y, 1, right + OVERHANG * spot.height)
  if (west > left + 0.35 * spot.height || east < right - 0.35 * spot.height) return []
  const open = [left - west, east - right].map((overhang) => overhang >= OVERHANG * spot.height - 1)
  if (open[0] && open[1]) return []
  const sides = [
    { end: west, way: -1 as const, runsOn: open[0]! },
    { end: east, way: 1 as const, runsOn: open[1]! },
  ].map(({ end, way, runsOn }) => leadersFromEnd(ink, spot, end, y, way, runsOn))
  const led = sides.filter((leaders) => leaders.length > 0)
  return led.length === 1 ? led[0]! : []
}

/** Height of the first ink below the middle of the number, if near enough. */
function shelfUnder(
  ink: InkPage,
  blobs: Blobs,
  { box: [left, , right, bottom], blobs: own, height }: NumberSpot,
): number | null {
  const x = Math.floor((left + right) / 2)
  for (let y = Math.floor(bottom) + 1; y < Math.min(ink.height - 2, bottom + BELOW * height); y++) {
    const label = blobs.labels[y * ink.width + x] ?? -1
    if (label >= 0 && !own.includes(label)) return inkedAt(ink, x, y + 1) ? y + 1 : y
  }
  return null
}

/** Last column of a level line, holes of three pixels allowed, no further than `limit`. */
function shelfEnd(ink: InkPage, from: number, y: number, way: 1 | -1, limit: number): number {
  let last = from
  for (let x = from; (limit - x) * way > 0 && (x - last) * way < 4; x += way)
    if ([0, -1, 1].some((by) => inkedAt(ink, x, y + by))) last = x
  return last
}

function leadersFromEnd(
  ink: InkPage,
  spot: NumberSpot,
  end: number,
  y: number,
  way: 1 | -1,
  runsOn: boolean,
): Leader[] {
  const { height } = spot
  const ahead = way > 0 ? 0 : Math.PI
  const found: Leader[] = []
  const reach = Math.round(Math.max(24, 1.5 * height))
  for (const back of [1, 4]) {
    const looks = strokesFrom(ink, end - way * back, y + 0.5, ahead, runsOn ? 0.15 : 2.8, reach, 0.6 * reach)
    for (const look of looks) {
      const turn = Math.abs(turned(look.angle - ahead))
      if (!runsOn && turn < 0.08) continue
      const stroke = strokeFollowed(ink, end - way * back, y + 0.5, look.angle)
      if (!stroke || endsIn(spot, stroke)) continue
      const leader = leaderFrom(ink, stroke)
      const known = found.some((other) => Math.hypot(other.tipX - leader.tipX, other.tipY - leader.tipY) < 10)
      if (leader.length > 1.2 * height && !known) found.push(leader)
    }
    if (found.length > 0) break
  }
  return found.sort((a, b) => b.length - a.length)
}

/** A slanted sign of the number itself, which stands on the shelf. */
function endsIn({ box: [left, top, right, bottom] }: NumberSpot, { toX, toY }: Stroke): boolean {
  return toX > left - 3 && toX < right + 3 && toY > top - 3 && toY < bottom + 3
}
