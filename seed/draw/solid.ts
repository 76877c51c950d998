import { cornerRounded, outlineCircle } from './outline.ts'
import { type Mesh, type Shape, shapeOf } from './shape.ts'
import { triangulate } from './triangulate.ts'
import { around, type Flat, radians, type Vec, vecAdd, vecCross, vecDot, vecScale, vecSub, vecUnit } from './vector.ts'

const CREASE_DEGREES = 30

/** Facets round a circle of this radius, so that the chords stay within a fraction of a line's width. */
export const facets = (radius: number): number =>
  Math.min(112, Math.max(20, 4 * Math.ceil(2 * Math.sqrt(Math.abs(radius)))))

/**
 * Skin over a row of rings with equally many points. A ring of one point closes to a pole. `closed` joins the last ring
 * to the first (a tyre); otherwise open ends get flat caps when `capped`.
 */
export function loft(
  rings: readonly (readonly Vec[])[],
  more: { closed?: boolean; capped?: boolean; creaseDegrees?: number } = {},
): Shape {
  const points: Vec[] = []
  const starts = rings.map((ring) => {
    const start = points.length
    points.push(...ring)
    return start
  })
  const faces: Mesh['faces'] = []
  const rows = more.closed ? rings.length : rings.length - 1
  for (let i = 0; i < rows; i++) {
    const k = (i + 1) % rings.length
    const [near, far] = [rings[i]!.length, rings[k]!.length]
    const count = Math.max(near, far)
    for (let j = 0; j < count; j++) {
      const next = (j + 1) % count
      const a = starts[i]! + (near === 1 ? 0 : j)
      const b = starts[i]! + (near === 1 ? 0 : next)
      const c = starts[k]! + (far === 1 ? 0 : next)
      const d = starts[k]! + (far === 1 ? 0 : j)
      if (a !== b) faces.push([a, b, c])
      if (c !== d) faces.push([a, c, d])
    }
  }
  if (more.capped) {
    for (const end of [0, rings.length - 1]) {
      const ring = rings[end]!
      if (ring.length > 2)
        faces.push(
          ...capFaces(ring).map((f): [number, number, number] => [
            f[0] + starts[end]!,
            f[1] + starts[end]!,
            f[2] + starts[end]!,
          ]),
        )
    }
  }
  return shapeOf({ points, faces, creaseDegrees: more.creaseDegrees ?? CREASE_DEGREES })
}

function capFaces(ring: readonly Vec[]): [number, number, number][] {
  let normal: Vec = [0, 0, 0]
  ring.forEach((p, index) => {
    normal = vecAdd(normal, vecCross(p, ring[(index + 1) % ring.length]!))
  })
  const n = vecUnit(normal)
  const u = vecUnit(vecCross(n, Math.abs(n[0]) < 0.8 ? [1, 0, 0] : [0, 1, 0]))
  const v = vecCross(n, u)
  return triangulate(ring.map((p): Flat => [vecDot(p, u), vecDot(p, v)]))
}

/** Corner of a turned part's profile: position on the axis, radius, and the radius its corner is rounded to. */
export type ProfilePoint = readonly [x: number, radius: number, fillet?: number]

/**
 * Turned part: half section swept round the x axis. A profile that starts and ends on the axis (radius 0) is solid;
 * any other is closed on itself and so has a bore.
 */
export function revolve(
  profile: readonly ProfilePoint[],
  more: { count?: number; creaseDegrees?: number } = {},
): Shape {
  const solid = profile[0]![1] < 1e-9 && profile.at(-1)![1] < 1e-9
  const corners = profile.flatMap((corner, index): Flat[] => {
    if (solid && (index === 0 || index === profile.length - 1)) return [[corner[0], corner[1]]]
    return cornerRounded(
      profile[(index + profile.length - 1) % profile.length]!,
      corner,
      profile[(index + 1) % profile.length]!,
    )
  })
  const count = more.count ?? facets(Math.max(...corners.map((corner) => corner[1])))
  const rings = corners.map(([x, r]): Vec[] =>
    r < 1e-9 ? [[x, 0, 0]] : Array.from({ length: count }, (_, j) => around(x, r, (j * 360) / count)),
  )
  return loft(rings, { closed: !solid, creaseDegrees: more.creaseDegrees })
}

/** Solid bar or pin with chamfered ends. */
export const rod = (x0: number, x1: number, radius: number, chamfer = 0): Shape =>
  revolve([
    [x0, 0],
    [x0, radius - chamfer],
    ...(chamfer ? [[x0 + chamfer, radius] as const] : []),
    ...(chamfer ? [[x1 - chamfer, radius] as const] : []),
    [x1, radius - chamfer],
    [x1, 0],
  ])

/** Ring of square section with broken outer edges: washers, spacers, races. */
export function ring(x0: number, x1: number, inner: number, outer: number, chamfer = 0): Shape {
  const c = chamfer
  return revolve(
    c
      ? [
          [x0, inner],
          [x0, outer - c],
          [x0 + c, outer],
          [x1 - c, outer],
          [x1, outer - c],
          [x1, inner],
        ]
      : [
          [x0, inner],
          [x0, outer],
          [x1, outer],
          [x1, inner],
        ],
  )
}

/** One ring of a part that is not quite round: axial position and radius may both depend on the angle. */
export interface PolarRing {
  x: number | ((degrees: number) => number)
  r: number | ((degrees: number) => number)
}

/**
 * Part whose sections are seen round the x axis: hexagons, gears, splines, pleated filters. `angles` are the columns in
 * degrees; every corner of the section must be one of them. Rings close on themselves (bore) unless `solid`.
 */
