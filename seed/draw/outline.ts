import { type Flat, radians } from './vector.ts'

/** Flat outlines (y, z), closed, without repeating the first point. */

export function outlineCircle(
  radius: number,
  centre: Flat = [0, 0],
  count = Math.max(16, Math.ceil(7 * Math.sqrt(radius))),
): Flat[] {
  return Array.from({ length: count }, (_, index): Flat => {
    const angle = (index * 2 * Math.PI) / count
    return [centre[0] + radius * Math.cos(angle), centre[1] + radius * Math.sin(angle)]
  })
}

/** Points of an arc from one angle to another, ends included. */
export function outlineArc(radius: number, fromDegrees: number, toDegrees: number, centre: Flat = [0, 0]): Flat[] {
  const steps = Math.max(3, Math.ceil((Math.abs(toDegrees - fromDegrees) / 360) * 8 * Math.sqrt(radius) + 1))
  return Array.from({ length: steps + 1 }, (_, index): Flat => {
    const angle = radians(fromDegrees + ((toDegrees - fromDegrees) * index) / steps)
    return [centre[0] + radius * Math.cos(angle), centre[1] + radius * Math.sin(angle)]
  })
}

/** Part of a ring between two radii: a brake lining, a segment of a castle nut's crown. */
export const outlineSector = (inner: number, outer: number, fromDegrees: number, toDegrees: number): Flat[] => [
  ...outlineArc(outer, fromDegrees, toDegrees),
  ...outlineArc(inner, toDegrees, fromDegrees),
]

/** Straight-sided outline whose third number, where given, rounds that corner. */
export function outlineRounded(corners: readonly (readonly [y: number, z: number, radius?: number])[]): Flat[] {
  return corners.flatMap((corner, index) => {
    const before = corners[(index + corners.length - 1) % corners.length]!
    const after = corners[(index + 1) % corners.length]!
    return cornerRounded(before, corner, after)
  })
}

/** The points that stand in for one corner: itself, or an arc tangent to both sides. */
export function cornerRounded(
  before: readonly [number, number, number?],
  corner: readonly [number, number, number?],
  after: readonly [number, number, number?],
): Flat[] {
  const radius = corner[2] ?? 0
  const back = [before[0] - corner[0], before[1] - corner[1]] as const
  const on = [after[0] - corner[0], after[1] - corner[1]] as const
  const backLength = Math.hypot(...back)
  const onLength = Math.hypot(...on)
  if (radius <= 0 || backLength < 1e-9 || onLength < 1e-9) return [[corner[0], corner[1]]]
  const a = [back[0] / backLength, back[1] / backLength] as const
  const b = [on[0] / onLength, on[1] / onLength] as const
  const half = Math.acos(Math.min(1, Math.max(-1, a[0] * b[0] + a[1] * b[1]))) / 2
  // Straight on or doubling back: there is no corner to round.
  if (half > Math.PI / 2 - 0.02 || half < 0.05) return [[corner[0], corner[1]]]
  const setback = Math.min(radius / Math.tan(half), backLength * 0.499, onLength * 0.499)
  const r = setback * Math.tan(half)
  const middle = [a[0] + b[0], a[1] + b[1]] as const
  const middleLength = Math.hypot(...middle)
  const toCentre = r / Math.sin(half)
  const centre: Flat = [
    corner[0] + (middle[0] / middleLength) * toCentre,
    corner[1] + (middle[1] / middleLength) * toCentre,
  ]
  const start = Math.atan2(corner[1] + a[1] * setback - centre[1], corner[0] + a[0] * setback - centre[0])
  let sweep = Math.atan2(corner[1] + b[1] * setback - centre[1], corner[0] + b[0] * setback - centre[0]) - start
  if (sweep > Math.PI) sweep -= 2 * Math.PI
  if (sweep < -Math.PI) sweep += 2 * Math.PI
  const steps = Math.max(3, Math.ceil(Math.abs(sweep) / 0.3), Math.ceil((Math.abs(sweep) * Math.sqrt(r)) / 0.8))
  return Array.from({ length: steps + 1 }, (_, index): Flat => {
    const angle = start + (sweep * index) / steps
    return [centre[0] + r * Math.cos(angle), centre[1] + r * Math.sin(angle)]
  })
}

/** Two rounded ends joined by straight sides: a link, a lug, a lever with an eye at each end. */
export function outlineLink(from: Flat, fromRadius: number, to: Flat, toRadius: number): Flat[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const heading = (Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI
  const lean = (Math.asin((fromRadius - toRadius) / length) * 180) / Math.PI
  return [
    ...outlineArc(toRadius, heading - 90 + lean, heading + 90 - lean, to),
    ...outlineArc(fromRadius, heading + 90 - lean, heading + 270 + lean, from),
  ]
}

export const outlineTurn = (outline: readonly Flat[], degrees: number): Flat[] => {
  const c = Math.cos(radians(degrees))
  const s = Math.sin(radians(degrees))
  return outline.map(([y, z]): Flat => [c * y - s * z, s * y + c * z])
}
export const outlineMove = (outline: readonly Flat[], by: Flat): Flat[] =>
  outline.map(([y, z]): Flat => [y + by[0], z + by[1]])

/** Signed area; positive when the outline runs against the clock. */
export function outlineArea(outline: readonly Flat[]): number {
  return outline.reduce((sum, [y, z], index) => {
    const next = outline[(index + 1) % outline.length]!
    return sum + (y * next[1] - next[0] * z) / 2
  }, 0)
}
