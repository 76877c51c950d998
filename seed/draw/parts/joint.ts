import { outlineArc, outlineCircle, outlineLink, outlineRounded, outlineSector } from '../outline.ts'
import { type Shape, shapeFace, shapeJoin, shapeMove, shapePlace, shapeRing, shapeTurn } from '../shape.ts'
import { extrude, polar, revolve, ring, rod, sweep } from '../solid.ts'
import type { Flat, Vec } from '../vector.ts'
import { toothing } from './drive.ts'

export interface YokeSizes {
  hubRadius: number
  hubLength: number
  bore: number
  /** Half the way between the ears. */
  gap: number
  earThickness: number
  /** From the bridge to the middle of the eyes. */
  reach: number
  eye: number
  /** Splines in the bore; none when left out. */
  splines?: number
}

/** Fork of a universal joint: hub back to -x, ears to +x standing at either side along y. */
export function yoke(sizes: YokeSizes): Shape {
  const { hubRadius, hubLength, bore, gap, earThickness, reach, eye } = sizes
  const outer = gap + earThickness
  const end = eye + 9
  const bridge = extrude(
    outlineRounded([
      [-outer, -end, 12],
      [outer, -end, 12],
      [outer, end, 12],
      [-outer, end, 12],
    ]),
    -9,
    12,
    [outlineCircle(bore, [0, 0], 36)],
  )
  const ear = extrude(outlineLink([0, 0], end - 0.5, [-reach, 0], end - 1), gap, outer + 0.8, [
    outlineCircle(eye, [-reach, 0], 32),
  ])
  const hub = revolve([
    [-hubLength, bore + 2],
    [-hubLength, hubRadius, 2],
    [-14, hubRadius, 3],
    [-8, hubRadius + 5, 3],
    [2, hubRadius + 5],
    [2, bore],
    [-hubLength + 2, bore],
  ])
  const half = sizes.splines ? 90 / sizes.splines : 0
  const tooth = extrude(outlineSector(bore * 0.84, bore + 0.8, -half, half), -hubLength + 3, 8)
  return shapeJoin(
    hub,
    bridge,
    shapeFace(ear, '+y'),
    shapeTurn(shapeFace(ear, '+y'), 'x', 180),
    ...(sizes.splines ? [shapeRing(tooth, sizes.splines, 20)] : []),
  )
}

/** Cross of a universal joint, its four trunnions in the y, z plane, with the bearing cups drawn off by `cupsOff`. */
export function jointCross(span: number, trunnion: number, cup: number, cupsOff: number): Shape {
  const arm = revolve([
    [0, 0],
    [0, trunnion * 1.5],
    [span * 0.42, trunnion * 1.35, 2],
    [span * 0.46, trunnion],
    [span - 1.5, trunnion],
    [span, trunnion - 1.5],
    [span, trunnion * 0.3],
    [span - 3, 0],
  ])
  const cap = revolve([
    [0, trunnion],
    [0, cup - 1],
    [1, cup],
    [span * 0.5, cup],
    [span * 0.5 + 1, cup - 1],
    [span * 0.5 + 1, 0.01],
    [span * 0.5 - 3, 0.01],
    [span * 0.5 - 3, trunnion],
  ])
  const spoke = shapeJoin(arm, shapeMove(cap, [span + cupsOff, 0, 0]))
  return shapeJoin(
    rod(-trunnion * 1.25, trunnion * 1.25, trunnion * 1.5, 2),
    ...(['+y', '-y', '+z', '-z'] as const).map((way) => shapeFace(spoke, way)),
  )
}

/** Sliding half of a shaft with splines outside (`inside: false`) or in its bore. */
export function splinedTube(
  x0: number,
  x1: number,
  sizes: { teeth: number; bore: number; root: number; tip: number; inside: boolean },
): Shape {
  const { angles, radius } = toothing(sizes.teeth, sizes.root, sizes.tip, { tipShare: 0.42, rootShare: 0.38 })
  const inner = sizes.inside ? radius : sizes.bore
  const outer = sizes.inside ? sizes.bore : radius
  return polar(
    [
      { x: x0, r: inner },
      { x: x0, r: outer },
      { x: x1, r: outer },
      { x: x1, r: inner },
    ],
    angles,
    { creaseDegrees: 26 },
  )
}

/** Light chain hanging down from the origin; every second link is turned. */
export function linkChain(links: number, length: number, wire: number): Shape {
  const r = length * 0.3
  const straight = length / 2 - r
  const path: Vec[] = [...outlineArc(r, 0, 180, [0, straight]), ...outlineArc(r, 180, 360, [0, -straight])].map(
    ([y, z]): Vec => [0, y, z],
  )
  const section: Flat[] = outlineCircle(wire, [0, 0], 8)
  const one = sweep(path, section, { closed: true, up: [1, 0, 0], creaseDegrees: 60 })
  return shapeJoin(
    ...Array.from({ length: links }, (_, k) =>
      shapeMove(shapeTurn(one, 'z', k % 2 ? 70 : -20), [0, 0, -(k + 0.5) * (length - 3 * wire)]),
    ),
  )
}

/** Slotted spring pin (roll pin) along x. */
export const rollPin = (length: number, radius: number): Shape =>
  extrude(outlineSector(radius * 0.6, radius, 20, 340), 0, length)

/** Pin with a flat head behind x = 0 and a cross hole drawn near its end. */
export function clevisPin(diameter: number, length: number): Shape {
  const r = diameter / 2
  const pin = rod(-0.2, length, r, diameter * 0.08)
  const hole = ring(r - 1, r + 0.3, diameter * 0.06, diameter * 0.15)
  return shapeJoin(
    revolve([
      [-diameter * 0.26, 0],
      [-diameter * 0.26, diameter * 0.72, 1.5],
      [0, diameter * 0.72],
      [0, 0],
    ]),
    pin,
    shapePlace(hole, [length - diameter * 0.36, 0, 0], '+z'),
  )
}
