import type { Point } from '../geometry/view.ts'
import type { Layer } from './strip-layer.ts'

/** The direction along which the tips of a drawing lie spread most: the main axis of an exploded view. Unit vector, any sense. */
export function explosionAxis(tips: readonly Point[]): Point {
  const n = Math.max(1, tips.length)
  const mean = { x: tips.reduce((sum, tip) => sum + tip.x, 0) / n, y: tips.reduce((sum, tip) => sum + tip.y, 0) / n }
  let [xx, yy, xy] = [0, 0, 0]
  for (const tip of tips) {
    xx += (tip.x - mean.x) ** 2
    yy += (tip.y - mean.y) ** 2
    xy += (tip.x - mean.x) * (tip.y - mean.y)
  }
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy)
  return { x: Math.cos(angle), y: Math.sin(angle) }
}

/** Distance in the drawing where one aside of the axis counts `aside` times: parts of one axis are nearer than they look. */
export function axisDistance(axis: Point, aside: number, a: Point, b: Point): number {
  const [dx, dy] = [a.x - b.x, a.y - b.y]
  return Math.hypot(dx * axis.x + dy * axis.y, aside * (dy * axis.x - dx * axis.y))
}

/** What is known of a part before it is asked where it lies; `holds` is the place of the part it holds. */
export interface Known {
  layer: Layer
  holds: number | null
}

/** Depths closer than this along the axis say nothing of which part is further out. */
const ALIKE = 0.05
/** What an attaching part tells beside a pair of kinds: it does lie outside of what it holds. */
const HOLDS_WEIGHT = 0.5

/**
 * How well depths (0 outermost, 1 innermost; null not known) agree with what kinds of part and attaching parts say, -1 to 1.
 * 0 when nothing is said.
 */
export function depthsAgree(depths: readonly (number | null)[], known: readonly Known[]): number {
  let [sum, weights] = [0, 0]
  const told = [...known.keys()].filter((at) => depths[at] !== null)
  for (const [index, a] of told.entries()) {
    const { layer, holds } = known[a]!
    if (holds !== null && depths[holds] != null) {
      sum += HOLDS_WEIGHT * clamp((depths[holds]! - depths[a]!) / (ALIKE / 2))
      weights += HOLDS_WEIGHT
    }
    for (let j = index + 1; j < told.length; j++) {
      const b = told[j]!
      const deeper = known[b]!.layer.depth - layer.depth
      const weight = layer.weight * known[b]!.layer.weight * Math.abs(deeper)
      if (weight === 0) continue
      sum += weight * Math.sign(deeper) * clamp((depths[b]! - depths[a]!) / ALIKE)
      weights += weight
    }
  }
  return weights === 0 ? 0 : sum / weights
}

function clamp(value: number): number {
  return Math.max(-1, Math.min(1, value))
}

export interface Sweep {
  depths: (number | null)[]
  agreement: number
  /** Place of the part that stays last while both ends come off; null when one end comes off first. */
  core: number | null
}

/** Both ends at once can be made to fit more: it must agree so much better. */
const BOTH_ENDS_COST = 0.05
/** Kinds this deep may be what both ends are taken off from; so many of them are tried. */
const CORE_DEPTH = 0.75
const CORES_MAX = 12

/**
 * From which end, or from both ends towards which part, an exploded view comes apart: the way whose depths agree best with
 * the kinds of the parts. `tips` holds one point a part, null where no leader shows it.
 */
export function explosionSweep(tips: readonly (Point | null)[], known: readonly Known[], axis: Point): Sweep {
  const along = tips.map((tip) => (tip ? tip.x * axis.x + tip.y * axis.y : null))
  const told = along.filter((value) => value !== null)
  const [low, high] = [Math.min(...told), Math.max(...told)]
  const span = high - low || 1
  const shares = along.map((value) => (value === null ? null : (value - low) / span))
  const ways: { depths: (number | null)[]; core: number | null }[] = [
    { depths: shares, core: null },
    { depths: shares.map((share) => (share === null ? null : 1 - share)), core: null },
  ]
  const cores = [...known.keys()].filter((at) => shares[at] !== null && known[at]!.layer.depth >= CORE_DEPTH)
  for (const core of cores.slice(0, CORES_MAX)) {
    const from = shares[core]!
    const far = Math.max(from, 1 - from)
    ways.push({ depths: shares.map((share) => (share === null ? null : 1 - Math.abs(share - from) / far)), core })
  }
  const judged = ways.map((way) => ({ ...way, agreement: depthsAgree(way.depths, known) }))
  return judged.reduce((best, way) =>
    way.agreement - (way.core === null ? 0 : BOTH_ENDS_COST) >
    best.agreement - (best.core === null ? 0 : BOTH_ENDS_COST)
      ? way
      : best,
  )
}
