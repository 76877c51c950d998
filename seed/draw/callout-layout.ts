/** Places callout numbers in straight rows beside the drawing, in the order of their parts, so that leader lines do not cross. */

export type Point = readonly [x: number, y: number]

/** A straight row or column in which numbers stand; it may lie parallel to a slanting explosion axis. */
export interface Rail {
  from: Point
  to: Point
}

export interface CalloutWish {
  item: string
  rail: string
  /** Places on the visible part where a leader may end; `inside` is the way to the part's own edge, capped. */
  spots: readonly { at: Point; inside: number }[]
  /** Ends asked for by hand; each is moved to the nearest visible spot. */
  near?: readonly Point[]
  /** Number placed by hand. */
  at?: Point
}

export interface PlacedCallout {
  item: string
  at: Point
  tips: Point[]
}

const GAP = 34

export const numberHalfWidth = (item: string): number => 5.6 * item.length + 1

export function calloutsPlaced(wishes: readonly CalloutWish[], rails: Readonly<Record<string, Rail>>): PlacedCallout[] {
  const placed = wishes.map((wish) => ({ wish, at: wish.at ?? startOf(wish, rails[wish.rail]!), tips: [] as Point[] }))
  for (const [name, rail] of Object.entries(rails)) {
    const row = placed.filter((one) => one.wish.rail === name && !one.wish.at)
    const along = spaced(
      row.map((one) => alongRail(rail, one.at)),
      railLength(rail),
    )
    row.forEach((one, index) => {
      one.at = onRail(rail, along[index]!)
    })
  }
  for (let round = 0; round < 4; round++) {
    for (const one of placed) one.tips = tipsFor(one.wish, one.at)
    if (!uncross(placed)) break
  }
  for (const one of placed) one.tips = tipsFor(one.wish, one.at)
  return placed.map(({ wish, at, tips }) => ({ item: wish.item, at, tips }))
}

const railLength = (rail: Rail): number => Math.hypot(rail.to[0] - rail.from[0], rail.to[1] - rail.from[1])
function alongRail(rail: Rail, point: Point): number {
  const length = railLength(rail)
  return (
    ((point[0] - rail.from[0]) * (rail.to[0] - rail.from[0]) +
      (point[1] - rail.from[1]) * (rail.to[1] - rail.from[1])) /
    length
  )
}
function onRail(rail: Rail, along: number): Point {
  const t = along / railLength(rail)
  const at = (k: 0 | 1) => Math.round((rail.from[k] + (rail.to[k] - rail.from[k]) * t) * 10) / 10
  return [at(0), at(1)]
}

function startOf(wish: CalloutWish, rail: Rail): Point {
  const points = wish.near?.length ? wish.near : wish.spots.map((spot) => spot.at)
  const mean: Point = [
    points.reduce((s, p) => s + p[0], 0) / points.length,
    points.reduce((s, p) => s + p[1], 0) / points.length,
  ]
  return onRail(rail, alongRail(rail, mean))
}

/** Wished places along a row, moved as little as possible until all keep their distance (pool adjacent violators). */
export function spaced(wished: readonly number[], length: number, gap = GAP): number[] {
  const order = wished.map((_, index) => index).sort((a, b) => wished[a]! - wished[b]! || a - b)
  const blocks: { sum: number; count: number }[] = []
  order.forEach((index, rank) => {
    blocks.push({ sum: wished[index]! - rank * gap, count: 1 })
    while (blocks.length > 1 && blocks.at(-2)!.sum / blocks.at(-2)!.count > blocks.at(-1)!.sum / blocks.at(-1)!.count) {
      const last = blocks.pop()!
      blocks.at(-1)!.sum += last.sum
      blocks.at(-1)!.count += last.count
    }
  })
  const out = new Array<number>(wished.length)
  let rank = 0
  const room = Math.max(0, length - (wished.length - 1) * gap)
  for (const block of blocks)
    for (let k = 0; k < block.count; k++, rank++)
      out[order[rank]!] = Math.min(room, Math.max(0, block.sum / block.count)) + rank * gap
  return out
}

/** Leader ends on the visible part: short leaders, but well inside the outline where the part is large enough. */
function tipsFor(wish: CalloutWish, label: Point): Point[] {
  const best = (cost: (spot: CalloutWish['spots'][number]) => number): Point =>
    wish.spots.reduce((a, b) => (cost(b) < cost(a) - 1e-9 ? b : a)).at
  if (wish.near?.length)
    return wish.near.map((near) =>
      best((spot) => Math.hypot(spot.at[0] - near[0], spot.at[1] - near[1]) - 2.2 * Math.min(spot.inside, 6)),
    )
  return [best((spot) => Math.hypot(spot.at[0] - label[0], spot.at[1] - label[1]) - 5 * Math.min(spot.inside, 9))]
}

export function leadersCross(a: Point, b: Point, c: Point, d: Point): boolean {
  const side = (p: Point, q: Point, r: Point) => (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0
}

/** Swaps the numbers of crossing leaders; each swap shortens the total length of line, so it comes to an end. */
function uncross(placed: { wish: CalloutWish; at: Point; tips: Point[] }[]): boolean {
  let any = false
  for (let pass = 0; pass < placed.length * 4; pass++) {
    let swapped = false
    for (let i = 0; i < placed.length; i++)
      for (let j = i + 1; j < placed.length; j++) {
        const [a, b] = [placed[i]!, placed[j]!]
        if (a.wish.at || b.wish.at) continue
        if (!a.tips.some((p) => b.tips.some((q) => leadersCross(a.at, p, b.at, q)))) continue
        ;[a.at, b.at] = [b.at, a.at]
        swapped = true
      }
    if (!swapped) return any
    any = true
  }
  return any
}
