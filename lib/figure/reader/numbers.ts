import type { Blob, Blobs } from './blobs.ts'
import type { PageBox } from './schema.ts'

/** Signs that stand together on one line as an item number does: one to four of one height, free of other text. */
export interface NumberSpot {
  box: PageBox
  /** Numbers of the blobs that make it up, left to right. */
  blobs: number[]
  /** Height of its tallest sign, pixels. */
  height: number
  /** Signs that are not its own, of the size of its own, stand close on the same line: a word, a dimension, a cell of a table. */
  inText: boolean
  /** As close to another that could itself be an item number: an item only when the parts list says so. */
  crowded: boolean
}

/** Sizes of signs, pixels at the scale of reading. Two millimetres on A3 are ten. */
const HEIGHT_MIN = 9
const HEIGHT_MAX = 75

/**
 * White between two signs with a point between them, as a share of their height: in the print of a typewriter the point is as
 * wide as a digit.
 */
const POINT_GAP = 1.35

function signLike({ box, area }: Blob): boolean {
  const width = box[2] - box[0]
  const height = box[3] - box[1]
  if (height < HEIGHT_MIN || height > HEIGHT_MAX || width > 2.6 * height || width < 2) return false
  return area > 0.1 * width * height
}

/** Everything on the page that may be an item number by size and standing; the recogniser has the last word. */
export function numberSpots(blobs: Blobs, width: number): NumberSpot[] {
  const signs = [...blobs.list.keys()].filter((at) => signLike(blobs.list[at]!))
  signs.sort((a, b) => blobs.list[a]!.box[0] - blobs.list[b]!.box[0])
  const rows = bandsOf(blobs, signs)
  const next = new Map<number, number>()
  const close: [a: number, b: number, apart: boolean][] = []
  for (const at of signs) {
    const { box } = blobs.list[at]!
    const height = box[3] - box[1]
    let best = -1
    for (const other of neighboursOf(rows, box)) {
      if (other === at) continue
      const fellow = blobs.list[other]!.box
      const gap = fellow[0] - box[2]
      const tall = Math.max(height, fellow[3] - fellow[1])
      if (fellow[0] <= box[0] || gap > 1.5 * tall || gap < -0.35 * tall || !onOneLine(box, fellow)) continue
      // Two thin signs (11) leave more air between them than two broad ones.
      const thin = Math.min(box[2] - box[0], fellow[2] - fellow[0]) < 0.4 * tall
      const apart = pointBetween(blobs, width, box, fellow) ? POINT_GAP : thin ? 0.72 : 0.5
      if (gap < apart * tall && alike(box, fellow)) {
        if (best < 0 || fellow[0] < blobs.list[best]!.box[0]) best = other
      } else if (gap < 0.8 * tall && sameSize(box, fellow)) {
        close.push([at, other, gap >= 0.5 * tall])
      }
    }
    if (best >= 0) next.set(at, best)
  }
  const follower = new Set(next.values())
  const spots: NumberSpot[] = []
  for (const start of signs) {
    if (follower.has(start)) continue
    const chain = [start]
    for (let on = next.get(start); on !== undefined && chain.length < 30; on = next.get(on)) chain.push(on)
    if (chain.length > 4 || (chain.length === 1 && isDash(blobs, width, start))) continue
    const boxes = chain.map((at) => blobs.list[at]!.box)
    const box = boxAround(boxes)
    const height = Math.max(...boxes.map((b) => b[3] - b[1]))
    spots.push({ box, blobs: chain, height, inText: false, crowded: false })
  }
  textMarked(spots, close)
  return spots
}

/**
 * Marks what stands close to other signs. What stands beside an item number is itself as short and as high as one and has air
 * before it; anything else is text, and so is what stands beside text.
 */
function textMarked(spots: readonly NumberSpot[], close: readonly [a: number, b: number, apart: boolean][]): void {
  const holder = new Map(spots.flatMap((spot) => spot.blobs.map((at) => [at, spot] as const)))
  const pairs: [NumberSpot, NumberSpot][] = []
  for (const [a, b, apart] of close) {
    const [left, right] = [holder.get(a), holder.get(b)]
    if (left === right) continue
    if (apart && left && right && Math.abs(left.height / right.height - 1) < 0.14) {
      pairs.push([left, right])
      left.crowded = true
      right.crowded = true
    } else for (const spot of [left, right]) if (spot) spot.inText = true
  }
  for (let changed = true; changed; ) {
    const mixed = pairs.filter(([left, right]) => left.inText !== right.inText)
    for (const [left, right] of mixed) left.inText = right.inText = true
    changed = mixed.length > 0
  }
}

