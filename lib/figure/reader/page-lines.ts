import type { GreyPage } from './schema.ts'

/** A straight rule of the page, across or down: `at` is its middle (y or x), `from` and `to` its ends (x or y). */
export interface Rule {
  at: number
  from: number
  to: number
  thick: number
}

export interface PageRules {
  across: Rule[]
  down: Rule[]
  /** Shortest rule that was looked for, pixels. */
  shortest: number
}

/** Specks of paper in a printed hairline, pixels. */
const GAP = 2
const SHORTEST_SHARE = 0.013
const SHORTEST_MIN = 16

interface Stroke {
  at: number
  from: number
  to: number
}

/**
 * Rules of tables, frames and title blocks: straight runs of pixels darker than what lies on both sides, longer than any
 * letter, thin for their length. Both sides may be tinted or dark themselves, as in a head row set in white on colour.
 * The page must be straight (deskew.ts); strokes that step aside by a pixel on the way are joined.
 */
export function pageRules(page: GreyPage): PageRules {
  const { width, height } = page
  const longest = Math.max(width, height)
  const shortest = Math.max(SHORTEST_MIN, Math.round(longest * SHORTEST_SHARE))
  const thickest = Math.max(6, Math.round(longest / 250))
  const darker = Math.max(DARKER_LEVELS, GRAINS * grainOf(page))
  const across = strokesJoined(strokesAcross(page, shortest, thickest, darker), shortest, thickest)
  const down = strokesJoined(strokesDown(page, shortest, thickest, darker), shortest, thickest)
  return { across, down, shortest }
}

/** Steps aside at which a line is compared with its surroundings: past a hairline, and past a thick frame line. */
const NEAR = 3
const DARKER_LEVELS = 16
const DARKER = 0.12
/** Steps of grey from pixel to pixel on the paper, of which a line must be darker by so many. */
const GRAINS = 4

/** Usual step of grey between two pixels side by side: 0 on a clean page, ten and more on a poor photo. */
function grainOf({ data }: GreyPage): number {
  const counts = new Uint32Array(256)
  let total = 0
  for (let at = 0; at + 1 < data.length; at += 41, total++) counts[Math.abs(data[at]! - data[at + 1]!)]!++
  let seen = 0
  for (let step = 0; step < 256; step++) {
    seen += counts[step]!
    if (seen * 2 >= total) return step
  }
  return 0
}

/** True where the pixel is darker than both its sides, `near` or `far` steps away; beyond the page lies paper. */
function onLine(data: Uint8Array, at: number, near: number, far: number, darker: number): boolean {
  const value = data[at]!
  const limit = value + Math.max(darker, DARKER * (255 - value))
  return (
    (at < far || data[at - near]! > limit || data[at - far]! > limit) &&
    (at + far >= data.length || data[at + near]! > limit || data[at + far]! > limit)
  )
}

const BRIGHT = 236

function strokesAcross(
  { width, height, data }: GreyPage,
  shortest: number,
  thickest: number,
  darker: number,
): Stroke[] {
  const strokes: Stroke[] = []
  const margin = thickest + 1
  for (let y = 0; y < height; y++) {
    const row = y * width
    let from = -1
    let to = -1
    for (let x = 0; x < width; x++) {
      if (data[row + x]! > BRIGHT || !onLine(data, row + x, NEAR * width, margin * width, darker)) continue
      if (from >= 0 && x - to - 1 <= GAP) to = x
      else {
        if (from >= 0 && to - from + 1 >= shortest) strokes.push({ at: y, from, to })
        from = x
        to = x
      }
    }
    if (from >= 0 && to - from + 1 >= shortest) strokes.push({ at: y, from, to })
  }
  return strokes
}

/** As across, but row by row with one open stroke a column: the pixels are read in the order in which they lie. */
function strokesDown({ width, height, data }: GreyPage, shortest: number, thickest: number, darker: number): Stroke[] {
  const strokes: Stroke[] = []
  const margin = thickest + 1
  const from = new Int32Array(width).fill(-1)
  const to = new Int32Array(width).fill(-1)
  for (let y = 0; y < height; y++) {
    const row = y * width
    for (let x = 0; x < width; x++) {
      if (data[row + x]! > BRIGHT || !onLine(data, row + x, NEAR, margin, darker)) continue
      if (from[x]! >= 0 && y - to[x]! - 1 <= GAP) to[x] = y
      else {
        if (from[x]! >= 0 && to[x]! - from[x]! + 1 >= shortest) strokes.push({ at: x, from: from[x]!, to: to[x]! })
        from[x] = y
        to[x] = y
      }
    }
  }
  for (let x = 0; x < width; x++)
    if (from[x]! >= 0 && to[x]! - from[x]! + 1 >= shortest) strokes.push({ at: x, from: from[x]!, to: to[x]! })
  return strokes.sort((a, b) => a.at - b.at || a.from - b.from)
}

interface Bundle {
  first: number
  last: number
  from: number
  to: number
  area: number
}

/** Strokes side by side, or end to end with a step of one pixel, are one rule; bundles too thick are filled areas. */
function strokesJoined(strokes: readonly Stroke[], shortest: number, thickest: number): Rule[] {
  const open: Bundle[] = []
  const closed: Bundle[] = []
  for (const stroke of strokes) {
    for (let at = open.length - 1; at >= 0; at--) if (open[at]!.last < stroke.at - 2) closed.push(...open.splice(at, 1))
    const touching = open.filter((one) => one.from <= stroke.to + GAP + 1 && one.to >= stroke.from - GAP - 1)
    const length = stroke.to - stroke.from + 1
    if (touching.length === 0) {
      open.push({ first: stroke.at, last: stroke.at, from: stroke.from, to: stroke.to, area: length })
      continue
    }
    const [into, ...others] = touching as [Bundle, ...Bundle[]]
    for (const other of others) {
      into.first = Math.min(into.first, other.first)
      into.from = Math.min(into.from, other.from)
      into.to = Math.max(into.to, other.to)
      into.area += other.area
      open.splice(open.indexOf(other), 1)
    }
    into.last = stroke.at
    into.from = Math.min(into.from, stroke.from)
    into.to = Math.max(into.to, stroke.to)
    into.area += length
  }
  const rules = [...closed, ...open].flatMap((one): Rule[] => {
    const length = one.to - one.from + 1
    const thick = one.area / length
    const spread = one.last - one.first + 1
    if (length < shortest || thick > thickest || thick > length / 3 || spread > thick + 3 + length * 0.01) return []
    return [{ at: (one.first + one.last) / 2, from: one.from, to: one.to, thick: spread }]
  })
  return rulesContinued(rules, shortest)
}

/** Pieces of one rule that a speck or a crossing letter cut apart. */
function rulesContinued(rules: Rule[], shortest: number): Rule[] {
  const sorted = rules.sort((a, b) => a.from - b.from)
  const joined: Rule[] = []
  for (const rule of sorted) {
    const before = joined.find(
      (one) => Math.abs(one.at - rule.at) <= 2 && rule.from - one.to <= shortest / 2 && rule.from >= one.from,
    )
    if (before === undefined) joined.push({ ...rule })
    else {
      const long = before.to - before.from
      before.at = (before.at * long + rule.at * (rule.to - rule.from)) / Math.max(1, long + rule.to - rule.from)
      before.to = Math.max(before.to, rule.to)
      before.thick = Math.max(before.thick, rule.thick)
    }
  }
  return joined.sort((a, b) => a.at - b.at)
}
