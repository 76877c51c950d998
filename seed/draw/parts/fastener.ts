import { outlineArc, outlineSector, outlineTurn } from '../outline.ts'
import { type Shape, shapeJoin, shapeMove, shapeOf, shapeRing, shapeTurn } from '../shape.ts'
import {
  angleList,
  extrude,
  helix,
  loft,
  type PolarRing,
  polar,
  revolve,
  ring,
  rod,
  shadeLines,
  sweep,
  threadLines,
} from '../solid.ts'
import { type Flat, radians, type Vec } from '../vector.ts'

/** Radius of a hexagon at an angle, `half` being half the width across flats. */
const hexRadius = (half: number) => (degrees: number) =>
  half / Math.cos(radians(((((degrees + 30) % 60) + 60) % 60) - 30))
const HEX_ANGLES = angleList(72)

/**
 * Hexagon with the turned chamfer that leaves an arc on every flat. x0 is the bearing face; `bore` 0 makes it solid.
 * `across` is the width across flats.
 */
export function hexagon(
  x0: number,
  x1: number,
  across: number,
  more: { bore?: number; bothEnds?: boolean; turnDegrees?: number } = {},
): Shape {
  const r = hexRadius(across / 2)
  const flat = across * 0.475
  const slope = Math.tan(radians(30))
  const way = Math.sign(x1 - x0)
  const angles = HEX_ANGLES.map((angle) => angle + 30)
  const edge = (x: number, inward: number) => (degrees: number) =>
    x - way * inward * Math.max(0, r(degrees) - flat) * slope
  const low: PolarRing[] = more.bothEnds
    ? [
        { x: x0, r: flat },
        { x: edge(x0, -1), r },
      ]
    : [{ x: x0, r }]
  const high: PolarRing[] = [
    { x: edge(x1, 1), r },
    { x: x1, r: flat },
  ]
  const bore = more.bore ?? 0
  const rings: PolarRing[] =
    bore > 0
      ? [{ x: x0, r: bore }, ...low, ...high, { x: x1, r: bore * 1.08 }, { x: x1 - way * bore * 0.12, r: bore }]
      : [{ x: x0, r: 0 }, ...low, ...high, { x: x1, r: 0 }]
  return shapeTurn(polar(rings, angles, { solid: bore === 0, creaseDegrees: 24 }), 'x', more.turnDegrees ?? 0)
}

/** Hexagon bolt: head behind x = 0, shank along +x. `thread` is the length of thread at its end. */
export function hexBolt(
  diameter: number,
  length: number,
  thread = length * 0.45,
  more: { across?: number; head?: number } = {},
): Shape {
  const r = diameter / 2
  const across = more.across ?? diameter * 1.55
  const shank = rod(-0.2, length, r, diameter * 0.1)
  shank.lines.push(...threadLines(length - thread, length - diameter * 0.1, r, Math.max(diameter * 0.16, 2.1)))
  return shapeJoin(
    hexagon(0, -(more.head ?? diameter * 0.64), across, { turnDegrees: 14 }),
    ring(-0.1, diameter * 0.05, r, across * 0.46),
    shank,
  )
}

/** Plain hexagon nut, chamfered at both ends, seat at x = 0. */
export const hexNut = (diameter: number, more: { across?: number; height?: number } = {}): Shape =>
  hexagon(0, more.height ?? diameter * 0.8, more.across ?? diameter * 1.55, {
    bore: diameter * 0.46,
    bothEnds: true,
    turnDegrees: 14,
  })

/** Prevailing-torque nut: the round collar over the hexagon holds the locking ring. */
export function lockNut(diameter: number, across = diameter * 1.55): Shape {
  const h = diameter * 0.72
  return shapeJoin(
    hexagon(0, h, across, { bore: diameter * 0.45, turnDegrees: 14 }),
    revolve([
      [h - 0.6, diameter * 0.5],
      [h - 0.6, across * 0.44],
      [h + diameter * 0.24, across * 0.42, diameter * 0.08],
      [h + diameter * 0.28, diameter * 0.56],
      [h + diameter * 0.16, diameter * 0.5],
    ]),
  )
}

/** Castle nut: hexagon with a turned crown cut by six slots for the split pin. */
export function castleNut(diameter: number, across = diameter * 1.5, turnDegrees = 14): Shape {
  const body = diameter * 0.62
  const top = diameter * 0.98
  const slot = 10
  const crown = extrude(outlineSector(diameter * 0.47, across * 0.455, slot, 60 - slot), body - 1, top)
  return shapeJoin(
    hexagon(0, body, across, { bore: diameter * 0.46, turnDegrees }),
    shapeRing(crown, 6, turnDegrees + 30),
  )
}

export const washer = (inner: number, outer: number, thickness: number): Shape =>
  ring(0, thickness, inner, outer, Math.min(thickness * 0.25, 0.8))

/** Spring washer: one turn, split, its ends standing apart. */
export function springWasher(inner: number, outer: number, thickness: number): Shape {
  const half = (outer - inner) / 2
  const section: Flat[] = [
    [-half, -thickness / 2],
    [half, -thickness / 2],
    [half, thickness / 2],
    [-half, thickness / 2],
  ]
  const path = helix(0, thickness * 1.1, (inner + outer) / 2, 0.972, { startDegrees: 65, perTurn: 48 })
  return sweep(path, section, { up: [1, 0, 0] })
}