export function boxAround(boxes: readonly PageBox[]): PageBox {
  return [
    Math.min(...boxes.map((b) => b[0])),
    Math.min(...boxes.map((b) => b[1])),
    Math.max(...boxes.map((b) => b[2])),
    Math.max(...boxes.map((b) => b[3])),
  ]
}

const BAND = 80

/** Signs by the bands of the page their box touches, so that each looks only at its own line. */
function bandsOf(blobs: Blobs, signs: readonly number[]): Map<string, number[]> {
  const bands = new Map<string, number[]>()
  for (const at of signs) {
    const { box } = blobs.list[at]!
    const key = `${Math.floor(box[0] / BAND)} ${Math.floor((box[1] + box[3]) / 2 / BAND)}`
    const list = bands.get(key)
    if (list) list.push(at)
    else bands.set(key, [at])
  }
  return bands
}

function* neighboursOf(bands: Map<string, number[]>, box: PageBox): Generator<number> {
  const row = Math.floor((box[1] + box[3]) / 2 / BAND)
  const first = Math.floor(box[0] / BAND)
  const last = Math.floor((box[2] + 120) / BAND)
  for (let column = first; column <= last; column++)
    for (let y = row - 1; y <= row + 1; y++) yield* bands.get(`${column} ${y}`) ?? []
}

/** Ink on the base line between two signs and none above it: the point of 3.2. */
function pointBetween({ labels }: Blobs, width: number, a: PageBox, b: PageBox): boolean {
  const height = Math.max(a[3] - a[1], b[3] - b[1])
  if (b[0] - a[2] < 2 || b[0] - a[2] > POINT_GAP * height) return false
  let low = 0
  for (let y = Math.min(a[1], b[1]); y < a[3]; y++)
    for (let x = a[2]; x < b[0]; x++)
      if (labels[y * width + x]! >= 0) {
        if (y < a[3] - 0.34 * height) return false
        low += 1
      }
  return low >= 2
}

function onOneLine(a: PageBox, b: PageBox): boolean {
  const overlap = Math.min(a[3], b[3]) - Math.max(a[1], b[1])
  return overlap > 0.6 * Math.min(a[3] - a[1], b[3] - b[1])
}

/** Capitals and digits of one number have one height. */
function alike(a: PageBox, b: PageBox): boolean {
  const [tall, low] = [a[3] - a[1], b[3] - b[1]].sort((m, n) => n - m) as [number, number]
  return low > 0.78 * tall && Math.abs(a[3] - b[3]) < 0.2 * tall
}

function sameSize(a: PageBox, b: PageBox): boolean {
  const [tall, low] = [a[3] - a[1], b[3] - b[1]].sort((m, n) => n - m) as [number, number]
  return low > 0.55 * tall
}

/** A dash is no thicker, as a share of its length, and ink goes on beyond both its ends within so much of its length. */
const DASH_THICK = 0.25
const DASH_REACH = 0.5

/**
 * Whether a thin upright mark is a dash of a chain line: a straight bar with more of its line beyond both ends. A figure 1 has
 * its leader line on one side at most, and in most prints a flag or a foot.
 */
function isDash({ list, labels }: Blobs, width: number, at: number): boolean {
  const { box, area } = list[at]!
  const [left, top, right, bottom] = box
  const tall = bottom - top
  const thick = area / tall
  if (thick > DASH_THICK * tall) return false
  const middle = (from: number, to: number): number => {
    let [sum, count] = [0, 0]
    for (let y = from; y < to; y++)
      for (let x = left; x < right; x++)
        if (labels[y * width + x] === at) {
          sum += x
          count += 1
        }
    return count > 0 ? sum / count : Number.NaN
  }
  const third = Math.max(1, Math.floor(tall / 3))
  const slope = (middle(bottom - third, bottom) - middle(top, top + third)) / (tall - third)
  if (!(right - left <= thick + Math.abs(slope) * tall + 2)) return false
  const centre = middle(top, bottom)
  const height = labels.length / width
  const goesOn = (edge: number, way: 1 | -1): boolean => {
    for (let by = 1; by <= DASH_REACH * tall; by++) {
      const y = edge + way * by
      const x = Math.round(centre + slope * (y - (top + bottom - 1) / 2))
      if (y < 0 || y >= height) return false
      for (const side of [-1, 0, 1]) {
        const label = labels[y * width + x + side]
        if (label !== undefined && label >= 0 && label !== at) return true
      }
    }
    return false
  }
  return goesOn(top, -1) && goesOn(bottom - 1, 1)
}
