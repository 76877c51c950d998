import type { Balloon } from './balloons.ts'
import { type InkPage, inkedAt } from './ink.ts'
import type { NumberSpot } from './numbers.ts'
import type { GreyPage, PageBox } from './schema.ts'

/** A ring whose number touches it, with the box of what stands in it. */
export interface RingSpot {
  balloon: Balloon
  spot: NumberSpot
}

const VOTERS = 64
/** Votes below this are chance; a whole ring gives several hundred. */
const VOTES_MIN = 60
const LOOKED_AT = 60

/**
 * Rings of a known radius that hold no number the eye could part from them: its signs touch the ring. Each pixel on the edge of
 * ink votes for the middles it could belong to (Hough 1962, Duda and Hart 1972); the best are checked direction by direction.
 */
export function ringsSearched(ink: InkPage, radius: number, known: readonly Balloon[]): RingSpot[] {
  const columns = Math.ceil(ink.width / 2)
  const rows = Math.ceil(ink.height / 2)
  const votes = new Uint16Array(columns * rows)
  const around = Array.from({ length: VOTERS }, (_, at) => {
    const angle = (2 * Math.PI * at) / VOTERS
    return [Math.cos(angle) * radius, Math.sin(angle) * radius] as const
  })
  for (let y = 1; y < ink.height - 1; y++)
    for (let x = 1; x < ink.width - 1; x++) {
      const at = y * ink.width + x
      if (ink.data[at] === 0) continue
      if (ink.data[at - 1]! + ink.data[at + 1]! + ink.data[at - ink.width]! + ink.data[at + ink.width]! === 4) continue
      for (const [dx, dy] of around) {
        const column = (x + dx) >> 1
        const row = (y + dy) >> 1
        if (column >= 0 && row >= 0 && column < columns && row < rows) votes[row * columns + column]! += 1
      }
    }
  const places: number[] = []
  for (let at = 0; at < votes.length; at++) if (votes[at]! >= VOTES_MIN) places.push(at)
  places.sort((a, b) => votes[b]! - votes[a]!)
  const taken = known.map(({ x, y }) => [x, y] as const)
  const found: RingSpot[] = []
  let looked = 0
  for (const at of places) {
    const [x, y] = [(at % columns) * 2 + 1, Math.floor(at / columns) * 2 + 1]
    if (taken.some(([ox, oy]) => Math.hypot(ox - x, oy - y) < 0.8 * radius)) continue
    if (looked++ >= LOOKED_AT) break
    taken.push([x, y])
    const balloon = ringAt(ink, x, y, radius)
    const spot = balloon ? numberIn(ink, balloon) : null
    if (balloon && spot) found.push({ balloon, spot })
  }
  return found
}

/** The ring near a place, moved to where most directions meet it; null when fewer than seven in eight do. */
function ringAt(ink: InkPage, x: number, y: number, radius: number): Balloon | null {
  let best: Balloon = { x, y, radius, seen: 0 }
  for (let dy = -3; dy <= 3; dy++)
    for (let dx = -3; dx <= 3; dx++)
      for (const larger of [-1, 0, 1]) {
        let seen = 0
        for (let ray = 0; ray < 48; ray++) {
          const angle = (2 * Math.PI * ray) / 48
          const far = radius + larger
          if (inkedAt(ink, x + dx + Math.cos(angle) * far, y + dy + Math.sin(angle) * far)) seen += 1
        }
        if (seen / 48 > best.seen) best = { x: x + dx, y: y + dy, radius: radius + larger, seen: seen / 48 }
      }
  return best.seen >= 0.875 ? best : null
}

/** What stands inside the ring, as one box, when it is as high and as sparse as a number. */
function numberIn(ink: InkPage, { x, y, radius }: Balloon): NumberSpot | null {
  const inner = radius - 3
  const box: PageBox = [x + radius, y + radius, x - radius, y - radius]
  let area = 0
  for (let py = Math.ceil(y - inner); py <= y + inner; py++)
    for (let px = Math.ceil(x - inner); px <= x + inner; px++)
      if (Math.hypot(px + 0.5 - x, py + 0.5 - y) < inner && inkedAt(ink, px, py)) {
        area += 1
        box[0] = Math.min(box[0], px)
        box[1] = Math.min(box[1], py)
        box[2] = Math.max(box[2], px + 1)
        box[3] = Math.max(box[3], py + 1)
      }
  const height = box[3] - box[1]
  if (area < 0.03 * inner * inner || area > 1.4 * inner * inner || height < 0.35 * radius || height > 1.35 * radius)
    return null
  return { box, blobs: [], height, inText: false, crowded: false }
}

/** The page with the rings themselves made paper, so that only what stands in them is read. */
export function ringsErased(page: GreyPage, rings: readonly Balloon[]): GreyPage {
  const data = Uint8Array.from(page.data)
  for (const { x, y, radius } of rings) {
    let paper = 0
    const square: number[] = []
    for (let py = Math.max(0, Math.floor(y - radius - 4)); py < Math.min(page.height, y + radius + 4); py++)
      for (let px = Math.max(0, Math.floor(x - radius - 4)); px < Math.min(page.width, x + radius + 4); px++) {
        const at = py * page.width + px
        paper = Math.max(paper, page.data[at]!)
        const far = Math.hypot(px + 0.5 - x, py + 0.5 - y)
        if (far > radius - 2.5 && far < radius + 4) square.push(at)
      }
    for (const at of square) data[at] = paper
  }
  return { ...page, data }
}
