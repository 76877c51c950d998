import type { PageRules } from './page-lines.ts'
import type { GreyPage, PageBox, ReadCallout, ReadFigure } from './schema.ts'
import type { RuledCell } from './table-grid.ts'

/** The frame of a sheet runs along most of the page, near its edges. */
const FRAME_LENGTH = 0.6
const FRAME_MARGIN = 0.16

/** Inside of the sheet's frame, without the letters and digits of its zones; the whole page when it has none. */
export function sheetInside(
  { across, down }: PageRules,
  { width, height }: { width: number; height: number },
): PageBox {
  const wide = across.filter((rule) => rule.to - rule.from >= FRAME_LENGTH * width)
  const tall = down.filter((rule) => rule.to - rule.from >= FRAME_LENGTH * height)
  const inner = (values: readonly number[], pick: (a: number, b: number) => number, none: number) =>
    values.length === 0 ? none : values.reduce((a, b) => pick(a, b))
  const near = (rules: typeof wide, from: number, to: number) =>
    rules.filter(({ at }) => at >= from && at <= to).map(({ at }) => at)
  const top = inner(near(wide, 0, FRAME_MARGIN * height), Math.max, 0)
  const left = inner(near(tall, 0, FRAME_MARGIN * width), Math.max, 0)
  const right = inner(near(tall, (1 - FRAME_MARGIN) * width, width), Math.min, width)
  const bottom = inner(near(wide, (1 - FRAME_MARGIN) * height, height), Math.min, height)
  // A table may be as wide as the page: two sides at least make a frame.
  const sides = [top > 0, left > 0, right < width, bottom < height].filter(Boolean).length
  return sides >= 3 ? [left, top, right, bottom] : [0, 0, width, height]
}

const TITLE_CELLS_MIN = 3
const TITLE_CELL_TALL = 0.12
const TITLE_CELL_WIDE = 0.45
const TITLE_SHARE = 0.25

/**
 * Title blocks and tables of changes: groups of small ruled cells that hang on the frame or on a parts list. Cells that
 * stand free in the drawing are a part seen from the front, and stay.
 */
export function titleBlocks(
  cells: readonly RuledCell[],
  inside: PageBox,
  tables: readonly PageBox[],
  { width, height }: { width: number; height: number },
  tolerance: number,
): PageBox[] {
  const small = cells.filter(
    (cell) =>
      cell.bottom - cell.top <= TITLE_CELL_TALL * height &&
      cell.right - cell.left <= TITLE_CELL_WIDE * width &&
      // The zones of the frame lie outside and would tie everything along it together.
      boxHolds(inside, (cell.left + cell.right) / 2, (cell.top + cell.bottom) / 2) &&
      !tables.some((table) => boxHolds(table, (cell.left + cell.right) / 2, (cell.top + cell.bottom) / 2)),
  )
  const groups = grouped(
    small.map((cell): PageBox => [cell.left, cell.top, cell.right, cell.bottom]),
    tolerance,
  )
  const anchors = [...tables, ...(inside[0] > 0 ? [inside] : [])]
  return groups.flatMap(({ box, count }) =>
    count >= TITLE_CELLS_MIN &&
    (box[2] - box[0]) * (box[3] - box[1]) <= TITLE_SHARE * width * height &&
    anchors.some((anchor) => sidesMeet(anchor, box, 2 * tolerance))
      ? [box]
      : [],
  )
}

export function boxHolds(box: PageBox, x: number, y: number): boolean {
  return x >= box[0] && x <= box[2] && y >= box[1] && y <= box[3]
}

export function boxesMeet(a: PageBox, b: PageBox, margin = 0): boolean {
  return a[0] - margin <= b[2] && b[0] - margin <= a[2] && a[1] - margin <= b[3] && b[1] - margin <= a[3]
}

export function boxAround(a: PageBox, b: PageBox): PageBox {
  return [Math.min(a[0], b[0]), Math.min(a[1], b[1]), Math.max(a[2], b[2]), Math.max(a[3], b[3])]
}

/** True when a side of one lies on a side of the other. */
function sidesMeet(a: PageBox, b: PageBox, margin: number): boolean {
  if (!boxesMeet(a, b, margin)) return false
  const near = (one: number, other: number) => Math.abs(one - other) <= margin
  return (
    [0, 2].some((at) => near(a[0], b[at]!) || near(a[2], b[at]!)) ||
    [1, 3].some((at) => near(a[1], b[at]!) || near(a[3], b[at]!))
  )
}

/** Boxes that touch each other, as one box with their number. */
export function grouped(boxes: readonly PageBox[], margin: number): { box: PageBox; count: number }[] {
  const groups: { box: PageBox; count: number; members: PageBox[] }[] = []
  for (const box of boxes) {
    const touching = groups.filter((group) => group.members.some((one) => boxesMeet(one, box, margin)))
    const merged = { box, count: 1, members: [box] }
    for (const group of touching) {
      merged.box = boxAround(merged.box, group.box)
      merged.count += group.count
      merged.members.push(...group.members)
      groups.splice(groups.indexOf(group), 1)
    }
    groups.push(merged)
  }
  return groups
}