export function polar(
  rings: readonly PolarRing[],
  angles: readonly number[],
  more: { solid?: boolean; creaseDegrees?: number } = {},
): Shape {
  const value = (v: PolarRing['x'], degrees: number) => (typeof v === 'number' ? v : v(degrees))
  return loft(
    rings.map((one) =>
      typeof one.r === 'number' && one.r < 1e-9
        ? [[value(one.x, 0), 0, 0] as Vec]
        : angles.map((degrees) => around(value(one.x, degrees), value(one.r, degrees), degrees)),
    ),
    { closed: !more.solid, creaseDegrees: more.creaseDegrees },
  )
}

/** Plate: flat outline with holes, standing from x0 to x1. */
export function extrude(
  outline: readonly Flat[],
  x0: number,
  x1: number,
  holes: readonly (readonly Flat[])[] = [],
  creaseDegrees = CREASE_DEGREES,
): Shape {
  const loops = [outline, ...holes]
  const flat = loops.flat()
  const count = flat.length
  const points: Vec[] = [...flat.map(([y, z]): Vec => [x0, y, z]), ...flat.map(([y, z]): Vec => [x1, y, z])]
  const caps = triangulate(outline, holes)
  const faces: Mesh['faces'] = [
    ...caps,
    ...caps.map(([a, b, c]): [number, number, number] => [a + count, c + count, b + count]),
  ]
  let start = 0
  for (const loop of loops) {
    for (let j = 0; j < loop.length; j++) {
      const a = start + j
      const b = start + ((j + 1) % loop.length)
      faces.push([a, b, b + count], [a, b + count, a + count])
    }
    start += loop.length
  }
  return shapeOf({ points, faces, creaseDegrees })
}

/** Section (across, up) carried along a path without twisting: wires, hoses, belts, rods with bends. */
export function sweep(
  path: readonly Vec[],
  section: readonly Flat[],
  more: { closed?: boolean; up?: Vec; creaseDegrees?: number } = {},
): Shape {
  const n = path.length
  const tangent = (i: number): Vec =>
    more.closed
      ? vecUnit(vecSub(path[(i + 1) % n]!, path[(i + n - 1) % n]!))
      : vecUnit(vecSub(path[Math.min(i + 1, n - 1)]!, path[Math.max(i - 1, 0)]!))
  let up = more.up ?? (Math.abs(tangent(0)[2]) < 0.9 ? ([0, 0, 1] as Vec) : ([1, 0, 0] as Vec))
  const rings = path.map((at, i) => {
    const t = tangent(i)
    up = vecUnit(vecSub(up, vecScale(t, vecDot(up, t))))
    const side = vecCross(t, up)
    return section.map(([s, u]) => vecAdd(at, vecAdd(vecScale(side, s), vecScale(up, u))))
  })
  return loft(rings, { closed: more.closed, capped: !more.closed, creaseDegrees: more.creaseDegrees })
}

export const tube = (path: readonly Vec[], radius: number, closed = false): Shape =>
  sweep(path, outlineCircle(radius, [0, 0], 14), { closed, creaseDegrees: 60 })

/** Points of a helix round the x axis, from one radius to another. */
export function helix(
  x0: number,
  x1: number,
  radius: number,
  turns: number,
  more: { startDegrees?: number; endRadius?: number; perTurn?: number } = {},
): Vec[] {
  const steps = Math.ceil(turns * (more.perTurn ?? 28))
  return Array.from({ length: steps + 1 }, (_, index) => {
    const t = index / steps
    return around(
      x0 + (x1 - x0) * t,
      radius + ((more.endRadius ?? radius) - radius) * t,
      (more.startDegrees ?? 0) + 360 * turns * t,
    )
  })
}

/** Fine lines of a screw thread on a cylinder; they lie a hair outside it so that the skin does not hide them. */
export function threadLines(x0: number, x1: number, radius: number, pitch: number): Vec[][] {
  const turns = Math.floor(Math.abs(x1 - x0) / pitch)
  return Array.from({ length: turns }, (_, turn) =>
    Array.from({ length: 33 }, (_, k) =>
      around(x0 + Math.sign(x1 - x0) * pitch * (turn + k / 32 + 0.0), radius + 0.35, (k * 360) / 32),
    ),
  )
}

/** A few lines along a cylinder near its shaded side; `degrees` are measured as in `around`. */
export const shadeLines = (x0: number, x1: number, radius: number, degrees: readonly number[], short = 0): Vec[][] =>
  degrees.map((angle, index) => [
    around(x0 + short * (index % 2), radius + 0.4, angle),
    around(x1 - short * ((index + 1) % 2), radius + 0.4, angle),
  ])

/** Dots spread evenly over a patch; `place` lays the unit square on the part's surface. Same dots every time. */
export function stippleLines(count: number, place: (u: number, v: number) => Vec): Vec[][] {
  return Array.from({ length: count }, (_, index) => {
    // Steps of the plastic number spread points without clumps and without dice.
    const u = (0.5 + index * 0.7548776662) % 1
    const v = (0.5 + index * 0.5698402909) % 1
    return [place(u, v), place(Math.min(1, u + 0.004), v)]
  })
}

export const angleList = (count: number, startDegrees = 0): number[] =>
  Array.from({ length: count }, (_, index) => startDegrees + (index * 360) / count)

export const degreesOf = (y: number, z: number): number => (Math.atan2(z, y) / radians(180)) * 180