/** Split pin: eye at x = 0, legs along +x, one longer; they lie above and below the x, y plane. */
export function splitPin(diameter: number, length: number): Shape {
  const r = diameter / 2
  const eye = diameter * 0.95
  const leg = (sign: 1 | -1, long: number): Vec[] => [
    [long, 0, sign * r * 0.52],
    [diameter * 1.2, 0, sign * r * 0.52],
  ]
  const bend = outlineArc(eye, -142, 142).map(([u, w]): Vec => [-u - eye * 0.5, 0, -w])
  const path: Vec[] = [
    ...leg(1, length * 0.93),
    ...[...bend]
      .reverse()
      .map(([x, y, z]): Vec => [x, y, -z])
      .reverse(),
    ...leg(-1, length).reverse(),
  ]
  const section: Flat[] = outlineArc(1, 0, 330).map(([u, w]): Flat => [u * r * 0.98, w * r * 0.5])
  return sweep(path, section, { up: [0, 0, 1], creaseDegrees: 50 })
}

/** External circlip: open ring with two eyes for the pliers. */
export function circlip(
  inner: number,
  outer: number,
  thickness: number,
  more: { internal?: boolean; gapDegrees?: number; atDegrees?: number } = {},
): Shape {
  const gap = more.gapDegrees ?? 34
  const eye = (outer - inner) * 0.8
  const centre = more.internal ? inner - eye * 0.35 : outer + eye * 0.35
  const at = more.atDegrees ?? 90
  const band = extrude(outlineTurn(outlineSector(inner, outer, gap / 2, 360 - gap / 2), at), 0, thickness)
  const eyes = [gap / 2 + 3, -gap / 2 - 3].map((angle) => {
    const [y, z] = [centre * Math.cos(radians(at + angle)), centre * Math.sin(radians(at + angle))]
    return shapeMove(ring(-0.15, thickness + 0.15, eye * 0.38, eye), [0, y, z])
  })
  return shapeJoin(band, ...eyes)
}

/** Stud: threaded at both ends, plain in the middle. */
export function stud(diameter: number, length: number, outer: number, inner = 0): Shape {
  const r = diameter / 2
  const bar = rod(0, length, r, diameter * 0.1)
  bar.lines.push(
    ...threadLines(length - outer, length - 1, r, Math.max(2.1, diameter * 0.16)),
    ...(inner > 0 ? threadLines(1, inner, r, Math.max(2.1, diameter * 0.16)) : []),
  )
  return bar
}

/** Wheel stud with the round knurled head that is pressed in from behind; head behind x = 0. */
export function wheelStud(diameter: number, length: number): Shape {
  const knurl = Array.from({ length: 14 }, (_, k) => k * 26).flatMap((angle) =>
    shadeLines(0.5, diameter * 0.55, diameter * 0.56, [angle]),
  )
  const body = stud(diameter, length, length * 0.6)
  return shapeJoin(
    revolve([
      [-diameter * 0.35, 0],
      [-diameter * 0.35, diameter * 0.9, 1],
      [0, diameter * 0.9],
      [0, 0],
    ]),
    shapeOf(rod(-0.1, diameter * 0.6, diameter * 0.56).meshes[0]!, knurl),
    body,
  )
}

/** Wheel nut with the cone that centres the rim; cone towards -x. */
export function wheelNut(diameter: number, across = diameter * 1.5): Shape {
  return shapeJoin(
    revolve([
      [-diameter * 0.3, diameter * 0.47],
      [-diameter * 0.3, diameter * 0.56],
      [0.5, across * 0.52],
      [0.5, diameter * 0.47],
    ]),
    hexagon(0.3, diameter * 0.95, across, { bore: diameter * 0.46, turnDegrees: 14 }),
  )
}

/** Grease nipple with hexagon, neck and ball end; seat at x = 0. */
export const greaseNipple = (size: number): Shape =>
  shapeJoin(
    rod(-size * 0.7, 0.2, size * 0.36),
    hexagon(0, size * 0.55, size, {}),
    revolve([
      [size * 0.5, 0],
      [size * 0.5, size * 0.36],
      [size * 0.85, size * 0.24],
      [size * 1.05, size * 0.36, 1],
      [size * 1.45, size * 0.3, 1.5],
      [size * 1.5, 0],
    ]),
  )

/** Parallel key with rounded ends, lying along x, its foot at z = 0. */
export function parallelKey(length: number, width: number, height: number): Shape {
  const r = width / 2
  const outline: Flat[] = [...outlineArc(r, -90, 90, [length - r, 0]), ...outlineArc(r, 90, 270, [r, 0])]
  return loft(
    [0, height].map((z) => outline.map(([x, y]): Vec => [x, y, z])),
    { capped: true },
  )
}

/** Socket screw with cylindrical head behind x = 0. */
export function socketScrew(diameter: number, length: number): Shape {
  const r = hexRadius(diameter * 0.42)
  const h = diameter
  const head = polar(
    [
      { x: -h * 0.35, r: 0 },
      { x: -h * 0.35, r },
      { x: -h, r },
      { x: -h, r: diameter * 0.72 },
      { x: -h * 0.9, r: diameter * 0.8 },
      { x: 0, r: diameter * 0.8 },
      { x: 0, r: 0 },
    ],
    HEX_ANGLES.map((a) => a + 30),
    { solid: true },
  )
  const shank = rod(-0.2, length, diameter / 2, diameter * 0.1)
  shank.lines.push(...threadLines(length * 0.2, length - 1, diameter / 2, Math.max(2.1, diameter * 0.16)))
  return shapeJoin(head, shank)
}