/** The page with some boxes painted over in the tone of its paper. */
export function pageWithout(page: GreyPage, boxes: readonly PageBox[], margin: number): GreyPage {
  if (boxes.length === 0) return page
  const counts = new Uint32Array(256)
  for (let at = 0; at < page.data.length; at += 97) counts[page.data[at]!]!++
  let paper = 255
  for (let value = 254; value > 96; value--) if (counts[value]! > counts[paper]!) paper = value
  const data = page.data.slice()
  for (const [left, top, right, bottom] of boxes) {
    const from = Math.max(0, Math.floor(left - margin))
    const to = Math.min(page.width, Math.ceil(right + margin))
    if (to <= from) continue
    for (let y = Math.max(0, Math.floor(top - margin)); y < Math.min(page.height, Math.ceil(bottom + margin)); y++)
      data.fill(paper, y * page.width + from, y * page.width + to)
  }
  return { ...page, data }
}

/**
 * Drawings part where so much white lies right across between groups of callouts, as a share of the longest side. Parts of
 * one drawing are set apart along its axis, which mostly lies across the page, so side by side takes more.
 */
const WHITE_BELOW = 0.05
const WHITE_BESIDE = 0.08
const CALLOUTS_MIN = 2

/**
 * The exploded drawings of a page and the callouts of each. A page is one figure unless a white band right across it, with
 * callouts on both sides, says otherwise: parts of one drawing stand apart too, but not in bands.
 */
export function figuresOf(
  callouts: readonly ReadCallout[],
  blobs: readonly PageBox[],
  inside: PageBox,
  { width, height }: { width: number; height: number },
): ReadFigure[] {
  if (callouts.length === 0) return []
  const longest = Math.max(width, height)
  const marks = callouts.map((one): PageBox => {
    const xs = [one.x, ...one.tips.map((tip) => tip.x)]
    const ys = [one.y, ...one.tips.map((tip) => tip.y)]
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
  })
  const split = (box: PageBox, members: readonly number[], depth: number): ReadFigure[] => {
    for (const way of [1, 0] as const) {
      const band = (way === 1 ? WHITE_BELOW : WHITE_BESIDE) * longest
      const cut =
        depth > 0
          ? whiteBand(
              box,
              members.map((at) => marks[at]!),
              blobs,
              way,
              band,
            )
          : null
      if (cut === null) continue
      const low = members.filter((at) => marks[at]![way + 2]! <= cut)
      const high = members.filter((at) => marks[at]![way]! >= cut)
      const first: PageBox = [...box]
      const second: PageBox = [...box]
      first[way + 2] = cut
      second[way] = cut
      return [...split(first, low, depth - 1), ...split(second, high, depth - 1)]
    }
    return [{ box: tight(box, members, marks, blobs), callouts: [...members] }]
  }
  return split(
    inside,
    callouts.map((_, at) => at),
    4,
  )
}

function whiteBand(
  box: PageBox,
  marks: readonly PageBox[],
  blobs: readonly PageBox[],
  way: 0 | 1,
  band: number,
): number | null {
  const spans = [...marks, ...blobs.filter((blob) => boxHolds(box, (blob[0] + blob[2]) / 2, (blob[1] + blob[3]) / 2))]
    .map((one): [number, number] => [one[way]!, one[way + 2]!])
    .sort((a, b) => a[0] - b[0])
  let end = spans[0]?.[1] ?? 0
  let best: { cut: number; wide: number } | null = null
  for (const [from, to] of spans) {
    const cut = (end + from) / 2
    const sides = [
      marks.filter((mark) => mark[way + 2]! <= cut).length,
      marks.filter((mark) => mark[way]! >= cut).length,
    ]
    if (
      from - end >= band &&
      sides.every((count) => count >= CALLOUTS_MIN) &&
      (best === null || from - end > best.wide)
    )
      best = { cut, wide: from - end }
    end = Math.max(end, to)
  }
  return best?.cut ?? null
}

function tight(
  box: PageBox,
  members: readonly number[],
  marks: readonly PageBox[],
  blobs: readonly PageBox[],
): PageBox {
  const own = members.map((at) => marks[at]!)
  const inside = blobs.filter((blob) => boxHolds(box, (blob[0] + blob[2]) / 2, (blob[1] + blob[3]) / 2))
  return [...own, ...inside].reduce((a, b) => boxAround(a, b), own[0] ?? box)
}

const TILE = 16

/** Where the drawing has ink, in tiles; its frame, the parts lists and the title block left out. */
export function drawnTiles(
  { width, height, data }: { width: number; height: number; data: Uint8Array },
  inside: PageBox,
  covered: readonly PageBox[],
  margin: number,
): PageBox[] {
  const across = Math.ceil(width / TILE)
  const inked = new Uint8Array(across * Math.ceil(height / TILE))
  const [left, top, right, bottom] = inside.map((side, at) => Math.round(side + (at < 2 ? 3 : -3) * margin)) as PageBox
  for (let y = Math.max(0, top); y < Math.min(height, bottom); y++)
    for (let x = Math.max(0, left); x < Math.min(width, right); x++)
      if (data[y * width + x] === 1) inked[Math.floor(y / TILE) * across + Math.floor(x / TILE)] = 1
  const tiles: PageBox[] = []
  for (const [at, has] of inked.entries()) {
    if (has === 0) continue
    const [x, y] = [(at % across) * TILE, Math.floor(at / across) * TILE]
    const tile: PageBox = [x, y, x + TILE, y + TILE]
    if (!covered.some((box) => boxesMeet(box, tile, margin))) tiles.push(tile)
  }
  return tiles
}
